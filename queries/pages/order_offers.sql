-- Every pack on offer of the items that are to be ordered, with the count that the order takes: to try other counts.
--
-- one row: item, supplier, min_count, pack
-- reads:   offers, purchases, items_needed, specifications
-- gives:   item, title
--          supplier    '' where none is named
--          pack, min_count
--          product     null where none is named
--          size        in the unit
--          unit
--          price       money for one, from min_count packs on
--          available   packs; null: no limit
--          count       packs that the order takes
--          to_order    in the unit
--          ask_first   it lists another designation than is needed, and nobody has confirmed it yet

select o.item, coalesce(n.title, o.item) as title, o.supplier, o.pack, o.min_count, o.product, o.size, n.unit, o.price,
    o.available, coalesce(p.count, 0) as count, n.to_order,
    o.confirmed is null and (o.item, o.supplier, o.min_count, o.pack)
        in (select (item, supplier, min_count, pack) from specifications where verdict = 'different') as ask_first
from offers o
join items_needed n using (item)
left join purchases p on p.plan = 'order' and p.item = o.item and p.supplier = o.supplier and p.min_count = o.min_count
    and p.pack = o.pack
where n.to_order > 0
