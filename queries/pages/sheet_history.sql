-- What a vehicle's own page shows of its history: its last 40 lines, as they were read, with what they cost. Lines of one day stand in
-- order of what they say, not of where they stand, so that an export in another order gives the same page.
--
-- one row: file, line
-- reads:   worded_lines, line_tasks, paid_lines, task_plan, sheet_vehicles, refused_readings, run
-- gives:   vehicle_id
--          turn        1 is the latest
--          lines       of the vehicle's history, all of them
--          done_on     day
--          what        the tasks' names, else the line's own words, else its item; blank: none of them
--          kind        scheduled | repair | top_up | check
--          odometer    as written, in unit; null: not written
--          unit        km | mi
--          hours       h; null: not written
--          is_meter_refused  one of these contradicts the meter's other readings: what they say counts
--          amount      money; 0: none written
--          condition, invoice, note   null: none
--          file, line  where it stands

with in_turn as materialized (
    select w.*, row_number() over (
            partition by w.vehicle_id
            order by w.done_on desc, w.invoice, w.task, w.description, w.item, w.kind, w.odometer, w.hours, w.quantity, w.parts_cost,
                w.labour_hours, w.labour_cost, w.other_cost, w.condition, w.note, w.file, w.line) as turn,
        count(*) over (partition by w.vehicle_id) as lines
    from worded_lines w
    semi join sheet_vehicles v on v.vehicle_id = w.vehicle_id and v.has_page, run
    where w.done_on <= as_of
    qualify turn <= 40
),

titles as (
    select t.file, t.line, string_agg(shown_title(p.title, t.task), ', ' order by t.task) as titles
    from line_tasks t
    join in_turn w using (file, line)
    left join task_plan p on p.vehicle_id = w.vehicle_id and p.task = t.task
    group by all
)

select i.vehicle_id, i.turn, i.lines, i.done_on, coalesce(t.titles, i.description, i.item, '') as what, i.kind,
    i.odometer::decimal(18, 1) as odometer, i.unit, i.hours::decimal(18, 1) as hours,
    r.file is not null as is_meter_refused, coalesce(p.amount, 0) as amount, i.condition, i.invoice, i.note, i.file, i.line
from in_turn i
left join titles t using (file, line)
left join paid_lines p using (file, line)
left join (select distinct file, line from refused_readings where "table" = 'history') r using (file, line)
order by i.vehicle_id, i.turn
