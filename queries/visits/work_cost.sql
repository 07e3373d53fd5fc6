-- What each planned piece of work takes of labour and money at today's prices.
--
-- one row: vehicle_id, task, occurrence_no
-- per:     vehicle
-- reads:   planned_work, task_plan, occurrence_items, item_cost, run
-- gives:   vehicle_id, task, occurrence_no
--          labour_hours   h; null: not set in the plan
--          cost           labour at the rate and items at unit cost; what has no price counts 0

with items as (
    select vehicle_id, task, occurrence_no, sum(o.quantity * coalesce(c.unit_cost, 0)) as cost
    from occurrence_items o
    left join item_cost c using (item)
    group by all
)

select w.vehicle_id, w.task, w.occurrence_no, p.labour_hours,
    (coalesce(p.labour_hours, 0) * labour_rate + coalesce(i.cost, 0))::decimal(18, 4) as cost
from planned_work w
join task_plan p using (vehicle_id, task)
left join items i using (vehicle_id, task, occurrence_no), run
