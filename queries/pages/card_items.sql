-- What each task on a job card takes, with its specification. What a task of the card that covers it takes too stands with that one.
--
-- one row: vehicle_id, visit_on, turn, item
-- reads:   card_tasks, occurrence_items, item_plan, task_covers, items, work_without_items
-- gives:   vehicle_id, visit_on, turn
--          item, title
--          quantity   in unit; of what is needed by chance only, the quantity then
--          unit
--          by_chance  it may not be needed
--          grade
--          needs      specification tokens, ';' between
--          reason     why this vehicle takes another item or quantity than its class
--          is_drained a fluid, whose level is dipped before it is drained
--          lacking    in unit, of what is on the shelf and on order, work due before it served first; null: enough by expected use
--          arrives_on the day on which what is ordered today is there; null: enough
--          is_late    that is after the visit

select t.vehicle_id, t.visit_on, t.turn, o.item, coalesce(i.title, o.item) as title, p.quantity, i.unit,
    o.chance < 1 as by_chance, i.grade, i.needs, p.reason,
    litres(1, i.unit) is not null as is_drained, w.lacking, w.arrives_on, coalesce(w.arrives_on > t.visit_on, false) as is_late
from card_tasks t
join occurrence_items o on o.vehicle_id = t.vehicle_id and o.task = t.task and o.occurrence_no = t.occurrence_no
join item_plan p on p.vehicle_id = t.vehicle_id and p.task = t.task and p.item = o.item
join items i on i.item = o.item
left join work_without_items w on w.vehicle_id = o.vehicle_id and w.task = o.task and w.occurrence_no = o.occurrence_no
    and w.item = o.item
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
