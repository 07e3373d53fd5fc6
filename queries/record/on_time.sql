-- Of the services done in a month, how many were done in time: no trigger passed by more than the task's tolerance.
--
-- A service counts where a line names the task itself and at least one of its triggers had a due point.
--
-- one row: class, month
-- reads:   services_in_order, due_marks, task_plan
-- gives:   class
--          month        YYYY-MM in which the service was done
--          done         services
--          on_time      of these, in time
--          on_time_pct  per cent

with judged as (
    select p.class, strftime(s.done_on, '%Y-%m') as month,
        -- The tolerance lies to both sides of a due point, but only late is not in time.
        not coalesce(s.km > m.due_km and not within_tolerance(s.km - m.due_km, tolerance, m.interval_km), false)
        and not coalesce(s.hours > m.due_hours
            and not within_tolerance(s.hours - m.due_hours, tolerance, m.interval_hours), false)
        and not coalesce(s.done_on > m.due_month_on
            and not within_tolerance(s.done_on - m.due_month_on, tolerance, m.due_month_on - m.from_on), false)
        and not coalesce(s.done_on > m.due_year_on and not within_tolerance(s.done_on - m.due_year_on, tolerance,
            m.due_year_on - year_day(year(m.due_year_on) - 1, p.every_year_on)), false) as is_on_time
    from services_in_order s
    join due_marks m using (vehicle_id, task, service_no)
    join (select *, late_tolerance_pct as tolerance from task_plan) p using (vehicle_id, task)
    where s.is_own and (coalesce(m.due_km, m.due_hours) is not null or coalesce(m.due_month_on, m.due_year_on) is not null)
)

select class, month, count(*) as done, count(*) filter (is_on_time) as on_time,
    round(100.0 * count(*) filter (is_on_time) / count(*), 1)::decimal(4, 1) as on_time_pct
from judged
group by all
order by class, month
