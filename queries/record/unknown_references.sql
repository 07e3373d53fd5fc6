-- Names in loaded rows that stand for nothing: a vehicle that is not in the list, a task that is not in its plan, an item that
-- nobody knows (where items are listed at all). A wording rule that names what nobody knows says nothing.
-- The row stays (a history line keeps its money); what the name should have done, it does not.
--
-- one row: file, line, column, value
-- reads:   unknown_in_history, vehicles, tasks, vehicle_tasks, expiries, items, vehicle_items, wording_rules
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

select file, line, 'history' as "table", "column", value, reason
from unknown_in_history
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
    select file, line, 'vehicle_items' as "table", 'instead_of' as "column", instead_of as value
    from vehicle_items where instead_of is not null
    union all
    select 'fleet.toml', line, 'wording', 'item', item from wording_rules where item is not null
) n
anti join items i on i.item = n.value
where exists (from items)
