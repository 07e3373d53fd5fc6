-- Names in lines of the history that stand for nothing: a vehicle that is not in the list, a task that is not in its plan, an
-- item that nobody knows (where items are listed at all).
--
-- one row: file, line, column
-- per:     vehicle
-- reads:   history, vehicles, task_covers, items
-- gives:   file, line, column   where it stands
--          value      the name
--          reason     what was expected

select file, line, 'vehicle_id' as "column", vehicle_id as value,
    'expected one that stands in vehicles; the row and its money are kept' as reason
from history
anti join vehicles using (vehicle_id)
union all
select h.file, h.line, 'task', h.task, 'expected a task of the plan of class ' || v.class || '; the row and its money are kept'
from history h
join vehicles v using (vehicle_id)
anti join task_covers p on p.vehicle_id = h.vehicle_id and p.task = h.task
where h.task is not null
union all
select h.file, h.line, 'item', h.item, 'expected one that stands in items'
from history h
anti join items i using (item)
where h.item is not null and exists (from items)
