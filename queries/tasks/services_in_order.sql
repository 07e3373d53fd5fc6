-- The doings of each task of the plan in order, and after them one row for the doing that is awaited.
--
-- one row: vehicle_id, task, service_no
-- per:     vehicle
-- reads:   task_plan, service_lines, meters_on_service_days
-- gives:   vehicle_id, task
--          service_no 1 is the first on record
--          is_own     a line names the task itself; null for the one awaited
--          done_on    day; null for the one awaited
--          km, hours  since new that day; null where the meter was never read
--          before_on, before_km, before_hours   the same of the doing before; null for the first

with done as (
    select s.vehicle_id, s.task, s.done_on, s.is_own, coalesce(s.km, o.value) as km, coalesce(s.hours, h.value) as hours
    from service_lines s
    left join meters_on_service_days o on o.vehicle_id = s.vehicle_id and o.meter = 'odometer' and o.done_on = s.done_on
    left join meters_on_service_days h on h.vehicle_id = s.vehicle_id and h.meter = 'hours' and h.done_on = s.done_on
    union all
    select vehicle_id, task, null, null, null, null from task_plan
)

select vehicle_id, task, row_number() over one as service_no, is_own, done_on, km, hours,
    lag(done_on) over one as before_on, lag(km) over one as before_km, lag(hours) over one as before_hours
from done
window one as (partition by vehicle_id, task order by done_on nulls last)
