-- How wide the misses of a class are, 7 to 364 days ahead: its own, blended with the fleet's.
--
-- one row: class, meter, is_young, days
-- reads:   daily_rate, meter_misses
-- gives:   class
--          meter
--          is_young
--          days           ahead: 7, 14, 28, 91, 182 or 364
--          class_spread   mean absolute miss of the class, in parts of the scale

with by_class as (
    select class, meter, is_young, days, sum(missed)::double as missed, sum(trials)::double as trials
    from meter_misses group by all
),

by_days as (
    select meter, is_young, days, sum(missed)::double as missed, sum(trials)::double as trials
    from meter_misses group by all
),

in_all as (
    select meter, is_young, sum(missed)::double as missed, sum(trials)::double as trials
    from meter_misses group by all
),

asked as (
    select distinct class, meter, is_young, h.days
    from (
        select class, meter, is_young from daily_rate
        union
        select class, meter, is_young from meter_misses
    )
    cross join (values (7), (14), (28), (91), (182), (364)) as h(days)
)

-- A wider group counts for 20 independent trials beside a narrower one's own; before any, a miss of 0.3 is taken.
select
    a.class,
    a.meter,
    a.is_young,
    a.days,
    (coalesce(c.missed, 0) + 20 * ((coalesce(d.missed, 0) + 20 * ((coalesce(o.missed, 0) + 20 * 0.3)
        / (coalesce(o.trials, 0) + 20))) / (coalesce(d.trials, 0) + 20))) / (coalesce(c.trials, 0) + 20) as class_spread
from asked as a
left join in_all as o using (meter, is_young)
left join by_days as d using (meter, is_young, days)
left join by_class as c using (class, meter, is_young, days)
