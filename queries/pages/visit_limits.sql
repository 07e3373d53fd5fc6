-- The days that vehicles can come and the pairs that must not be in on one day, with the visits planned under them.
--
-- one row: vehicle_id, not_with
-- reads:   availability, pairs, visits, vehicles, run
-- gives:   vehicle_id
--          not_with      the other of a pair; blank: days of the vehicle alone
--          days          weekdays and dates to come, ', ' between; blank: a pair
--          visits        planned, of a pair those of both
--          next_on, next_vehicle   the first of them; null: none

with each_day as (
    select distinct vehicle_id, coalesce(available_on::varchar, weekday) as day, available_on,
        list_position(['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'], weekday) as weekday_no
    from availability, run
    where available_on is null or available_on >= as_of
),

days as (
    select vehicle_id, '' as not_with, string_agg(day, ', ' order by weekday_no nulls last, available_on) as days
    from each_day
    group by vehicle_id
),

limits as (
    select vehicle_id, not_with, days, vehicle_id as of_vehicle from days
    union all
    select p.vehicle_id, p.not_with, '', o.of_vehicle
    from (select distinct least(vehicle_id, not_with) as vehicle_id, greatest(vehicle_id, not_with) as not_with from pairs) p,
        lateral (select unnest([p.vehicle_id, p.not_with]) as of_vehicle) o
)

select l.vehicle_id, l.not_with, l.days, count(v.visit_on) as visits, min(v.visit_on) as next_on,
    arg_min(v.vehicle_id, (v.visit_on, v.vehicle_id)) filter (v.visit_on is not null) as next_vehicle
from limits l
join vehicles o on o.vehicle_id = l.of_vehicle
left join visits v on v.vehicle_id = l.of_vehicle
group by l.vehicle_id, l.not_with, l.days
order by l.vehicle_id, l.not_with
