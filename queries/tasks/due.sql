-- The due list: every task of every vehicle in service, as other programs read it.
--
-- one row: vehicle_id, task
-- per:     vehicle
-- reads:   due_state, task_plan, last_done, meter_now, run
-- gives:   vehicle_id, task
--          title         the task's name for people; its code where there is none
--          status        overdue | due | upcoming | later | unknown
--          governed_by   distance | hours | time | date
--          due_on        day; null: none
--          days_left     days from the as-of date; negative: past
--          due_odometer, distance_left   in distance_unit, since new; null where distance does not count
--          due_hours, hours_left         h since new
--          distance_unit km | mi
--          last_done_on, last_done_odometer   day, and distance_unit since new
--          odometer_now  distance_unit since new, carried forward to the as-of date
--          odometer_read_on   day of the last believable reading
--          rate_per_day  of the meter that governs, else of the odometer: distance_unit or h a day
--          due_on_early, due_on_late   the day at the high and at the low daily rate
--          late_by_pct   per cent of the interval; null unless overdue

select s.vehicle_id, s.task, coalesce(p.title, s.task) as title, s.status, s.governed_by, s.due_on,
    s.due_on - r.as_of as days_left,
    shown_length(s.due_km, 'odometer', r.distance_unit) as due_odometer,
    shown_left(s.km_left, 'odometer', r.distance_unit) as distance_left,
    shown_length(s.due_hours, 'hours', '') as due_hours,
    shown_left(s.hours_left, 'hours', '') as hours_left,
    r.distance_unit,
    d.done_on as last_done_on,
    shown_length(d.km, 'odometer', r.distance_unit) as last_done_odometer,
    shown_length(o.now, 'odometer', r.distance_unit) as odometer_now,
    o.last_on as odometer_read_on,
    case when s.governed_by = 'hours' then round(h.rate, 3)
        else round(from_km(o.rate, r.distance_unit), 3)
    end::decimal(18, 3) as rate_per_day,
    s.early_on as due_on_early,
    s.late_on as due_on_late,
    s.late_by_pct
from due_state s
join task_plan p using (vehicle_id, task)
left join last_done d using (vehicle_id, task)
left join meter_now o on o.vehicle_id = s.vehicle_id and o.meter = 'odometer'
left join meter_now h on h.vehicle_id = s.vehicle_id and h.meter = 'hours', run r
order by s.vehicle_id, s.task
