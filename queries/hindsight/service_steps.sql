-- The intervals by distance and by hours at which the plan of each vehicle has something done.
--
-- The plan is today's: the folder does not say what it was on a past day.
--
-- one row: vehicle_id, meter, step
-- reads:   task_plan
-- gives:   vehicle_id
--          meter      odometer | hours
--          step       km or h, above 0

select distinct vehicle_id, 'odometer' as meter, every_km as step
from task_plan
where every_km > 0
union all
select distinct vehicle_id, 'hours', every_hours
from task_plan
where every_hours > 0
