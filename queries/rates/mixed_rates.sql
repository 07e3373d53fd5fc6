-- The rate that the mix now in use would have given at each month's last reading.
--
-- one row: vehicle_id, meter, read_on
-- per:     vehicle
-- reads:   rate_views, view_shares, use_variation
-- gives:   vehicle_id
--          meter
--          read_on
--          class
--          is_last       the meter's last reading of all
--          is_young      fewer than 91 days of history
--          class_trust   0 for a meter that never varies, up to 1
--          rate_364      km or h a day over the 364 days before
--          rate          km or h a day; the class's share as it could be known then, for the last reading as known today
--          after_7       km or h a day over the 7 days that followed, where known
--          after_14
--          after_28
--          after_91
--          after_182
--          after_364

select
    v.vehicle_id,
    v.meter,
    v.read_on,
    v.class,
    v.is_last,
    v.is_young,
    u.class_trust,
    v.rate_364,
    (1 - s.share_class * u.class_trust)
        * (s.share_28 * v.rate_28 + s.share_91 * v.rate_91 + s.share_364 * v.rate_364 + s.share_728 * v.rate_728)
        / (s.share_28 + s.share_91 + s.share_364 + s.share_728)
        + s.share_class * u.class_trust * if(v.is_last, v.rate_now, v.rate_then) as rate,
    columns('^after_')
from rate_views as v
join view_shares as s using (vehicle_id, meter, is_young)
join use_variation as u using (vehicle_id, meter)
