-- A meter's believable readings day by day as they are known in the end: what a replayed projection is judged by.
--
-- one row: vehicle_id, meter, read_on
-- reads:   meter_days
-- gives:   vehicle_id
--          meter      odometer | hours
--          read_on    day
--          low        km or h, the day's first
--          high       km or h, the day's last
--          next_on    the next day with a reading; null for the last
--          next_low   km or h, that day's first

select vehicle_id, meter, read_on, low, high, next_on, next_low
from meter_days
