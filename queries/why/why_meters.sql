-- Where each meter stands and why: the last believed reading, the rate that carries it to the as-of date, the band around it.
--
-- one row: vehicle_id, meter
-- reads:   meter_now, place_of_reading, refused_readings, distance_band, vehicles, run
-- gives:   vehicle_id
--          meter       odometer | hours
--          unit        km | mi | h: what the figures are in, since new
--          last_on     day of the last believed reading
--          last_value  that reading
--          file, line, written   where it stands, and the number as written
--          days        from there to the as-of date
--          rate        a day; null: read on one day only
--          now         on the as-of date
--          shown_now   what the meter in use shows then
--          low_28, high_28, low_364, high_364   how far it moves in so many days: one time in ten below low, one in ten above high
--          believed, refused   how many readings
--          first_on    day of the first believed one

with counts as (
    select vehicle_id, meter, sum(readings)::bigint as believed, min(read_on) as first_on from place_of_reading group by all
),

refused as (
    select vehicle_id, meter, count(*) as refused from refused_readings group by all
)

select m.vehicle_id, m.meter, case m.meter when 'hours' then 'h' else v.distance_unit end as unit, m.last_on,
    in_unit(m.last_value, m.meter, v.distance_unit)::decimal(18, 7) as last_value,
    p.high_file as file, p.high_line as line, p.high_written as written, r.as_of - m.last_on as days,
    in_unit(m.rate, m.meter, v.distance_unit)::decimal(18, 7) as rate,
    in_unit(m.now, m.meter, v.distance_unit)::decimal(18, 7) as now,
    in_unit(m.now - m.offset_now, m.meter, v.distance_unit)::decimal(18, 7) as shown_now,
    in_unit(b.low_28, m.meter, v.distance_unit)::decimal(18, 7) as low_28,
    in_unit(b.high_28, m.meter, v.distance_unit)::decimal(18, 7) as high_28,
    in_unit(b.low_364, m.meter, v.distance_unit)::decimal(18, 7) as low_364,
    in_unit(b.high_364, m.meter, v.distance_unit)::decimal(18, 7) as high_364,
    c.believed, coalesce(f.refused, 0) as refused, c.first_on
from meter_now m
join vehicles v using (vehicle_id)
join place_of_reading p on p.vehicle_id = m.vehicle_id and p.meter = m.meter and p.read_on = m.last_on
join counts c on c.vehicle_id = m.vehicle_id and c.meter = m.meter
left join distance_band b on b.vehicle_id = m.vehicle_id and b.meter = m.meter
left join refused f on f.vehicle_id = m.vehicle_id and f.meter = m.meter, run r
