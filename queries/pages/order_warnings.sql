-- Tokens that an ordered product does not list, or that need a caution, and the vehicles it would go into.
--
-- one row: item, supplier, min_count, pack, token
-- reads:   purchases, specifications, offers, items, item_plan, in_warranty
-- gives:   item, title
--          supplier, pack, min_count, product
--          token         that the item needs
--          verdict       listed | different | not stated
--          beside        what the product lists of the same family
--          is_cautioned  GL-4 and GL-5 meet
--          confirmed     who said that the maker accepts the product, and when; null: nobody yet
--          vehicles      that take the item
--          vehicles_in_warranty
--          in_warranty   their numbers and the day it ends, the first ten

with takers as (
    select distinct item, vehicle_id from item_plan
),

who as (
    select t.item, count(*) as vehicles, count(w.vehicle_id) as in_warranty_count,
        list(t.vehicle_id || coalesce(' (to ' || w.warranty_until || ')', '') order by w.warranty_until, t.vehicle_id)
            filter (w.vehicle_id is not null) as named
    from takers t
    left join in_warranty w using (vehicle_id)
    group by all
)

select p.item, coalesce(i.title, p.item) as title, p.supplier, p.pack, p.min_count, o.product, s.token, s.verdict, s.beside,
    bool_or(s.is_cautioned) as is_cautioned, o.confirmed, coalesce(w.vehicles, 0) as vehicles,
    coalesce(w.in_warranty_count, 0) as vehicles_in_warranty, array_to_string(w.named[:10], ', ') as in_warranty
from purchases p
join specifications s using (item, supplier, min_count, pack)
join offers o using (item, supplier, min_count, pack)
join items i using (item)
left join who w using (item)
where p.plan = 'order' and (s.verdict <> 'listed' or s.is_cautioned)
group by all
