-- Where the edges of the band lie for a class, in spreads: one past miss in twelve lay beyond each.
--
-- one row: class, meter, is_young, days
-- reads:   rate_misses, meter_misses, class_spreads
-- gives:   class
--          meter
--          is_young
--          days     ahead: 7, 14, 28, 91, 182 or 364
--          below    spreads from the rate, usually negative
--          above    likewise, usually positive

-- A miss is measured by the spread of its meter's other misses, so that it does not excuse itself.
with scaled as (
    select m.class, m.meter, m.is_young, m.days, least(1, 28 / m.days)::decimal(24, 12) as independent,
        m.miss / ((greatest(0, o.missed::double - abs(m.miss)) + 6 * s.class_spread)
            / (greatest(0, o.trials::double - 1) + 6)) as miss
    from rate_misses as m
    join meter_misses as o using (vehicle_id, meter, is_young, days)
    join class_spreads as s on s.class = m.class and s.meter = m.meter and s.is_young = m.is_young and s.days = m.days
),

in_all as (
    select meter, is_young, quantile_cont(miss, [1 / 12, 11 / 12]) as q, sum(independent)::double as trials
    from scaled group by all
),

by_days as (
    select meter, is_young, days, quantile_cont(miss, [1 / 12, 11 / 12]) as q, sum(independent)::double as trials
    from scaled group by all
),

by_class as (
    select class, meter, is_young, days, quantile_cont(miss, [1 / 12, 11 / 12]) as q,
        sum(independent)::double as trials
    from scaled group by all
),

-- Before any miss is known: 1.6, the 90 % point of a normal distribution in mean absolute deviations.
asked as (
    select class, meter, is_young, days, side.side, side.before
    from class_spreads
    cross join (values (1, -1.6::double), (2, 1.6)) as side(side, before)
),

edges as (
    select a.class, a.meter, a.is_young, a.days, a.side,
        (coalesce(o.q[a.side] * o.trials, 0) + 20 * a.before) / (coalesce(o.trials, 0) + 20) as every,
        (coalesce(d.q[a.side] * d.trials, 0) + 20 * every) / (coalesce(d.trials, 0) + 20) as at_days,
        (coalesce(c.q[a.side] * c.trials, 0) + 20 * at_days) / (coalesce(c.trials, 0) + 20) as edge
    from asked as a
    left join in_all as o using (meter, is_young)
    left join by_days as d using (meter, is_young, days)
    left join by_class as c using (class, meter, is_young, days)
)

select class, meter, is_young, days,
    max(edge) filter (where side = 1) as below,
    max(edge) filter (where side = 2) as above
from edges
group by class, meter, is_young, days
