-- What happened to last week's due list, and what came onto this week's: every task that is or was overdue or due, and what was
-- done of what was upcoming.
--
-- One change a task, the first that holds: done (on record now and not then), dropped (no longer overdue or due without being
-- done), newly overdue, newly due, slipped (still on the list, and the day of its planned visit has passed), still.
--
-- one row: vehicle_id, task
-- reads:   due, due_last_week, visits_last_week, last_week, vehicles, run
-- gives:   vehicle_id
--          depot           blank where the vehicle has none, or is gone
--          task, title
--          change          newly_overdue | newly_due | done | slipped | still | dropped
--          status_before   overdue | due | upcoming | later | unknown; null: not in last week's list
--          status          the same now; null: no longer in the list
--          due_on_before, due_on   days
--          done_on         where it was done
--          planned_on      where the visit that last week planned for it has passed without it, or it was done: that visit's day
--          reason          of what is dropped: retired | no vehicle | no plan | not judged | due point moved | later by use

with planned as (
    select vehicle_id, task, min(visit_on) as planned_on
    from visits_last_week
    group by all
),

matched as (
    select vehicle_id, task, coalesce(n.title, b.title, task) as title, b.status as status_before, n.status,
        b.due_on as due_on_before, n.due_on,
        case when b.task is not null and n.last_done_on > coalesce(b.last_done_on, date '0001-01-01')
            then n.last_done_on end as done_on,
        coalesce(b.status in ('overdue', 'due'), false) as was_at_hand,
        coalesce(n.status in ('overdue', 'due'), false) as is_at_hand,
        p.planned_on,
        n.due_odometer is not distinct from b.due_odometer and n.due_hours is not distinct from b.due_hours as same_point,
        n.due_odometer is null and n.due_hours is null as is_by_date
    from due n
    full join due_last_week b using (vehicle_id, task)
    left join planned p using (vehicle_id, task)
    where exists (from last_week)
),

judged as (
    select b.*, v.vehicle_id is null as is_gone, coalesce(v.retired_on <= r.as_of, false) as is_retired,
        coalesce(v.depot, '') as depot,
        case
            when done_on is not null and (was_at_hand or status_before = 'upcoming') then 'done'
            when was_at_hand and not is_at_hand then 'dropped'
            when b.status = 'overdue' and status_before is distinct from 'overdue' then 'newly_overdue'
            when is_at_hand and not was_at_hand then 'newly_due'
            when is_at_hand and planned_on < r.as_of then 'slipped'
            when is_at_hand then 'still'
        end as change
    from matched b
    left join vehicles v using (vehicle_id), run r
)

select vehicle_id, depot, task, title, change, status_before, status, due_on_before, due_on,
    case when change = 'done' then done_on end as done_on,
    case when change = 'done' or planned_on < as_of and change <> 'dropped' then planned_on end as planned_on,
    case when change = 'dropped' then case
        when is_retired then 'retired'
        when is_gone then 'no vehicle'
        when status is null then 'no plan'
        when status = 'unknown' then 'not judged'
        when same_point and not is_by_date then 'later by use'
        else 'due point moved'
    end end as reason
from judged, run
where change is not null
order by vehicle_id, task
