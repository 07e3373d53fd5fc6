-- What each task on a job card takes, with its specification. What a task of the card that covers it takes too stands with that one.
--
-- one row: vehicle_id, visit_on, turn, item
-- reads:   card_tasks, occurrence_items, item_plan, task_covers, items
-- gives:   vehicle_id, visit_on, turn
--          item, title
--          quantity   in unit; of what is needed by chance only, the quantity then
--          unit
--          by_chance  it may not be needed
--          grade
--          needs      specification tokens, ';' between
--          reason     why this vehicle takes another item or quantity than its class

select t.vehicle_id, t.visit_on, t.turn, o.item, coalesce(i.title, o.item) as title, p.quantity, i.unit,
    o.chance < 1 as by_chance, i.grade, i.needs, p.reason
from card_tasks t
join occurrence_items o on o.vehicle_id = t.vehicle_id and o.task = t.task and o.occurrence_no = t.occurrence_no
join item_plan p on p.vehicle_id = t.vehicle_id and p.task = t.task and p.item = o.item
join items i on i.item = o.item
where not exists (
    select 1
    from card_tasks b
    join task_covers c on c.vehicle_id = b.vehicle_id and c.task = b.task and c.covered = t.task
    join occurrence_items s on s.vehicle_id = b.vehicle_id and s.task = b.task and s.occurrence_no = b.occurrence_no
        and s.item = o.item
    left join task_covers back on back.vehicle_id = t.vehicle_id and back.task = t.task and back.covered = b.task
    where b.vehicle_id = t.vehicle_id and b.visit_on = t.visit_on and b.task <> t.task
        and (back.task is null or b.task < t.task)
)
