-- Names in loaded rows that stand for nothing: a vehicle that is not in the list, a task that is not in its plan, an item that
-- nobody knows (where items are listed at all). A wording rule that names what nobody knows says nothing.
-- The row stays (a history line keeps its money); what the name should have done, it does not.
--
-- one row: file, line, column, value
-- reads:   history, vehicles, task_covers, tasks, vehicle_tasks, expiries, items, vehicle_items, wording_rules
-- gives:   file, line, table, column   where it stands
--          value      the name
--          reason     what was expected

with plan_rows as (
    select file, line, 'tasks' as "table", class, task, after, covers from tasks
    union all
    select x.file, x.line, 'vehicle_tasks', v.class, x.task, x.after, x.covers
    from vehicle_tasks x
    join vehicles v using (vehicle_id)
),

named as (
    select file, line, "table", 'after' as "column", after as value from plan_rows where after is not null
    union
    select file, line, "table", 'covers', unnest(string_split_regex(trim(covers), '\s+'))
    from plan_rows
    where covers is not null
)

select file, line, 'history' as "table", 'vehicle_id' as "column", vehicle_id as value,
    'expected one that stands in vehicles; the row and its money are kept' as reason
from history
anti join vehicles using (vehicle_id)
union all
select h.file, h.line, 'history', 'task', h.task,
    'expected a task of the plan of class ' || v.class || '; the row and its money are kept'
from history h
join vehicles v using (vehicle_id)
anti join task_covers p on p.vehicle_id = h.vehicle_id and p.task = h.task
where h.task is not null
union all
select distinct file, line, "table", "column", value, 'expected a task that stands in tasks or vehicle_tasks'
from named
anti join plan_rows on plan_rows.task = named.value
union all
select 'fleet.toml', r.line, 'wording', 'task', r.task, 'expected a task that stands in tasks, vehicle_tasks or expiries'
from wording_rules r
anti join (from (select task from plan_rows union select task from expiries)) p on p.task = r.task
where r.task is not null
union all
select 'fleet.toml', r.line, 'wording', 'class', r.class, 'expected a class that stands in vehicles'
from wording_rules r
anti join vehicles v on v.class = r.class
where r.class is not null
union all
select n.file, n.line, n."table", n."column", n.value, 'expected one that stands in items'
from (
    select file, line, 'history' as "table", 'item' as "column", item as value from history where item is not null
    union all
    select file, line, 'vehicle_items', 'instead_of', instead_of from vehicle_items where instead_of is not null
    union all
    select 'fleet.toml', line, 'wording', 'item', item from wording_rules where item is not null
) n
anti join items i on i.item = n.value
where exists (from items)
