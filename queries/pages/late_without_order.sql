-- Planned work up to the horizon, and as far as this order must last, that would lack an item if nothing were bought.
--
-- one row: vehicle_id, task, occurrence_no, item
-- reads:   work_without_items, vehicles, task_plan, items, run
-- gives:   vehicle_id, vehicle_title, depot
--          task, task_title, occurrence_no
--          on_day
--          item, item_title, unit
--          quantity, lacking   expected, in the unit
--          is_measured   in litres, kg, m …; else it counts pieces
--          arrives_on    the day on which what is ordered today is there
--          is_too_late   that is after the work's day
--          is_urgent     its day lies before what is ordered next time can be there

select w.vehicle_id, v.title as vehicle_title, coalesce(v.depot, '') as depot, w.task,
    shown_title(p.title, w.task) as task_title, w.occurrence_no, w.on_day, w.item, coalesce(i.title, w.item) as item_title,
    i.unit, w.quantity::decimal(18, 3) as quantity, w.lacking, is_measured(i.unit) as is_measured, w.arrives_on, w.arrives_on > w.on_day as is_too_late,
    w.is_urgent
from work_without_items w
join vehicles v using (vehicle_id)
join task_plan p using (vehicle_id, task)
join items i using (item), run
where w.on_day <= horizon_until or w.is_urgent
order by w.on_day, w.vehicle_id, w.task, w.occurrence_no, w.item
