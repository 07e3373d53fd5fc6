-- Every line of the history up to the as-of date, as money paid: only what is written down as money, tax not counted.
--
-- one row: file, line
-- reads:   worded_lines, vehicles, task_plan, run
-- gives:   file, line
--          vehicle_id
--          done_on
--          is_known     false: no such vehicle
--          cost_centre  '' where none is given
--          category     of the task; `repairs` for unplanned work; '' where none is given
--          why          planned | unplanned
--          amount       money; 0 where none is written

select h.file, h.line, h.vehicle_id, h.done_on, v.vehicle_id is not null as is_known,
    coalesce(v.cost_centre, '') as cost_centre,
    case when h.kind = 'repair' then 'repairs' else coalesce(p.category, '') end as category,
    case when h.kind = 'repair' then 'unplanned' else 'planned' end as why,
    (coalesce(h.parts_cost, 0) + coalesce(h.labour_cost, 0) + coalesce(h.other_cost, 0))::decimal(18, 4) as amount
from worded_lines h
left join vehicles v using (vehicle_id)
left join task_plan p using (vehicle_id, task), run
where h.done_on <= as_of
