-- What one doing of each task of each vehicle costs at today's prices, on average: items by their chance and reuses, and labour.
--
-- one row: vehicle_id, task
-- reads:   task_plan, item_plan, item_cost, run
-- gives:   vehicle_id, task
--          cost    money, tax not counted

select p.vehicle_id, p.task,
    (coalesce(sum((i.quantity::decimal(28, 7) * i.chance)::decimal(18, 7)::double * c.unit_cost::double / (i.reuses + 1)
        order by i.item), 0)
    + coalesce(any_value(p.labour_hours), 0)::double * any_value(labour_rate)::double)::decimal(18, 7) as cost
from task_plan p
left join item_plan i using (vehicle_id, task)
left join item_cost c using (item), run
group by all
