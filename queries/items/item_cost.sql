-- What a unit of each item costs: its own price, or else the lowest price for a unit among its packs.
--
-- one row: item
-- reads:   items, packs
-- gives:   item
--          unit_cost   money for one unit; null: no price is known
--          priced_by   item | pack; null: no price is known

with by_pack as (
    select item, min((price::decimal(38, 12) / size)::decimal(18, 7)) as lowest from packs group by all
)

select i.item, coalesce(i.unit_cost::decimal(18, 7), b.lowest) as unit_cost,
    case when i.unit_cost is not null then 'item' when b.lowest is not null then 'pack' end as priced_by
from items i
left join by_pack b using (item)
