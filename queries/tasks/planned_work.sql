-- Each time a task comes up, and the task that covers it on the same day, if one does: an item that both take is used once. The hours
-- of each are those of its plan, so a covering task's are those beyond what it covers.
--
-- one row: vehicle_id, task, occurrence_no
-- per:     vehicle
-- reads:   occurrences, covered_work
-- gives:   vehicle_id, task, occurrence_no
--          on_day
--          covered_by   the task that covers it that day (the first by name); null: none

with beside as (
    select o.vehicle_id, o.task, o.occurrence_no, min(b.task) as covered_by
    from occurrences o
    join occurrences b on b.vehicle_id = o.vehicle_id and b.on_day = o.on_day and b.task <> o.task
    join covered_work c on c.vehicle_id = b.vehicle_id and c.task = b.task and c.covered = o.task
    group by all
)

select o.vehicle_id, o.task, o.occurrence_no, o.on_day, b.covered_by
from occurrences o
left join beside b using (vehicle_id, task, occurrence_no)
