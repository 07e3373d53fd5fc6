-- All that was said of each meter looked at on this as-of date; collected over the dates as `looks`.
--
-- one row: vehicle_id, meter
-- reads:   looked_at, naive_rates
-- gives:   as_of
--          vehicle_id
--          meter
--          class      of the vehicle
--          last_on    day of the last believed reading
--          last_value km or h since new
--          daily_rate km or h a day, as the weekly report has it
--          half_life_3_months, last_30_days, last_3_months, last_12_months, median_slope, lifetime   likewise, naive
--          usual_change   km or h a day: mean absolute change from month to month
--          low_7, low_14, low_28, low_91, low_182, low_364   km or h within so many days of last_on: the 80 % band
--          high_7, high_14, high_28, high_91, high_182, high_364

select l.as_of, l.vehicle_id, l.meter, l.class, l.last_on, l.last_value, l.rate as daily_rate,
    n.half_life_3_months, n.last_30_days, n.last_3_months, n.last_12_months, n.median_slope, n.lifetime,
    n.usual_change,
    l.low_7, l.low_14, l.low_28, l.low_91, l.low_182, l.low_364,
    l.high_7, l.high_14, l.high_28, l.high_91, l.high_182, l.high_364
from looked_at l
join naive_rates n using (vehicle_id, meter)
order by l.as_of, l.vehicle_id, l.meter
