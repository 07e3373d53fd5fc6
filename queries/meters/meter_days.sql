-- A meter's believable readings day by day, with the next such day: what a value on any day is read off from.
--
-- one row: vehicle_id, meter, read_on
-- per:     vehicle
-- reads:   kept_readings
-- gives:   vehicle_id
--          meter      odometer | hours
--          read_on    day
--          low        km or h, the day's first
--          high       km or h, the day's last
--          next_on    the next day with a reading; null for the last
--          next_low   km or h, that day's first

with days as (
    select vehicle_id, meter, read_on, min(value) as low, max(value) as high
    from kept_readings
    group by all
)

select *, lead(read_on) over one as next_on, lead(low) over one as next_low
from days
window one as (partition by vehicle_id, meter order by read_on)
