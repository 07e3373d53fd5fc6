-- The visits as events of a calendar, and those of last week's calendar that are no longer planned, to be taken out of it.
--
-- A visit's name hangs on its vehicle and its first task by name, with the number of that doing since records began: it stays
-- the same when the day moves, when other tasks join, and when an earlier doing has been done.
--
-- one row: uid
-- reads:   visit_tasks, vehicles, services_in_order, events_last_week, run
-- gives:   uid
--          state        planned | withdrawn
--          vehicle_id
--          title        the vehicle's name; null: none
--          depot        blank: none
--          visit_on     day
--          tasks        names in working order, '; ' between
--          labour_hours h that are planned; null: none is set
--          late_tasks   done after their due day

with done as (
    select vehicle_id, task, count(*) as services
    from services_in_order
    where done_on is not null
    group by all
),

named as (
    select t.*, t.task || chr(31) || (coalesce(d.services, 0) + t.occurrence_no) as doing
    from visit_tasks t
    left join done d using (vehicle_id, task)
    where t.visit_on is not null
),

planned as (
    select sha256(fleet_name || chr(31) || vehicle_id || chr(31) || min(doing)) as uid, vehicle_id,
        min(depot) as depot, visit_on, string_agg(title, '; ' order by turn) as tasks,
        sum(labour_hours)::decimal(18, 2) as labour_hours, count(*) filter (days_late > 0) as late_tasks
    from named, run
    group by fleet_name, vehicle_id, visit_on
),

withdrawn as (
    select l.uid, l.vehicle_id, l.depot, l.visit_on, l.tasks
    from events_last_week l
    anti join planned p using (uid), run
    -- What lies behind stays in the calendar as it was.
    where l.visit_on >= as_of
)

select p.uid, 'planned' as state, p.vehicle_id, v.title, p.depot, p.visit_on, p.tasks, p.labour_hours, p.late_tasks
from planned p
join vehicles v using (vehicle_id)
union all
select w.uid, 'withdrawn', w.vehicle_id, v.title, coalesce(w.depot, ''), w.visit_on, coalesce(w.tasks, ''), null, 0
from withdrawn w
left join vehicles v using (vehicle_id)
order by visit_on, depot, vehicle_id, uid
