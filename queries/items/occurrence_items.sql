-- What is used each time a task comes up. What the task that covers it that day takes too is counted with that one: an oil change and
-- the service that includes it take the oil once. A piece that serves again is renewed at every (reuses + 1)th time only, counted on from the
-- last history line of that task that used it; without one, at the first.
--
-- one row: vehicle_id, task, occurrence_no, item
-- per:     vehicle
-- reads:   planned_work, item_plan, worded_lines, line_tasks, task_covers, covered_work, service_lines, run
-- gives:   vehicle_id, task, occurrence_no
--          on_day
--          item
--          quantity   expected: quantity x chance, in the item's unit
--          chance     0 to 1

with last_used as (
    select h.vehicle_id, c.covered as task, h.item, max(h.done_on) as used_on
    from worded_lines h
    join line_tasks t using (file, line)
    join task_covers c on c.vehicle_id = h.vehicle_id and c.task = t.task, run
    where h.done_on <= as_of and h.kind <> 'top_up' and h.item is not null
    group by all
),

-- How often the task was done with the piece that is in now.
served as (
    select u.vehicle_id, u.task, u.item, count(s.done_on) as times
    from last_used u
    left join service_lines s on s.vehicle_id = u.vehicle_id and s.task = u.task and s.done_on > u.used_on
    group by all
),

taken as (
    select w.vehicle_id, w.task, w.occurrence_no, w.on_day, p.item,
        (p.quantity * p.chance)::decimal(18, 7) as quantity, p.chance
    from planned_work w
    join item_plan p using (vehicle_id, task)
    left join served s on s.vehicle_id = w.vehicle_id and s.task = w.task and s.item = p.item
    where (coalesce(s.times, -1) + w.occurrence_no) % (p.reuses + 1) = 0
),

-- What another task takes that covers this one, directly or through a third.
within_others as (
    select distinct t.vehicle_id, t.task, t.occurrence_no, t.item
    from taken t
    join taken b on b.vehicle_id = t.vehicle_id and b.on_day = t.on_day and b.item = t.item and b.task <> t.task
    join covered_work c on c.vehicle_id = b.vehicle_id and c.task = b.task and c.covered = t.task
)

select vehicle_id, task, occurrence_no, on_day, item, quantity, chance
from taken
anti join within_others using (vehicle_id, task, occurrence_no, item)
