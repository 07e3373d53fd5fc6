-- By which tasks a task covers another: the shortest chain from the one that was done to the one that counts as done.
--
-- one row: vehicle_id, task, covered
-- reads:   task_plan, task_covers
-- gives:   vehicle_id, task
--          covered   a task done along with it, itself included
--          path      both and those between, in order, ' covers ' between

with recursive direct as (
    select vehicle_id, task, unnest(string_split_regex(trim(covers), '\s+')) as covered
    from task_plan
    where covers is not null
),

chains as (
    select vehicle_id, task, task as covered, [task] as steps from task_covers where task = covered
    union all
    select c.vehicle_id, c.task, d.covered, list_append(c.steps, d.covered)
    from chains c
    join direct d on d.vehicle_id = c.vehicle_id and d.task = c.covered
    where not list_contains(c.steps, d.covered)
)

select vehicle_id, task, covered, array_to_string(steps, ' covers ') as path
from chains
semi join task_covers k on k.vehicle_id = chains.vehicle_id and k.task = chains.task and k.covered = chains.covered
qualify row_number() over (partition by vehicle_id, task, covered order by len(steps), path) = 1
