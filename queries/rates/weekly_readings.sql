-- Of each meter, one reading a week: the week's last, and the first ever. Enough for a rate, and fewer rows.
--
-- one row: vehicle_id, meter, read_on
-- per:     vehicle
-- reads:   kept_readings
-- gives:   vehicle_id
--          meter
--          meter_no      one number for vehicle_id and meter, by which many rows join faster
--          read_on
--          reading       accumulated km or h; the last of its day
--          next_on       the following weekly reading; null for the last
--          next_reading
--          first_on      day of the meter's first reading
--          last_on       day of its last

-- Kept readings never fall, so the greatest of a week is its last.
with weeks as (
    select vehicle_id, meter, max(read_on) as read_on, max(value) as reading, min(read_on) as first_on,
        -- the last reading of the week's first day: by day upwards, then by order downwards
        arg_min(value, (read_on - date '1900-01-01') * 1000000000000 - seq) as first_reading
    from kept_readings
    group by vehicle_id, meter, date_trunc('week', read_on)
),

meters as (
    select vehicle_id, meter, min(first_on) as first_on, max(read_on) as last_on,
        arg_min(first_reading, first_on) as first_reading,
        row_number() over (order by vehicle_id, meter) as meter_no
    from weeks
    group by vehicle_id, meter
),

thinned as (
    select vehicle_id, meter, read_on, reading from weeks
    union all
    -- the first week's last reading may be another one
    select vehicle_id, meter, first_on, first_reading from meters
    anti join weeks on weeks.vehicle_id = meters.vehicle_id and weeks.meter = meters.meter
        and weeks.read_on = meters.first_on
)

select
    vehicle_id,
    meter,
    meter_no,
    read_on,
    reading,
    lead(read_on) over following as next_on,
    lead(reading) over following as next_reading,
    first_on,
    last_on
from thinned
join meters using (vehicle_id, meter)
window following as (partition by meter_no order by read_on)
