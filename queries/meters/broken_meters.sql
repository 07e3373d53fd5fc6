-- Meters of which at least one reading cannot follow the one before it: it goes back, or further than a day can take it.
--
-- one row: vehicle_id, meter
-- per:     vehicle
-- reads:   readings_in_order
-- gives:   vehicle_id
--          meter      odometer | hours

select distinct vehicle_id, meter
from readings_in_order
where not can_follow
