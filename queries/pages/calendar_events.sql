-- The visits as events of a calendar, and those of last week's calendar that are no longer planned, to be taken out of it.
--
-- A visit is the one of last week's calendar with which it shares most doings (a task and the number of that doing since records
-- began; of equals the nearer day), and then has the same name, whatever moved: its day, its tasks, its first task. A new one is named by
-- its vehicle and its first doing.
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
--          doings       a short hash of each task and the number of its doing, ' ' between; of what is withdrawn, as it was

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

visits_now as (
    select sha256(fleet_name || chr(31) || vehicle_id || chr(31) || min(doing)) as own_uid, vehicle_id,
        min(depot) as depot, visit_on, string_agg(title, '; ' order by turn) as tasks,
        sum(labour_hours)::decimal(18, 2) as labour_hours, count(*) filter (days_late > 0) as late_tasks,
        string_agg(left(sha256(doing), 12), ' ' order by doing) as doings
    from named, run
    group by fleet_name, vehicle_id, visit_on
),

shared as (
    select n.vehicle_id, n.visit_on, l.uid, l.visit_on as was_on, abs(l.visit_on - n.visit_on) as days_apart, count(*) as doings
    from (select vehicle_id, visit_on, unnest(string_split(doings, ' ')) as doing from visits_now) n
    join (select uid, vehicle_id, visit_on, unnest(string_split(doings, ' ')) as doing from events_last_week) l
        on l.vehicle_id = n.vehicle_id and l.doing = n.doing
    group by all
),

-- Each is the other's closest; of what is left, the same once more.
first_round as (
    select vehicle_id, visit_on, uid
    from shared
    qualify row_number() over (partition by vehicle_id, visit_on order by doings desc, days_apart, was_on, uid) = 1
        and row_number() over (partition by uid order by doings desc, days_apart, visit_on) = 1
),

second_round as (
    select s.vehicle_id, s.visit_on, s.uid
    from shared s
    anti join first_round f on f.vehicle_id = s.vehicle_id and f.visit_on = s.visit_on
    anti join first_round g on g.uid = s.uid
    qualify row_number() over (partition by s.vehicle_id, s.visit_on order by doings desc, days_apart, was_on, s.uid) = 1
        and row_number() over (partition by s.uid order by doings desc, days_apart, s.visit_on) = 1
),

closest as (
    from first_round union all from second_round
),

planned as (
    select n.* exclude (own_uid), coalesce(
        c.uid,
        -- Another visit may have the name by now.
        case when exists (from events_last_week l where l.uid = n.own_uid)
            then sha256(n.own_uid || chr(31) || r.as_of || chr(31) || n.visit_on) else n.own_uid end
    ) as uid
    from visits_now n
    cross join run r
    left join closest c on c.vehicle_id = n.vehicle_id and c.visit_on = n.visit_on
),

withdrawn as (
    select l.uid, l.vehicle_id, l.depot, l.visit_on, l.tasks, l.doings
    from events_last_week l
    anti join planned p using (uid), run
    -- What lies behind stays in the calendar as it was.
    where l.visit_on >= as_of
)

select p.uid, 'planned' as state, p.vehicle_id, v.title, p.depot, p.visit_on, p.tasks, p.labour_hours, p.late_tasks, p.doings
from planned p
join vehicles v using (vehicle_id)
union all
select w.uid, 'withdrawn', w.vehicle_id, v.title, coalesce(w.depot, ''), w.visit_on, coalesce(w.tasks, ''), null, 0, w.doings
from withdrawn w
left join vehicles v using (vehicle_id)
order by visit_on, depot, vehicle_id, uid
