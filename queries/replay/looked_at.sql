-- The meters that are looked at on this as-of date, as the weekly report would have known them.
--
-- one row: vehicle_id, meter
-- reads:   look_days, meter_now, distance_band, vehicles, run
-- gives:   as_of
--          vehicle_id
--          meter
--          class      of the vehicle
--          last_on    day of the last believed reading
--          last_value km or h since new
--          rate       km or h a day
--          low_7, low_14, low_28, low_91, low_182, low_364   km or h within so many days of last_on: the 80 % band
--          high_7, high_14, high_28, high_91, high_182, high_364

select l.as_of, l.vehicle_id, l.meter, v.class, n.last_on, n.last_value, n.rate,
    b.low_7, b.low_14, b.low_28, b.low_91, b.low_182, b.low_364,
    b.high_7, b.high_14, b.high_28, b.high_91, b.high_182, b.high_364
from look_days l
join run on run.as_of = l.as_of
join meter_now n on n.vehicle_id = l.vehicle_id and n.meter = l.meter
join distance_band b on b.vehicle_id = l.vehicle_id and b.meter = l.meter
join vehicles v on v.vehicle_id = l.vehicle_id
where n.rate is not null
