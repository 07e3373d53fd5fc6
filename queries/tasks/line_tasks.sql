-- The tasks that each line of the history is a doing of: the one written in it, or all that the wording rules find in its words.
--
-- one row: file, line, task
-- per:     vehicle
-- reads:   history, line_rules
-- gives:   file, line
--          task
--          rule   the wording rule that found it; null: the line names it

select file, line, task, null::bigint as rule from history where task is not null
union all
select r.file, r.line, r.task, min(r.rule)
from line_rules r
join history h using (file, line)
where r.task is not null and h.task is null
group by all
