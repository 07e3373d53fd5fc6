-- Each service done, against where it was due: late by more than the task's tolerance, or early by more than 10 per cent of the
-- interval of every trigger it has (whichever comes first decides, so one trigger within its 10 per cent is enough).
--
-- one row: vehicle_id, task, service_no
-- per:     vehicle
-- reads:   services_in_order, due_marks, task_plan, vehicles
-- gives:   vehicle_id, task, service_no
--          class, depot
--          month     YYYY-MM in which it was done
--          is_late, is_early

with judged as (
    select s.vehicle_id, s.task, s.service_no, p.class, coalesce(v.depot, '') as depot,
        strftime(s.done_on, '%Y-%m') as month, p.late_tolerance_pct as tolerance,
        s.km - m.due_km as km_off, m.interval_km, s.hours - m.due_hours as hours_off, m.interval_hours,
        s.done_on - m.due_month_on as days_off, m.due_month_on - m.from_on as interval_days,
        s.done_on - m.due_year_on as year_days_off,
        m.due_year_on - year_day(year(m.due_year_on) - 1, p.every_year_on) as year_days
    from services_in_order s
    join due_marks m using (vehicle_id, task, service_no)
    join task_plan p using (vehicle_id, task)
    join vehicles v using (vehicle_id)
    where s.is_own
)

select vehicle_id, task, service_no, class, depot, month,
    coalesce(km_off > 0 and not within_tolerance(km_off, tolerance, interval_km), false)
    or coalesce(hours_off > 0 and not within_tolerance(hours_off, tolerance, interval_hours), false)
    or coalesce(days_off > 0 and not within_tolerance(days_off, tolerance, interval_days), false)
    or coalesce(year_days_off > 0 and not within_tolerance(year_days_off, tolerance, year_days), false) as is_late,
    coalesce(km_off < 0 and not within_tolerance(km_off, 10, interval_km), true)
    and coalesce(hours_off < 0 and not within_tolerance(hours_off, 10, interval_hours), true)
    and coalesce(days_off < 0 and not within_tolerance(days_off, 10, interval_days), true)
    and coalesce(year_days_off < 0 and not within_tolerance(year_days_off, 10, year_days), true) as is_early
from judged
where km_off is not null or hours_off is not null or days_off is not null or year_days_off is not null
