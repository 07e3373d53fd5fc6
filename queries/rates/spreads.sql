-- How wide a meter's misses are, 7 to 364 days ahead: its own, blended with its class's.
--
-- one row: vehicle_id, meter, is_young, days
-- per:     vehicle
-- reads:   daily_rate, meter_misses, class_spreads
-- gives:   vehicle_id
--          meter
--          is_young
--          days           ahead: 7, 14, 28, 91, 182 or 364
--          class
--          own_miss       sum of its own absolute misses, in independent trials
--          own_trials     how many independent trials
--          class_spread   mean absolute miss of the class, in parts of the scale
--          spread         the same of the meter

with asked as (
    select distinct vehicle_id, meter, is_young, class, h.days
    from (
        select vehicle_id, meter, is_young, class from daily_rate
        union
        select vehicle_id, meter, is_young, class from meter_misses
    )
    cross join (values (7), (14), (28), (91), (182), (364)) as h(days)
)

select
    a.vehicle_id,
    a.meter,
    a.is_young,
    a.days,
    a.class,
    coalesce(m.missed::double, 0) as own_miss,
    coalesce(m.trials::double, 0) as own_trials,
    s.class_spread,
    (own_miss + 6 * s.class_spread) / (own_trials + 6) as spread
from asked as a
join class_spreads as s using (class, meter, is_young, days)
left join meter_misses as m using (vehicle_id, meter, is_young, days)
