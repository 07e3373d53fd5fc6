-- How wide a meter's misses are, 7 to 364 days ahead: its own, blended with its class's and the fleet's.
--
-- one row: vehicle_id, meter, is_young, days
-- reads:   daily_rate, rate_misses
-- gives:   vehicle_id
--          meter
--          is_young
--          days           ahead: 7, 14, 28, 91, 182 or 364
--          class
--          own_miss       sum of its own absolute misses, in independent trials
--          own_trials     how many independent trials
--          class_spread   mean absolute miss of the class, in parts of the scale
--          spread         the same of the meter

-- From one month's last reading to the next about 28 days are new, so a look 364 days ahead is 28/364 of a trial.
with by_meter as (
    select vehicle_id, meter, is_young, days, class,
        (sum(abs(miss)::decimal(18, 9)) * least(1, 28 / days))::decimal(24, 12) as missed,
        (count(*) * least(1, 28 / days))::decimal(24, 12) as trials
    from rate_misses
    group by vehicle_id, meter, is_young, days, class
),

by_class as (
    select class, meter, is_young, days, sum(missed)::double as missed, sum(trials)::double as trials
    from by_meter group by all
),

by_days as (
    select meter, is_young, days, sum(missed)::double as missed, sum(trials)::double as trials
    from by_meter group by all
),

in_all as (
    select meter, is_young, sum(missed)::double as missed, sum(trials)::double as trials
    from by_meter group by all
),

asked as (
    select distinct vehicle_id, meter, is_young, class, h.days
    from (
        select vehicle_id, meter, is_young, class from daily_rate
        union
        select vehicle_id, meter, is_young, class from by_meter
    )
    cross join (values (7), (14), (28), (91), (182), (364)) as h(days)
),

-- A wider group counts for 20 independent trials beside a narrower one's own; before any, a miss of 0.3 is taken.
class_spreads as (
    select a.class, a.meter, a.is_young, a.days,
        (coalesce(o.missed, 0) + 20 * 0.3) / (coalesce(o.trials, 0) + 20) as every,
        (coalesce(d.missed, 0) + 20 * every) / (coalesce(d.trials, 0) + 20) as at_days,
        (coalesce(c.missed, 0) + 20 * at_days) / (coalesce(c.trials, 0) + 20) as class_spread
    from (select distinct class, meter, is_young, days from asked) as a
    left join in_all as o using (meter, is_young)
    left join by_days as d using (meter, is_young, days)
    left join by_class as c using (class, meter, is_young, days)
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
left join by_meter as m using (vehicle_id, meter, is_young, days)
