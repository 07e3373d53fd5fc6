-- Which rows of the plan are in force for each task of each vehicle, and where they stand.
--
-- one row: vehicle_id, task
-- reads:   task_plan, vehicles, tasks, vehicle_tasks, expiries
-- gives:   vehicle_id, task
--          title        the task's name for people
--          class_file, class_line, class_named   the row of tasks, and the class it is written for; null: none
--          own_file, own_line, own_reason        the row of vehicle_tasks whose filled cells replace it; null: none
--          expiry_file, expiry_line, expires_on  the row of expiries with the latest date; null: none
--          basis, after, every_year_on, severe_applies, is_recorded, in_service_on   as in task_plan

select p.vehicle_id, p.task, shown_title(p.title, p.task) as title,
    coalesce(c.file, a.file) as class_file, coalesce(c.line, a.line) as class_line, coalesce(c.class, a.class) as class_named,
    x.file as own_file, x.line as own_line, x.reason as own_reason,
    e.file as expiry_file, e.line as expiry_line, p.expires_on,
    p.basis, p.after, p.every_year_on, p.severe_applies, p.is_recorded, p.in_service_on
from task_plan p
join vehicles v using (vehicle_id)
left join tasks c on c.class = v.class and c.task = p.task
left join tasks a on a.class = '*' and a.task = p.task and c.task is null
left join vehicle_tasks x on x.vehicle_id = p.vehicle_id and x.task = p.task
left join (
    select vehicle_id, task, expires_on, min(file) as file, arg_min(line, (file, line)) as line from expiries group by all
) e on e.vehicle_id = p.vehicle_id and e.task = p.task and e.expires_on = p.expires_on
