-- Wordings of the history that nobody could read, each once, those that stand there most often first: what a rule in fleet.toml,
-- or a task in the line, would settle.
--
-- one row: description
-- reads:   unmatched_lines, nearest_tasks, wording_rules
-- gives:   description   one spelling of it; blank: lines without a description
--          lines         how many lines say so
--          vehicles      on how many vehicles
--          cost          parts, labour and other costs of these lines, in the fleet's currency
--          labour_hours  h
--          first_on, last_on   days
--          file, line    the latest of these lines
--          nearest_tasks  up to three tasks of these vehicles whose words are most alike, the nearest first; null: none is
--          rule          words of a wording rule that fits but whose task these vehicles' plan lacks; null: none fits

with nearest as (
    select wording, string_agg(task, ', ' order by rank) as tasks from nearest_tasks group by all
),

wordings as (
    select wording, min(description) as description, count(*) as lines, count(distinct vehicle_id) as vehicles,
        sum(cost)::decimal(18, 2) as cost, sum(labour_hours)::decimal(18, 1) as labour_hours,
        min(done_on) as first_on, max(done_on) as last_on,
        max({'done_on': done_on, 'file': file, 'line': line}) as latest, min(rule) as rule
    from unmatched_lines
    group by all
)

select w.description, w.lines, w.vehicles, w.cost, w.labour_hours, w.first_on, w.last_on,
    w.latest.file as file, w.latest.line as line, n.tasks as nearest_tasks, r.said as rule
from wordings w
left join nearest n using (wording)
left join wording_rules r on r.rule = w.rule
order by w.lines desc, w.cost desc, w.description
