-- What was written of a meter on the latest doing of a task and not believed, where no number written that day was: the doing
-- counts by what the other readings say of its day.
--
-- one row: vehicle_id, task
-- per:     vehicle
-- reads:   refused_readings, worded_lines, line_tasks, task_covers, service_lines
-- gives:   vehicle_id, task
--          odometer  as written, in unit, the greatest of the day; null: none was refused, or another was believed
--          unit      km | mi: what odometer was written in
--          hours     h, likewise

with refused as (
    select h.vehicle_id, c.covered as task, h.done_on,
        arg_max({'odometer': h.odometer, 'unit': h.unit}, f.seq) filter (f.meter = 'odometer') as length,
        arg_max(h.hours, f.seq) filter (f.meter = 'hours') as hours
    from refused_readings f
    join worded_lines h using (file, line)
    join line_tasks t using (file, line)
    join task_covers c on c.vehicle_id = h.vehicle_id and c.task = t.task
    where f."table" = 'history' and h.kind <> 'top_up'
    group by all
),

latest as (
    select vehicle_id, task, max(done_on) as done_on
    from service_lines
    semi join refused using (vehicle_id, task)
    group by all
)

select r.vehicle_id, r.task,
    case when s.km is null then r.length.odometer end as odometer,
    case when s.km is null then r.length.unit end as unit,
    case when s.hours is null then r.hours end as hours
from refused r
semi join latest l on l.vehicle_id = r.vehicle_id and l.task = r.task and l.done_on = r.done_on
join service_lines s on s.vehicle_id = r.vehicle_id and s.task = r.task and s.done_on = r.done_on
where (s.km is null and r.length is not null) or (s.hours is null and r.hours is not null)
