-- What history used that no plan foresees: top-ups, and whatever is not a planned task's own use, be it a repair, a check or a
-- service that took more than its plan has.
--
-- one row: file, line
-- per:     vehicle
-- reads:   worded_lines, line_tasks, item_plan, task_covers, run
-- gives:   file, line
--          vehicle_id
--          item
--          done_on
--          kind       repair | top_up | scheduled | check
--          quantity   in the item's unit; 1 where the line gives none

select h.file, h.line, h.vehicle_id, h.item, h.done_on, h.kind, coalesce(h.quantity, 1)::decimal(18, 7) as quantity
from worded_lines h, run
where h.item is not null and h.done_on <= as_of
    and (h.kind = 'top_up' or not exists (
        select 1
        from line_tasks t
        join task_covers c on c.vehicle_id = h.vehicle_id and c.task = t.task
        join item_plan p on p.vehicle_id = c.vehicle_id and p.task = c.covered
        where t.file = h.file and t.line = h.line and p.item = h.item
    ))
