-- The findings of each task, counted by code: for each vehicle, and for each class and duty. The interval is the one in force; of
-- several the shortest, and the shortest of the makers' stands as the limit.
--
-- one row: scope, name, duty, task
-- reads:   findings, task_plan, vehicles, run
-- gives:   scope      class | vehicle
--          name       the class or the vehicle's number
--          duty       normal | severe
--          task, title
--          findings   with one of our codes
--          clean, serviceable, soiled, contaminated, failed
--          every_distance, every_hours, every_months     in force; distance_unit, h, months
--          maker_distance, maker_hours, maker_months     the maker's; null: not known
--          distance_unit
--          latest_on  day of the latest finding

with counted as (
    select f.vehicle_id, f.class, v.duty, f.task, p.title, f.condition, f.done_on, p.every_km, p.every_hours, p.every_months,
        -- A plan that follows the maker's schedule states his interval.
        coalesce(p.maker_km, case when p.source = 'maker' then p.every_km end) as maker_km,
        coalesce(p.maker_hours, case when p.source = 'maker' then p.every_hours end) as maker_hours,
        coalesce(p.maker_months, case when p.source = 'maker' then p.every_months end) as maker_months
    from findings f
    join vehicles v using (vehicle_id)
    join task_plan p using (vehicle_id, task)
    where f.condition is not null and p.after is null
        and coalesce(p.every_km::double, p.every_hours::double, p.every_months) is not null
),

scoped as (
    select 'class' as scope, class as name, * from counted
    union all
    select 'vehicle', vehicle_id, * from counted
)

select scope, name, duty, task, shown_title(min(title), task) as title, count(*) as findings,
    count(*) filter (condition = 'clean') as clean, count(*) filter (condition = 'serviceable') as serviceable,
    count(*) filter (condition = 'soiled') as soiled, count(*) filter (condition = 'contaminated') as contaminated,
    count(*) filter (condition = 'failed') as failed,
    shown_length(min(every_km), 'odometer', min(distance_unit)) as every_distance,
    min(every_hours)::decimal(18, 1) as every_hours, min(every_months) as every_months,
    shown_length(min(maker_km), 'odometer', min(distance_unit)) as maker_distance,
    min(maker_hours)::decimal(18, 1) as maker_hours, min(maker_months) as maker_months,
    min(distance_unit) as distance_unit, max(done_on) as latest_on
from scoped, (select distance_unit from run)
group by scope, name, duty, task
order by scope, name, duty, task
