-- The lines of the history by which each task was last done.
--
-- one row: vehicle_id, task, file, line
-- reads:   last_done, worded_lines, line_tasks, cover_paths, wording_rules, kept_readings
-- gives:   vehicle_id, task
--          done_on      day
--          file, line   of the history
--          path         the task that the line is of, and how it covers this one
--          rule, rule_line, rule_said   the wording rule that found it in the line's words; null: the line names it
--          description  as written
--          odometer_believed, hours_believed   whether a number on the line is a believed reading

select d.vehicle_id, d.task, d.done_on, h.file, h.line, min(p.path) as path,
    min(t.rule) as rule, arg_min(r.line, t.rule) as rule_line, arg_min(r.said, t.rule) as rule_said, h.description,
    exists (from kept_readings k where k.file = h.file and k.line = h.line and k."column" = 'odometer') as odometer_believed,
    exists (from kept_readings k where k.file = h.file and k.line = h.line and k."column" = 'hours') as hours_believed
from last_done d
join worded_lines h on h.vehicle_id = d.vehicle_id and h.done_on = d.done_on and h.kind <> 'top_up'
join line_tasks t on t.file = h.file and t.line = h.line
join cover_paths p on p.vehicle_id = d.vehicle_id and p.task = t.task and p.covered = d.task
left join wording_rules r on r.rule = t.rule
group by all
