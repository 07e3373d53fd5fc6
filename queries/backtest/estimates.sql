-- Every estimator's daily rate at every look.
--
-- one row: as_of, vehicle_id, meter, estimator
-- reads:   looks
-- gives:   as_of
--          vehicle_id
--          meter
--          estimator  daily_rate is the weekly report's
--          place      order of the estimators
--          rate       km or h a day

select as_of, vehicle_id, meter,
    unnest(['daily_rate', 'half_life_3_months', 'last_30_days', 'last_3_months', 'last_12_months', 'median_slope', 'lifetime'])
        as estimator,
    unnest(range(1, 8)) as place,
    unnest([daily_rate, half_life_3_months, last_30_days, last_3_months, last_12_months, median_slope, lifetime]) as rate
from looks
