-- The days on which each task was done, by itself or covered by another, with the meters as written on the service lines.
--
-- Topping up is not the service, so lines of kind top_up do not count. A number on a service line that the meter's other
-- readings contradict does not count either.
--
-- one row: vehicle_id, task, done_on
-- per:     vehicle
-- reads:   worded_lines, line_tasks, task_covers, kept_readings, run
-- gives:   vehicle_id, task
--          done_on    day
--          is_own     a line names the task itself, or its words do
--          km, hours  since new, the greatest believable number written that day; null: none

with written as (
    select file, line, max(value) filter ("column" = 'odometer') as km, max(value) filter ("column" = 'hours') as hours
    from kept_readings
    where "column" in ('odometer', 'hours')
    group by all
)

select h.vehicle_id, c.covered as task, h.done_on, bool_or(t.task = c.covered) as is_own,
    max(w.km) as km, max(w.hours) as hours
from worded_lines h
join line_tasks t using (file, line)
join task_covers c on c.vehicle_id = h.vehicle_id and c.task = t.task
left join written w on w.file = h.file and w.line = h.line, run
where h.done_on <= as_of and h.kind <> 'top_up'
group by all
