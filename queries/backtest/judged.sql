-- Every projection beside what happened.
--
-- one row: as_of, vehicle_id, meter, horizon, estimator
-- reads:   outcomes, estimates, looks
-- gives:   as_of
--          vehicle_id
--          meter
--          horizon
--          estimator
--          turn, place   order of the horizon, of the estimator
--          class
--          moved      km or h that the meter ran
--          error      km or h, projected less actual
--          scaled_error   absolute error a day ÷ the mean change from month to month; null where that is not above 0
--          side       of the band: -1 below it, 0 within, 1 above; null: a naive estimator has none
--          loss_10, loss_50, loss_90   km or h: pinball loss of the band's low edge, the projection, the high edge

with beside as (
    select o.*, e.estimator, e.place, e.rate * o.days as projected, l.usual_change, e.estimator = 'daily_rate' as has_band
    from outcomes o
    join estimates e using (as_of, vehicle_id, meter)
    join looks l using (as_of, vehicle_id, meter)
)

select as_of, vehicle_id, meter, horizon, estimator, turn, place, class, moved,
    (projected - actual)::decimal(18, 7) as error,
    case when usual_change > 0 then (abs(projected - actual)::double / days / usual_change::double)::decimal(18, 7) end
        as scaled_error,
    -- A band's edges are printed to a ten-millionth; a steady meter's lie on the distance itself.
    case when not has_band then null
        when actual < low - 0.000001 then -1
        when actual > high + 0.000001 then 1
        else 0
    end as side,
    case when has_band then pinball_loss(0.1, actual, low)::decimal(18, 7) end as loss_10,
    pinball_loss(0.5, actual, projected)::decimal(18, 7) as loss_50,
    case when has_band then pinball_loss(0.9, actual, high)::decimal(18, 7) end as loss_90
from beside
