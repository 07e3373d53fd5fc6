-- The nature and due date of each piece of work planned on each vehicle, for its record (49 CFR 396.3(b)(2)).
--
-- one row: vehicle_id, task
-- per:     vehicle
-- reads:   due, task_plan
-- gives:   vehicle_id, task
--          title
--          status
--          due_on    null: no date can be given
--          source    maker | law | contract | own; null: not said
--          last_done_on

select d.vehicle_id, d.task, d.title, d.status, d.due_on, p.source, d.last_done_on
from due d
join task_plan p using (vehicle_id, task)
order by d.vehicle_id, d.due_on nulls last, d.task
