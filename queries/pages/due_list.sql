-- What people read of each task that is overdue, due or upcoming: where it stands, what it goes by, and what it was counted from.
--
-- one row: vehicle_id, task
-- per:     vehicle
-- reads:   due_state, task_plan, vehicles, last_done, refused_at_service, meter_now, run
-- gives:   vehicle_id
--          vehicle_title   null where it has none
--          class, depot, cost_centre   blank where there is none
--          task, task_title
--          status          overdue | due | upcoming
--          governed_by     distance | hours | time | date
--          due_on, due_on_early, due_on_late   days
--          days_left       days, negative: past
--          late_by_pct     per cent of the interval; null unless overdue
--          distance_unit   km | mi: the vehicle's own, as its odometer shows it
--          due_odometer, distance_left, odometer_now, last_done_odometer   distance_unit since new
--          odometer_offset distance_unit to take off to get what the odometer in use shows
--          odometer_read_on   day of the last believable reading
--          due_hours, hours_left, hours_now, last_done_hours   h since new
--          hours_offset    h to take off to get what the hour meter in use shows
--          hours_read_on   day of the last believable reading
--          rate_per_day    of the meter that governs, else of the odometer: distance_unit or h a day
--          last_done_on    day; null: never
--          refused_odometer, refused_unit, refused_hours   written on the service it counts from and not believed, as written (km | mi,
--                          h): the other readings count instead; null: nothing
--          counts_first    the interval is the first one, after coming into service or after the work that is followed up
--          interval_distance, interval_months, interval_hours   the interval that counts now, in distance_unit, months, h
--          basis           last_done | fixed | anchored
--          due_rule        interval | follow_up | every_year | expiry
--          follows_task_title   the work a follow-up follows
--          duty            severe where an interval of severe duty is in force, else normal
--          labour_hours    h
--          source          maker | law | contract | own
--          caution

select s.vehicle_id, v.title as vehicle_title, v.class, coalesce(v.depot, '') as depot,
    coalesce(v.cost_centre, '') as cost_centre, s.task, shown_title(p.title, s.task) as task_title,
    s.status, s.governed_by, s.due_on, s.early_on as due_on_early, s.late_on as due_on_late,
    s.due_on - r.as_of as days_left, s.late_by_pct, v.distance_unit,
    shown_length(s.due_km, 'odometer', v.distance_unit) as due_odometer,
    shown_left(s.km_left, 'odometer', v.distance_unit) as distance_left,
    -- A trailer has no odometer and most vehicles no hour meter: what was never read is not shown.
    case when o.is_read or s.due_km is not null then shown_length(o.now, 'odometer', v.distance_unit) end as odometer_now,
    case when o.is_read or s.due_km is not null then shown_length(l.km, 'odometer', v.distance_unit) end
        as last_done_odometer,
    shown_length(coalesce(o.offset_now, 0), 'odometer', v.distance_unit) as odometer_offset,
    o.last_on as odometer_read_on,
    shown_length(s.due_hours, 'hours', '') as due_hours,
    shown_left(s.hours_left, 'hours', '') as hours_left,
    case when h.is_read or s.due_hours is not null then shown_length(h.now, 'hours', '') end as hours_now,
    case when h.is_read or s.due_hours is not null then shown_length(l.hours, 'hours', '') end as last_done_hours,
    shown_length(coalesce(h.offset_now, 0), 'hours', '') as hours_offset,
    h.last_on as hours_read_on,
    case when s.governed_by = 'hours' then round(h.rate, 3)
        else round(from_km(o.rate, v.distance_unit), 3) end::decimal(18, 3) as rate_per_day,
    l.done_on as last_done_on,
    n.odometer as refused_odometer, n.unit as refused_unit, n.hours as refused_hours,
    l.done_on is null or p.after is not null as counts_first,
    shown_length(case when counts_first then coalesce(p.first_km, p.every_km) else p.every_km end, 'odometer',
        v.distance_unit) as interval_distance,
    case when counts_first then coalesce(p.first_months, p.every_months) else p.every_months end as interval_months,
    shown_length(case when counts_first then coalesce(p.first_hours, p.every_hours) else p.every_hours end, 'hours', '')
        as interval_hours,
    p.basis, s.rule as due_rule, shown_title(f.title, p.after) as follows_task_title,
    case when p.severe_applies and not counts_first then 'severe' else 'normal' end as duty,
    p.labour_hours, p.source, p.caution
from due_state s
join task_plan p using (vehicle_id, task)
join vehicles v using (vehicle_id)
left join last_done l using (vehicle_id, task)
-- A follow-up counts from the work it follows.
left join refused_at_service n on n.vehicle_id = s.vehicle_id and n.task = case s.rule when 'follow_up' then p.after else s.task end
left join meter_now o on o.vehicle_id = s.vehicle_id and o.meter = 'odometer'
left join meter_now h on h.vehicle_id = s.vehicle_id and h.meter = 'hours'
left join task_plan f on f.vehicle_id = p.vehicle_id and f.task = p.after, run r
where s.status in ('overdue', 'due', 'upcoming')
order by s.vehicle_id, s.task
