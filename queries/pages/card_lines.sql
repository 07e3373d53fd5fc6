-- The job cards as lines of history, to be filled in (day, meters, hours, condition) and put back into the history folder:
-- a line for each task and one for each item it takes.
--
-- one row: card_no, turn, item
-- reads:   card_tasks, card_items, card_visits
-- gives:   card_no     number of the job card; stands in the invoice column
--          turn
--          item        blank: the line of the task itself
--          vehicle_id, unit, task, description
--          quantity    as planned; null on the line of the task

select v.card_no, t.turn, '' as item, t.vehicle_id, v.distance_unit as unit, t.task, t.title as description,
    null::decimal(18, 7) as quantity
from card_tasks t
join card_visits v using (vehicle_id, visit_on)
union all
select v.card_no, i.turn, i.item, i.vehicle_id, v.distance_unit, t.task, i.title, i.quantity
from card_items i
join card_tasks t using (vehicle_id, visit_on, turn)
join card_visits v using (vehicle_id, visit_on)
order by card_no, turn, item
