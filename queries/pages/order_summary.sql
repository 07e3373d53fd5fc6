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
--          suppliers_today, packs_today, cost_today   of it what has not to be asked about first
--          items_to_ask    that have a line to ask about first
--          items_one_size  of which a single pack size covers all that is to be ordered
--          cost_one_size   these with the cheapest single size each
--          cost_one_size_as_ordered   the same items as the order has them
--          works_lacking   planned work that would lack an item before what is ordered next time can be there
--          first_lacking_on   the day of the first; null: none

with bought as (
    select count(distinct supplier) + max((supplier is null)::integer) as suppliers, sum(count)::bigint as packs,
        sum(cost)::decimal(18, 4) as cost,
        count(distinct supplier) filter (ask_first is not true) + coalesce(max((supplier is null)::integer) filter (ask_first is not true), 0)
            as suppliers_today,
        sum(count) filter (ask_first is not true)::bigint as packs_today,
        sum(cost) filter (ask_first is not true)::decimal(18, 4) as cost_today,
        count(distinct item) filter (ask_first) as items_to_ask
    from "order"
),

by_item as (
    select count(*) filter (bought > 0) as items_ordered, count(*) filter (short > 0) as items_short,
        count(cost_one_size) as items_one_size, coalesce(sum(cost_one_size), 0)::decimal(18, 4) as cost_one_size,
        coalesce(sum(cost) filter (cost_one_size is not null), 0)::decimal(18, 4) as cost_one_size_as_ordered
    from item_purchases
),

lacking as (
    select count(distinct (vehicle_id, task, occurrence_no)) as works, min(on_day) as first_on
    from work_without_items
    where is_urgent
)

select service_level, review_days, (select count(*) from items_needed) as items, i.items_ordered, i.items_short,
    coalesce(b.suppliers, 0) as suppliers, coalesce(b.packs, 0) as packs, coalesce(b.cost, 0)::decimal(18, 4) as cost,
    coalesce(b.suppliers_today, 0) as suppliers_today, coalesce(b.packs_today, 0) as packs_today,
    coalesce(b.cost_today, 0)::decimal(18, 4) as cost_today, coalesce(b.items_to_ask, 0) as items_to_ask,
    i.items_one_size, i.cost_one_size, i.cost_one_size_as_ordered, l.works as works_lacking, l.first_on as first_lacking_on
from run, bought b, by_item i, lacking l
