-- The history with its blank cells filled by the wording rules, line by line. Every line stands once, so that its money does.
--
-- The first rule that names a task, a kind or an item gives it. A kind that neither line nor rule names is scheduled where a
-- task is known, else repair. Further tasks of a line are in line_tasks.
--
-- one row: file, line
-- per:     vehicle
-- reads:   history, line_rules
-- gives:   file, line
--          vehicle_id, done_on, odometer, hours, unit
--          task         as written, else by the first rule; null: none
--          description
--          kind         scheduled | repair | top_up | check
--          item, quantity, parts_cost, labour_hours, labour_cost, other_cost, invoice, condition, still_open, note,
--          below_mark, done_by, verified_by
--          task_rule, kind_rule, item_rule   the rule that filled the cell; null: as written, or blank
--          is_kind_known   the line or a rule says which kind it is, or which task

with filled as (
    select file, line,
        min(rule) filter (task is not null) as task_rule, arg_min(task, rule) filter (task is not null) as task,
        min(rule) filter (kind is not null) as kind_rule, arg_min(kind, rule) filter (kind is not null) as kind,
        min(rule) filter (item is not null) as item_rule, arg_min(item, rule) filter (item is not null) as item
    from line_rules
    group by all
)

select file, line, h.vehicle_id, h.done_on, h.odometer, h.hours, h.unit,
    coalesce(h.task, f.task) as task, h.description,
    coalesce(h.kind, f.kind, case when coalesce(h.task, f.task) is not null then 'scheduled' else 'repair' end) as kind,
    coalesce(h.item, f.item) as item,
    -- A dip between services uses nothing, so a blank quantity must not count as a piece.
    case when h.below_mark is not null and coalesce(h.kind, f.kind) = 'check' then coalesce(h.quantity, 0) else h.quantity end
        as quantity,
    h.parts_cost, h.labour_hours, h.labour_cost, h.other_cost, h.invoice, h.condition, h.still_open, h.note,
    h.below_mark, h.done_by, h.verified_by,
    case when h.task is null then f.task_rule end as task_rule,
    case when h.kind is null then f.kind_rule end as kind_rule,
    case when h.item is null then f.item_rule end as item_rule,
    coalesce(h.kind, f.kind, h.task, f.task) is not null as is_kind_known
from history h
left join filled f using (file, line)
