-- What people read of each task that is overdue, due or upcoming: where it stands, what it goes by, and what it was counted from.
--
-- one row: vehicle_id, task
-- reads:   due, due_state, task_plan, vehicles, last_done, meter_now
-- gives:   vehicle_id
--          vehicle_title   null where it has none
--          class, depot, cost_centre   blank where there is none
--          task, task_title
--          status          overdue | due | upcoming
--          governed_by     distance | hours | time | date
--          due_on, due_on_early, due_on_late   days
--          days_left       days, negative: past
--          late_by_pct     per cent of the interval; null unless overdue
--          distance_unit   km | mi
--          due_odometer, distance_left, odometer_now, last_done_odometer   distance_unit since new
--          odometer_offset distance_unit to take off to get what the odometer in use shows
--          odometer_read_on   day of the last believable reading
--          due_hours, hours_left, hours_now, last_done_hours   h since new
--          hours_offset    h to take off to get what the hour meter in use shows
--          hours_read_on   day of the last believable reading
--          rate_per_day    of the meter that governs, else of the odometer: distance_unit or h a day
--          last_done_on    day; null: never
--          interval_distance, interval_months, interval_hours   the interval that counts now, in distance_unit, months, h
--          basis           last_done | fixed | anchored
--          due_rule        interval | follow_up | every_year | expiry
--          follows_task_title   the work a follow-up follows
--          duty            normal | severe
--          labour_hours    h
--          source          maker | law | contract | own
--          caution

select d.vehicle_id, v.title as vehicle_title, v.class, coalesce(v.depot, '') as depot,
    coalesce(v.cost_centre, '') as cost_centre, d.task, shown_title(p.title, d.task) as task_title, d.status, d.governed_by, d.due_on,
    d.due_on_early, d.due_on_late, d.days_left, d.late_by_pct, d.distance_unit,
    -- A trailer has no odometer and most vehicles no hour meter: what was never read is not shown.
    d.due_odometer, d.distance_left, case when o.is_read or d.due_odometer is not null then d.odometer_now end
        as odometer_now,
    case when o.is_read or d.due_odometer is not null then d.last_done_odometer end as last_done_odometer,
    round(from_km(coalesce(o.offset_now, 0), d.distance_unit), 1)::decimal(18, 1) as odometer_offset,
    d.odometer_read_on,
    d.due_hours, d.hours_left, case when h.is_read or d.due_hours is not null then round(h.now, 1) end::decimal(18, 1) as hours_now,
    case when h.is_read or d.due_hours is not null then round(l.hours, 1) end::decimal(18, 1) as last_done_hours,
    round(coalesce(h.offset_now, 0), 1)::decimal(18, 1) as hours_offset,
    h.last_on as hours_read_on,
    d.rate_per_day, d.last_done_on,
    round(from_km(
        case when l.done_on is null or p.after is not null then coalesce(p.first_km, p.every_km) else p.every_km end,
        d.distance_unit), 1)::decimal(18, 1) as interval_distance,
    case when l.done_on is null or p.after is not null then coalesce(p.first_months, p.every_months)
        else p.every_months end as interval_months,
    case when l.done_on is null or p.after is not null then coalesce(p.first_hours, p.every_hours)
        else p.every_hours end::decimal(18, 1) as interval_hours,
    p.basis, s.rule as due_rule, f.title as follows_task_title, v.duty, p.labour_hours, p.source, p.caution
from due d
join due_state s using (vehicle_id, task)
join task_plan p using (vehicle_id, task)
join vehicles v using (vehicle_id)
left join last_done l using (vehicle_id, task)
left join meter_now o on o.vehicle_id = d.vehicle_id and o.meter = 'odometer'
left join meter_now h on h.vehicle_id = d.vehicle_id and h.meter = 'hours'
left join (select vehicle_id, task, shown_title(title, task) as title from task_plan) f
    on f.vehicle_id = p.vehicle_id and f.task = p.after
where d.status in ('overdue', 'due', 'upcoming')
order by d.vehicle_id, d.task
