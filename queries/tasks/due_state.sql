-- The status of each task of each vehicle in service, and what governs it.
--
-- one row: vehicle_id, task
-- per:     vehicle
-- reads:   task_plan, open_points, vehicles, run
-- gives:   vehicle_id, task
--          status       overdue | due | upcoming | later | unknown
--          governed_by  distance | hours | time | date: the trigger that comes first
--          rule         interval | follow_up | every_year | expiry: what that trigger goes by
--          due_on       the day; null: none
--          early_on, late_on   the same at the high and at the low daily rate
--          due_km, due_hours   due points since new; null where the task has none
--          km_left, hours_left   until them; negative: past
--          late_by_pct  how far the worst trigger is past, per cent of its interval; null unless overdue
--          why_unknown  no record | no reading | no rate

with first_points as (
    select vehicle_id, task, trigger, rule, falls_on
    from open_points
    where falls_on is not null
    qualify row_number() over (partition by vehicle_id, task order by falls_on, turn) = 1
),

together as (
    select vehicle_id, task,
        min(early_on) as early_on, min(late_on) as late_on,
        max(due_at) filter (trigger = 'distance') as due_km, max(due_at) filter (trigger = 'hours') as due_hours,
        max(left_over) filter (trigger = 'distance') as km_left, max(left_over) filter (trigger = 'hours') as hours_left,
        bool_or(is_past) as is_past, bool_or(is_unknown) as is_unknown,
        min(why_unknown) as why_unknown, max(late_share) as late_share
    from open_points
    group by all
)

select p.vehicle_id, p.task,
    case
        when t.is_past then 'overdue'
        when f.falls_on <= r.due_until then 'due'
        when t.is_unknown then 'unknown'
        when f.falls_on <= r.horizon_until then 'upcoming'
        else 'later'
    end as status,
    f.trigger as governed_by, f.rule, f.falls_on as due_on, t.early_on, t.late_on,
    t.due_km, t.due_hours, t.km_left, t.hours_left,
    case when t.is_past then round(100 * t.late_share, 1)::decimal(38, 1) end as late_by_pct,
    case when t.is_unknown then t.why_unknown end as why_unknown
from task_plan p
join vehicles v using (vehicle_id)
left join first_points f using (vehicle_id, task)
left join together t using (vehicle_id, task), run r
where is_in_service(v.in_service_on, v.retired_on, r.as_of)
