-- The figures at the head of the order.
--
-- one row: -
-- reads:   order, item_purchases, items_needed, work_without_items, run
-- gives:   service_level   0 to 1
--          review_days
--          items           on the stock list
--          items_ordered, items_short
--          suppliers       that get an order
--          packs
--          cost            money for the order
--          cost_one_size   the same items with one pack size each; null: for one of them no single size suffices
--          works_lacking   planned work that would lack an item before what is ordered next time can be there
--          first_lacking_on   the day of the first; null: none

with bought as (
    select count(distinct supplier) + max((supplier is null)::integer) as suppliers, sum(count)::bigint as packs,
        sum(cost)::decimal(18, 4) as cost
    from "order"
),

by_item as (
    select count(*) filter (bought > 0) as items_ordered, count(*) filter (short > 0) as items_short,
        case when bool_and(cost_one_size is not null) then sum(cost_one_size)::decimal(18, 4) end as cost_one_size
    from item_purchases
),

lacking as (
    select count(distinct (vehicle_id, task, occurrence_no)) as works, min(on_day) as first_on
    from work_without_items
    where is_urgent
)

select service_level, review_days, (select count(*) from items_needed) as items, i.items_ordered, i.items_short,
    coalesce(b.suppliers, 0) as suppliers, coalesce(b.packs, 0) as packs, coalesce(b.cost, 0)::decimal(18, 4) as cost,
    i.cost_one_size, l.works as works_lacking, l.first_on as first_lacking_on
from run, bought b, by_item i, lacking l
