-- Which planned work is done along with which other, where both come up at once: what task_covers says, a task itself left out. Of
-- two that cover each other the first by name is the work, so that not both are taken for done by the other.
--
-- one row: vehicle_id, task, covered
-- per:     vehicle
-- reads:   task_covers
-- gives:   vehicle_id
--          task       the work
--          covered    the task that is done along with it

select t.vehicle_id, t.task, t.covered
from task_covers t
left join task_covers back on back.vehicle_id = t.vehicle_id and back.task = t.covered and back.covered = t.task
where t.task <> t.covered and (back.task is null or t.task < t.covered)
