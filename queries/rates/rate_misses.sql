-- By how much the rate as now worked out would have missed in the past, in parts of the use then.
--
-- one row: vehicle_id, meter, read_on, days
-- per:     vehicle
-- reads:   past_rates
-- gives:   vehicle_id
--          meter
--          read_on
--          days         ahead: 7, 14, 28, 91, 182 or 364
--          class
--          is_young
--          miss         (use that followed − rate) ÷ scale; cut off at ± 100

with followed as (
    select vehicle_id, meter, read_on, class, is_young, rate, scale,
        unnest([7, 14, 28, 91, 182, 364]) as days,
        unnest([after_7, after_14, after_28, after_91, after_182, after_364]) as after
    from past_rates
)

select
    vehicle_id,
    meter,
    read_on,
    days,
    class,
    is_young,
    greatest(-100, least(100, (after - rate) / scale)) as miss
from followed
where after is not null and scale > 0
