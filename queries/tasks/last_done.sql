-- When each task of the plan was last done, by itself or covered by another.
--
-- one row: vehicle_id, task
-- per:     vehicle
-- reads:   services_in_order
-- gives:   vehicle_id, task
--          done_on    day; null: never
--          km, hours  since new that day

select vehicle_id, task, before_on as done_on, before_km as km, before_hours as hours
from services_in_order
where done_on is null
