-- How much of each view goes into a meter's rate: mixes that missed less in the past count more.
--
-- one row: vehicle_id, meter, is_young
-- per:     vehicle
-- reads:   rate_views, mixes, mix_misses, class_misses
-- gives:   vehicle_id
--          meter
--          is_young      fewer than 91 days of history
--          class
--          share_28      the five add up to 1
--          share_91
--          share_364
--          share_728
--          share_class

with asked as (
    select distinct vehicle_id, meter, is_young, class from rate_views
),

-- The class counts for 36 readings beside the vehicle's own.
vehicle_misses as (
    select a.vehicle_id, a.meter, a.is_young, a.class, c.mix,
        (coalesce(v.miss * v.trials, 0) + 36 * c.miss) / (coalesce(v.trials, 0) + 36) as miss
    from asked as a
    join class_misses as c using (class, meter, is_young)
    left join mix_misses as v
        on v.vehicle_id = a.vehicle_id and v.meter = a.meter and v.is_young = a.is_young and v.mix = c.mix
),

weighed as (
    select vehicle_id, meter, is_young, class, mix,
        -- never quite 0, so that the own views cannot vanish altogether
        greatest(1e-9, pow(min(miss) over all_mixes / miss, 10))::decimal(18, 12) as weight
    from vehicle_misses
    window all_mixes as (partition by vehicle_id, meter, is_young)
)

select
    vehicle_id,
    meter,
    is_young,
    class,
    sum(weight * share_28)::double / sum(weight)::double as share_28,
    sum(weight * share_91)::double / sum(weight)::double as share_91,
    sum(weight * share_364)::double / sum(weight)::double as share_364,
    sum(weight * share_728)::double / sum(weight)::double as share_728,
    sum(weight * share_class)::double / sum(weight)::double as share_class
from weighed
join mixes using (mix)
group by vehicle_id, meter, is_young, class
