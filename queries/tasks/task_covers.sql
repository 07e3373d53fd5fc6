-- What counts as done when a task is done: itself, what it covers, what that covers, and so on.
--
-- one row: vehicle_id, task, covered
-- reads:   task_plan
-- gives:   vehicle_id, task
--          covered    a task done along with it, itself included

with recursive direct as (
    select vehicle_id, task, unnest(string_split_regex(trim(covers), '\s+')) as covered
    from task_plan
    where covers is not null
),

chain as (
    select vehicle_id, task, task as covered
    from task_plan
    union
    select c.vehicle_id, c.task, d.covered
    from chain c
    join direct d on d.vehicle_id = c.vehicle_id and d.task = c.covered
)

select chain.vehicle_id, chain.task, chain.covered
from chain
semi join task_plan p on p.vehicle_id = chain.vehicle_id and p.task = chain.covered
