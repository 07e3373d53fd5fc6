-- What each task on a job card takes, with its specification, and what of it would be short on the day of the visit.
--
-- one row: vehicle_id, visit_on, turn, item
-- reads:   card_tasks, visit_items, item_plan, items
-- gives:   vehicle_id, visit_on, turn
--          item, title
--          quantity   in unit; of what is needed by chance only, the quantity then
--          unit
--          by_chance  it may not be needed
--          grade
--          needs      specification tokens, ';' between
--          reason     why this vehicle takes another item or quantity than its class
--          is_drained a fluid, whose level is dipped before it is drained
--          lacking    in unit, of what is on the shelf and on order, earlier visits served first; null: enough by expected use
--          arrives_on the day on which what is ordered today is there; null: enough
--          is_late    that is after the visit

select t.vehicle_id, t.visit_on, t.turn, o.item, coalesce(i.title, o.item) as title, p.quantity, i.unit,
    o.chance < 1 as by_chance, i.grade, i.needs, p.reason,
    litres(1, i.unit) is not null as is_drained, o.lacking, o.arrives_on, coalesce(o.arrives_on > t.visit_on, false) as is_late
from card_tasks t
join visit_items o on o.vehicle_id = t.vehicle_id and o.task = t.task and o.occurrence_no = t.occurrence_no
join item_plan p on p.vehicle_id = t.vehicle_id and p.task = t.task and p.item = o.item
join items i on i.item = o.item
