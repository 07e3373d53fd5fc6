-- Expected use of each item day by day as far as the plan looks ahead, added up.
--
-- one row: item, day
-- reads:   occurrence_items, unplanned_forecast, items, run
-- gives:   item
--          day
--          planned     that day, in the item's unit
--          used        planned and unplanned from the as-of date to the end of that day

with days as (
    select unnest(generate_series(as_of, plan_until, interval 1 day))::date as day, as_of from run
),

planned as (
    select item, on_day as day, sum(quantity) as amount from occurrence_items group by all
),

rates as (
    select i.item, coalesce(f.per_period / 28, 0)::decimal(18, 7) as a_day
    from items i
    left join unplanned_forecast f using (item)
    where f.item is not null or i.item in (select item from planned)
)

select r.item, d.day, coalesce(p.amount, 0)::decimal(18, 7) as planned,
    (sum(coalesce(p.amount, 0)) over (partition by r.item order by d.day) + r.a_day * (d.day - d.as_of))::decimal(28, 7) as used
from rates r
cross join days d
left join planned p on p.item = r.item and p.day = d.day
