-- How well projections did, vehicle by vehicle: where the weekly report's dates can be relied on less.
--
-- one row: vehicle_id, meter, horizon, estimator
-- reads:   judged
-- gives:   vehicle_id
--          class
--          meter      odometer | hours
--          horizon    ahead of the as-of date
--          estimator  daily_rate is the weekly report's
--          projections    number of them
--          error_ratio    sum of absolute errors ÷ sum of the distance run; null: nothing ran
--          bias       sum of errors ÷ sum of the distance run; above 0: projected too far
--          in_band_pct    per cent of what happened inside the 80 % band; null: a naive estimator has none

select vehicle_id, class, meter, horizon, estimator, count(*) as projections,
    round(sum(abs(error))::double / nullif(sum(moved), 0)::double, 4) as error_ratio,
    round(sum(error)::double / nullif(sum(moved), 0)::double, 4) as bias,
    round(100 * count(*) filter (where side = 0) / nullif(count(side), 0), 1) as in_band_pct
from judged
group by vehicle_id, class, meter, horizon, estimator, turn, place
order by vehicle_id, meter desc, turn, place
