-- The five views of a meter's use at each month's last reading: its own over 28 to 728 days, and its class's.
--
-- one row: vehicle_id, meter, read_on
-- per:     vehicle
-- reads:   month_ends, class_rate, run
-- gives:   vehicle_id
--          meter
--          read_on
--          class
--          is_last     the meter's last reading of all: the views the rate of today is mixed from
--          is_young    fewer than 91 days of history
--          rate_28     km or h a day
--          rate_91
--          rate_364
--          rate_728
--          rate_then   of the class, as it could be known at that month's start; its own rate_364 where unknown
--          rate_now    of the class, as known on the as-of date; likewise
--          after_7     km or h a day over the 7 days that followed, where known
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
    v.rate_28,
    v.rate_91,
    v.rate_364,
    v.rate_728,
    coalesce(c_then.class_rate, v.rate_364) as rate_then,
    coalesce(c_now.class_rate, v.rate_364) as rate_now,
    columns('^after_')
from month_ends as v
cross join run
left join class_rate as c_then
    on v.class = c_then.class and v.meter = c_then.meter and v.month = c_then.month
left join class_rate as c_now
    on v.class = c_now.class and v.meter = c_now.meter and c_now.month = year(run.as_of) * 12 + month(run.as_of)
