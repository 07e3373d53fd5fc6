-- Each meter of a vehicle in service: what it should show now and in weeks ahead, with the range that holds four times in five.
--
-- one row: vehicle_id, meter
-- per:     vehicle
-- reads:   meter_now, distance_band, vehicles, run
-- gives:   vehicle_id
--          meter      odometer | hours
--          unit       the vehicle's km or mi, or h
--          last_on    day of the last believable reading
--          last, now  as the meter in use shows it
--          now_low, now_high   null: not known
--          ahead_on   12 weeks after the as-of date
--          ahead, ahead_low, ahead_high   as the meter in use shows it then; null: not known
--          rate       unit a day; null: not known
--          offset_now to add to get the figure since new

with reached as (
    select m.*, v.distance_unit, as_of + 84 as ahead_on, as_of - m.last_on as days_now, days_now + 84 as days_ahead,
        band_distance(days_now, b.low_7, b.low_14, b.low_28, b.low_91, b.low_182, b.low_364) as low_now,
        band_distance(days_now, b.high_7, b.high_14, b.high_28, b.high_91, b.high_182, b.high_364) as high_now,
        band_distance(days_ahead, b.low_7, b.low_14, b.low_28, b.low_91, b.low_182, b.low_364) as low_ahead,
        band_distance(days_ahead, b.high_7, b.high_14, b.high_28, b.high_91, b.high_182, b.high_364) as high_ahead
    from meter_now m
    join vehicles v using (vehicle_id)
    left join distance_band b using (vehicle_id, meter), run
    -- A trailer has no odometer and most vehicles no hour meter: what was never read is not shown.
    where m.is_read and is_in_service(v.in_service_on, v.retired_on, as_of)
)

select vehicle_id, meter, case meter when 'hours' then 'h' else distance_unit end as unit, last_on,
    shown_length(last_value - offset_now, meter, distance_unit) as last,
    shown_length(now - offset_now, meter, distance_unit) as now,
    shown_length(last_value - offset_now + low_now, meter, distance_unit) as now_low,
    shown_length(last_value - offset_now + high_now, meter, distance_unit) as now_high,
    ahead_on,
    shown_length(now - offset_now + 84 * rate, meter, distance_unit) as ahead,
    shown_length(last_value - offset_now + low_ahead, meter, distance_unit) as ahead_low,
    shown_length(last_value - offset_now + high_ahead, meter, distance_unit) as ahead_high,
    round(in_unit(rate, meter, distance_unit), 3)::decimal(18, 3) as rate,
    shown_length(offset_now, meter, distance_unit) as offset_now
from reached
order by vehicle_id, meter desc
