-- Each time a task comes up, and whether it is work of its own: where a task that covers it comes up on the same day, that one is
-- done and this one with it, so that nothing of it is bought, done or paid twice.
--
-- one row: vehicle_id, task, occurrence_no
-- reads:   occurrences, task_covers
-- gives:   vehicle_id, task, occurrence_no
--          on_day
--          covered_by   the task done that day that covers it (the first by name); null: it is work of its own

with beside as (
    select o.vehicle_id, o.task, o.occurrence_no, min(b.task) as covered_by
    from occurrences o
    join occurrences b on b.vehicle_id = o.vehicle_id and b.on_day = o.on_day and b.task <> o.task
    join task_covers c on c.vehicle_id = b.vehicle_id and c.task = b.task and c.covered = o.task
    -- Of two that cover each other the first by name is the work.
    left join task_covers back on back.vehicle_id = o.vehicle_id and back.task = o.task and back.covered = b.task
    where back.task is null or b.task < o.task
    group by all
)

select o.vehicle_id, o.task, o.occurrence_no, o.on_day, b.covered_by
from occurrences o
left join beside b using (vehicle_id, task, occurrence_no)
