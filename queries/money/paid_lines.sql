-- Every line of the history up to the as-of date, as money paid: only what is written down as money, tax not counted.
--
-- Planned is work whose task comes up by itself in the vehicle's plan, and so stands in the forecast with a date. All else that is paid for
-- is unplanned: repairs, and other work, which is top-ups, and checks and scheduled lines that the plan does not date (no task, none
-- of the plan, one without an interval, or one that follows other work).
--
-- one row: file, line
-- per:     vehicle
-- reads:   worded_lines, line_tasks, vehicles, task_plan, run
-- gives:   file, line
--          vehicle_id
--          done_on
--          is_known     false: no such vehicle
--          cost_centre  '' where none is given
--          category     of the task; `repairs` and `other` for unplanned work; '' where none is given
--          why          planned | unplanned
--          kind         planned | repair | other
--          amount       money; 0 where none is written

-- By itself, or a planner might join every line with every plan that knows its task.
with tasks_of_lines as materialized (
    select t.file, t.line, h.vehicle_id, t.task
    from line_tasks t
    join worded_lines h using (file, line)
),

dated as (
    select distinct t.file, t.line
    from tasks_of_lines t
    join task_plan p using (vehicle_id, task)
    where p.after is null and coalesce(p.every_km::varchar, p.every_hours::varchar, p.every_months::varchar, p.every_year_on,
        p.expires_on::varchar) is not null
),

lines as (
    select h.file, h.line, h.vehicle_id, h.done_on, h.task, v.vehicle_id is not null as is_known, v.cost_centre,
        case when h.kind = 'repair' then 'repair'
            when h.kind <> 'top_up' and (d.file is not null or v.vehicle_id is null and h.task is not null) then 'planned'
            else 'other' end as kind,
        (coalesce(h.parts_cost, 0) + coalesce(h.labour_cost, 0) + coalesce(h.other_cost, 0))::decimal(18, 4) as amount
    from worded_lines h
    left join vehicles v on v.vehicle_id = h.vehicle_id
    left join dated d on d.file = h.file and d.line = h.line, run
    where h.done_on <= as_of
)

select l.file, l.line, l.vehicle_id, l.done_on, l.is_known, coalesce(l.cost_centre, '') as cost_centre,
    case l.kind when 'repair' then 'repairs' when 'other' then 'other' else coalesce(p.category, '') end as category,
    case when l.kind = 'planned' then 'planned' else 'unplanned' end as why, l.kind, l.amount
from lines l
left join task_plan p using (vehicle_id, task)
