-- The day of each vehicle's latest reading in the files, believed or not.
--
-- one row: vehicle_id
-- per:     vehicle
-- reads:   readings, run
-- gives:   vehicle_id
--          read_on   not after the as-of date

select vehicle_id, max(read_at::date) as read_on
from readings, run
where read_at::date <= as_of
group by vehicle_id
