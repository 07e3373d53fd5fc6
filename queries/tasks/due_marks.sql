-- Where each doing of a task was, or is, due: by distance, hours, months and by the calendar, each judged by itself.
--
-- one row: vehicle_id, task, service_no
-- per:     vehicle
-- reads:   due_by_interval, due_by_anchor, due_by_follow_up, task_plan, services_in_order
-- gives:   vehicle_id, task, service_no
--          due_km, interval_km         since new, and the interval that led to it; km
--          due_hours, interval_hours   the same in h
--          due_month_on, from_on       the day by months, and the day they are counted from
--          due_year_on                 the yearly day
--          expires_on                  the expiry date, for the doing that is awaited

with counted as (
    from due_by_interval
    union all by name
    from due_by_anchor
    union all by name
    from due_by_follow_up
)

select vehicle_id, task, s.service_no, c.due_km, c.interval_km, c.due_hours, c.interval_hours, c.due_month_on, c.from_on,
    case
        when p.every_year_on is null or p.after is not null or (s.service_no = 1 and not p.is_recorded) then null
        when s.service_no = 1 then next_year_day(p.in_service_on + 1, p.every_year_on)
        else year_day_after(s.before_on, p.every_year_on)
    end as due_year_on,
    case when s.done_on is null then p.expires_on end as expires_on
from services_in_order s
join task_plan p using (vehicle_id, task)
left join counted c using (vehicle_id, task, service_no)
