-- Where each doing was, or is, due by basis `anchored`: one done within the tolerance counts as done where it was due.
--
-- Each doing decides what the next is counted from, so the rows are made one after the other, all vehicles at once. The
-- rule, early or late alike, is that of US Army regulation AR 750-1 (ten per cent of the interval).
--
-- one row: vehicle_id, task, service_no
-- per:     vehicle
-- reads:   task_plan, services_in_order
-- gives:   vehicle_id, task, service_no
--          due_km, due_hours, due_month_on   the due points; null where there is none
--          interval_km, interval_hours       the interval that led to it, km and h; null: not counted by this meter
--          from_on                           the day its months are counted from; null: not counted in months

with recursive services as (
    select s.vehicle_id, s.task, s.service_no, s.done_on, s.km, s.hours, p.every_km, p.every_hours, p.every_months,
        p.late_tolerance_pct as tolerance
    from services_in_order s
    join task_plan p using (vehicle_id, task)
    where p.basis = 'anchored' and p.after is null and s.done_on is not null
),

marks as (
    select vehicle_id, task, 1::bigint as service_no,
        case when is_recorded then in_service_km + coalesce(first_km, every_km) end::decimal(18, 7) as due_km,
        case when is_recorded then in_service_hours + coalesce(first_hours, every_hours) end::decimal(18, 7) as due_hours,
        case when is_recorded then add_months(in_service_on, coalesce(first_months, every_months)) end as due_month_on,
        coalesce(first_km, every_km) as interval_km,
        coalesce(first_hours, every_hours) as interval_hours,
        case when coalesce(first_months, every_months) is not null then in_service_on end as from_on
    from task_plan
    where basis = 'anchored' and after is null
    union all
    select m.vehicle_id, m.task, m.service_no + 1,
        (case when within_tolerance(s.km - m.due_km, tolerance, m.interval_km) then m.due_km else s.km end
            + every_km)::decimal(18, 7),
        (case when within_tolerance(s.hours - m.due_hours, tolerance, m.interval_hours) then m.due_hours else s.hours end
            + every_hours)::decimal(18, 7),
        add_months(
            case when within_tolerance(s.done_on - m.due_month_on, tolerance, m.due_month_on - m.from_on)
                then m.due_month_on else s.done_on end,
            every_months),
        every_km, every_hours,
        case
            when every_months is null then null
            when within_tolerance(s.done_on - m.due_month_on, tolerance, m.due_month_on - m.from_on) then m.due_month_on
            else s.done_on
        end
    from marks m
    join services s on s.vehicle_id = m.vehicle_id and s.task = m.task and s.service_no = m.service_no
)

from marks
