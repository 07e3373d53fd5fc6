-- The past days on which each meter is looked at: every so many months (or days) once it has enough history.
--
-- The turn of the months is each meter's own, counted from its first reading, so that a fleet is looked at in all
-- seasons. The reading of the day in service is no reading of its use, so history does not begin with it.
--
-- one row: vehicle_id, meter, as_of
-- reads:   kept_readings, replay_plan, run
-- gives:   vehicle_id
--          meter
--          as_of      the first of a month, or a day of a grid of days; later readings of the meter exist

with begun as (
    select vehicle_id, meter, min(read_on) as first_on, max(read_on) as last_on
    from kept_readings
    where "column" not in ('in_service_odometer', 'in_service_hours')
    group by all
),

days as (
    select
        unnest(generate_series(
            case when every_days is null then date_trunc('month', (select min(first_on) from begun))
                else (select min(first_on) from begun) end::timestamp,
            as_of::timestamp,
            case when every_days is null then to_months(1) else to_days(every_days::integer) end
        ))::date as as_of
    from run, replay_plan
)

select b.vehicle_id, b.meter, d.as_of
from begun b
join days d on d.as_of < b.last_on
cross join replay_plan p
where d.as_of >= add_months(b.first_on, p.history_months)
    and (p.every_days is not null
        -- A month begun is not yet a month of history.
        or (datediff('month', b.first_on, d.as_of) - (day(b.first_on) > 1)::integer - p.history_months)
            % p.every_months = 0)
