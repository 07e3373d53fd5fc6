-- What counts as done when a task is done: itself, what it covers, what that covers, and so on.
-- Work that a follow-up waits for counts too, though it may be no planned task of the vehicle.
--
-- one row: vehicle_id, task, covered
-- per:     vehicle
-- reads:   task_plan
-- gives:   vehicle_id, task
--          covered    a task done along with it, itself included

with recursive direct as (
    select vehicle_id, task, unnest(string_split_regex(trim(covers), '\s+')) as covered
    from task_plan
    where covers is not null
),

known as (
    select vehicle_id, task from task_plan
    union
    select vehicle_id, after from task_plan where after is not null
),

chain as (
    select vehicle_id, task, task as covered
    from known
    union
    select c.vehicle_id, c.task, d.covered
    from chain c
    join direct d on d.vehicle_id = c.vehicle_id and d.task = c.covered
)

select chain.vehicle_id, chain.task, chain.covered
from chain
semi join known k on k.vehicle_id = chain.vehicle_id and k.task = chain.covered
