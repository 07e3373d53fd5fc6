-- By how much each mix is expected to miss in a class: what it missed there, beside what it missed in the fleet.
--
-- one row: class, meter, is_young, mix
-- reads:   rate_views, mixes, mix_misses
-- gives:   class
--          meter
--          is_young   fewer than 91 days of history
--          mix
--          miss       mean miss ÷ mean over the 15 mixes; 1 is average

with fleet as (
    select meter, is_young, mix,
        sum((miss * trials)::decimal(18, 9))::double as missed, sum(trials::decimal(18, 3))::double as trials
    from mix_misses
    group by all
),

classes as (
    select class, meter, is_young, mix,
        sum((miss * trials)::decimal(18, 9))::double as missed, sum(trials::decimal(18, 3))::double as trials
    from mix_misses
    group by all
),

asked as (
    select distinct class, meter, is_young from rate_views
)

-- The fleet counts for 24 readings beside the class's own.
select
    a.class,
    a.meter,
    a.is_young,
    m.mix,
    (coalesce(c.missed, 0) + 24 * (coalesce(f.missed, 0) + 24 * m.miss_before) / (coalesce(f.trials, 0) + 24))
        / (coalesce(c.trials, 0) + 24) as miss
from asked as a
cross join mixes as m
left join fleet as f on f.meter = a.meter and f.is_young = a.is_young and f.mix = m.mix
left join classes as c on c.class = a.class and c.meter = a.meter and c.is_young = a.is_young and c.mix = m.mix
