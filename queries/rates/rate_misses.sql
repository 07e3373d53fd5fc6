-- By how much the mix now in use would have missed in the past, in parts of the use then.
--
-- one row: vehicle_id, meter, read_on, days
-- per:     vehicle
-- reads:   rate_views, view_shares, use_variation
-- gives:   vehicle_id
--          meter
--          read_on
--          days         ahead: 7, 14, 28, 91, 182 or 364
--          class
--          is_young
--          miss         (use that followed − rate) ÷ scale; cut off at ± 100

with rates as (
    select v.*,
        (1 - s.share_class * u.class_trust)
            * (s.share_28 * v.rate_28 + s.share_91 * v.rate_91
                + s.share_364 * v.rate_364 + s.share_728 * v.rate_728)
            / (s.share_28 + s.share_91 + s.share_364 + s.share_728)
            + s.share_class * u.class_trust * v.rate_then as rate
    from rate_views as v
    join view_shares as s using (vehicle_id, meter, is_young)
    join use_variation as u using (vehicle_id, meter)
),

followed as (
    select vehicle_id, meter, read_on, class, is_young, rate, (rate + rate_364) / 2 as scale,
        unnest([7, 14, 28, 91, 182, 364]) as days,
        unnest([after_7, after_14, after_28, after_91, after_182, after_364]) as after
    from rates
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
