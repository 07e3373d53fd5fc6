-- Which wording rules of fleet.toml say something of which line of the history.
--
-- A rule that names a task speaks of a vehicle only if its plan knows that task, and of a line only if that names no other:
-- what a person wrote stands.
--
-- one row: file, line, rule
-- per:     vehicle
-- reads:   history, vehicles, task_covers, wording_matches, wording_rules
-- gives:   file, line   of the history
--          rule         number of the rule, 1 is the first of fleet.toml
--          task, kind, item   what it says; null: nothing

with known as (
    select distinct vehicle_id, task from task_covers
)

select h.file, h.line, r.rule, r.task, r.kind, r.item
from history h
join wording_matches m using (description)
join wording_rules r using (rule)
left join vehicles v on v.vehicle_id = h.vehicle_id
left join known k on k.vehicle_id = h.vehicle_id and k.task = r.task
where (r.class is null or r.class = v.class)
    and (r.task is null or (k.task is not null and coalesce(h.task = r.task, true)))
