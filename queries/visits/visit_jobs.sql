-- The pieces of work to bundle into visits: what comes up within the weeks planned, and how early each may be done.
--
-- A task may come early by a share of its interval, or by some days but never by more than a quarter of it; a follow-up by the
-- share only (wheel nuts are re-torqued after a distance, not before it); what falls due by a date alone by days of its own.
--
-- one row: vehicle_id, task, occurrence_no
-- per:     vehicle
-- reads:   planned_work, work_cost, due_state, task_plan, interval_days, vehicles, run
-- gives:   vehicle_id, task, occurrence_no
--          depot          blank where the vehicle has none
--          due_on         the day it falls, or fell, due
--          earliest_on    the first day it may be done on
--          weight         law | follow_up | overdue | other: what goes first where hours run out
--          interval_days  days; null: none to give away
--          labour_hours   h; null: not set in the plan
--          cost           money
--          counts_on      the next one's interval is counted from the day this one is done

with coming as (
    select w.vehicle_id, w.task, w.occurrence_no, v.depot, p.after,
        case when w.occurrence_no = 1 then s.due_on else w.on_day end as due_on,
        p.source = 'law' as is_law,
        p.source = 'law' or p.expires_on is not null or p.every_year_on is not null as is_dated,
        w.occurrence_no = 1 and s.status = 'overdue' as is_overdue,
        i.interval_days, c.labour_hours, c.cost,
        p.basis = 'last_done' and p.every_year_on is null and p.after is null and p.expires_on is null as counts_on,
        p.after is null and i.interval_days is null as is_by_date
    from planned_work w
    join vehicles v using (vehicle_id)
    join task_plan p using (vehicle_id, task)
    join due_state s using (vehicle_id, task)
    join work_cost c using (vehicle_id, task, occurrence_no)
    left join interval_days i using (vehicle_id, task), run
    where w.on_day <= case when is_dated then dated_until else visits_until end
)

select vehicle_id, task, occurrence_no, coalesce(depot, '') as depot, due_on,
    greatest(as_of, due_on - case
        when after is not null then floor(pull_forward_share * coalesce(interval_days, 0))
        when is_by_date then pull_forward_dated_days
        else greatest(floor(pull_forward_share * interval_days), least(pull_forward_days, floor(interval_days / 4)))
    end::integer) as earliest_on,
    case when is_law then 'law' when after is not null then 'follow_up' when is_overdue then 'overdue' else 'other' end as weight,
    interval_days, labour_hours, cost, counts_on
from coming, run
