-- Where each doing was, or is, due by an interval counted from the doing before it (basis last_done) or by fixed steps (fixed).
--
-- The first is counted from the day in service; where records begin only later, the first on record has no due point.
--
-- one row: vehicle_id, task, service_no
-- per:     vehicle
-- reads:   task_plan, services_in_order
-- gives:   vehicle_id, task, service_no
--          due_km, due_hours, due_month_on   the due points; null where there is none
--          interval_km, interval_hours       the interval that led to it, km and h; null: not counted by this meter
--          from_on                           the day its months are counted from; null: not counted in months

with points as (
    select s.*, p.*,
        s.service_no = 1 as is_first,
        s.service_no > 1 or p.is_recorded as has_start,
        case when is_first then coalesce(first_km, every_km) else every_km end as step_km,
        case when is_first then coalesce(first_hours, every_hours) else every_hours end as step_hours,
        case when is_first then coalesce(first_months, every_months) else every_months end as step_months,
        -- A filled first interval is counted like one since the last doing, whatever the basis.
        p.basis = 'fixed' and not (is_first and first_km is not null) as fixed_km,
        p.basis = 'fixed' and not (is_first and first_hours is not null) as fixed_hours,
        case when p.basis = 'fixed' and not is_first
            then nearest_month_step(p.in_service_on, every_months, before_on) end as month_step
    from services_in_order s
    join task_plan p using (vehicle_id, task)
    where p.basis in ('last_done', 'fixed') and p.after is null
)

select vehicle_id, task, service_no,
    case
        when not has_start then null
        when fixed_km and is_first then step_at(units(in_service_km) // units(step_km) + 1, step_km)
        when fixed_km then step_at(nearest_step(before_km, step_km) + 1, step_km)
        else (coalesce(before_km, case when is_first then in_service_km end) + step_km)::decimal(18, 7)
    end as due_km,
    case
        when not has_start then null
        when fixed_hours and is_first then step_at(units(in_service_hours) // units(step_hours) + 1, step_hours)
        when fixed_hours then step_at(nearest_step(before_hours, step_hours) + 1, step_hours)
        else (coalesce(before_hours, case when is_first then in_service_hours end) + step_hours)::decimal(18, 7)
    end as due_hours,
    case
        when not has_start then null
        when month_step is not null then add_months(in_service_on, (month_step + 1) * step_months)
        else add_months(coalesce(before_on, in_service_on), step_months)
    end as due_month_on,
    step_km as interval_km,
    step_hours as interval_hours,
    case
        when step_months is null then null
        when month_step is not null then add_months(in_service_on, month_step * step_months)
        else coalesce(before_on, in_service_on)
    end as from_on
from points
