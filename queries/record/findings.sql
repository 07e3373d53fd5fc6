-- What was found at each job: the condition written on the line, by our five codes where it is one of them, and how far the
-- task had run since it was done before.
--
-- one row: file, line
-- per:     vehicle
-- reads:   worded_lines, vehicles, services_in_order, run
-- gives:   vehicle_id, class
--          done_on
--          task        null: none named, or a check of the whole vehicle
--          condition   clean | serviceable | soiled | contaminated | failed; null: other words
--          written     as it stands in the file
--          note
--          km_run, hours_run, days_run   since the task was done before; null: not known
--          file, line  where it stands

select h.vehicle_id, v.class, h.done_on, h.task,
    case when lower(h.condition) in ('clean', 'serviceable', 'soiled', 'contaminated', 'failed') then lower(h.condition) end
        as condition,
    h.condition as written, h.note,
    (s.km - s.before_km)::decimal(18, 1) as km_run, (s.hours - s.before_hours)::decimal(18, 1) as hours_run,
    s.done_on - s.before_on as days_run, h.file, h.line
from worded_lines h
join vehicles v using (vehicle_id)
left join services_in_order s on s.vehicle_id = h.vehicle_id and s.task = h.task and s.done_on = h.done_on, run
where h.condition is not null and h.done_on <= as_of
order by h.vehicle_id, h.done_on, h.task nulls first, h.file, h.line
