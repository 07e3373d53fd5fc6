-- What one doing of each task of each vehicle costs at today's prices, on average: items by their chance and reuses, and labour.
--
-- An item that a task takes and one that it covers takes too is used once when both are done: it counts with the covered task, by whose
-- interval it is used up. So the costs of a task and of all it covers add up.
--
-- one row: vehicle_id, task
-- per:     vehicle
-- reads:   task_plan, item_plan, task_covers, item_cost, run
-- gives:   vehicle_id, task
--          cost    money, tax not counted

with within_covered as (
    select distinct b.vehicle_id, b.task, b.item
    from item_plan b
    join task_covers c on c.vehicle_id = b.vehicle_id and c.task = b.task and c.covered <> b.task
    join item_plan t on t.vehicle_id = b.vehicle_id and t.task = c.covered and t.item = b.item
    left join task_covers back on back.vehicle_id = b.vehicle_id and back.task = c.covered and back.covered = b.task
    -- Of two that cover each other the first by name has it.
    where back.task is null or c.covered < b.task
),

items as (
    select vehicle_id, task, item, quantity, chance, reuses from item_plan anti join within_covered using (vehicle_id, task, item)
)

select p.vehicle_id, p.task,
    (coalesce(sum((i.quantity::decimal(28, 7) * i.chance)::decimal(18, 7)::double * c.unit_cost::double / (i.reuses + 1)
        order by i.item), 0)
    + coalesce(any_value(p.labour_hours), 0)::double * any_value(labour_rate)::double)::decimal(18, 7) as cost
from task_plan p
left join items i using (vehicle_id, task)
left join item_cost c using (item), run
group by all
