-- The packs to buy this week: the cheapest whole packs that cover what is to be ordered.
--
-- Of these a product that lists another token of the same family than the item needs (API GL-5 for API GL-4) is not to be ordered
-- before the vehicle's maker has said that it may be used, and that answer stands in the settings.
--
-- one row: item, supplier, min_count, pack
-- reads:   purchases, offers, items, specifications
-- gives:   item, pack
--          size       in the item's unit
--          count      packs
--          price      money for one
--          cost       money for all
--          supplier   null where none is named
--          product    null where none is named
--          unit       of size
--          min_count  the price holds from so many packs on
--          needs      what the item needs, as written
--          meets      what the product lists, as written
--          not_listed tokens needed that it does not list, with what it lists instead; null: it lists all
--          ask_first  such a product: nobody has confirmed it yet
--          confirmed  who said that the maker accepts it, and when

with gaps as (
    select item, supplier, min_count, pack,
        bool_or(verdict = 'different') as is_different,
        string_agg(token || ' (' || verdict || coalesce(': ' || beside, '') || ')', '; ' order by turn) as not_listed
    from specifications
    where verdict <> 'listed'
    group by all
)

select o.item, o.pack, o.size, p.count, o.price, (p.count * o.price)::decimal(18, 4) as cost,
    nullif(o.supplier, '') as supplier, o.product, i.unit, o.min_count, o.needs, o.meets, g.not_listed,
    coalesce(g.is_different, false) and o.confirmed is null as ask_first, o.confirmed
from purchases p
join offers o using (item, supplier, min_count, pack)
join items i using (item)
left join gaps g using (item, supplier, min_count, pack)
where p.plan = 'order'
order by o.item, o.supplier, o.pack, o.min_count
