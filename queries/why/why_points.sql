-- Each due point of what is awaited with the figures it is the sum of.
--
-- one row: vehicle_id, task, trigger, rule
-- reads:   open_points, due_state, due_marks, services_in_order, last_done, task_plan, meter_now, vehicles, run
-- gives:   vehicle_id, task
--          trigger    distance | hours | time | date
--          rule       interval | follow_up | every_year | expiry
--          turn       order of the triggers
--          governs    this one comes first
--          unit       km | mi | h; null for a day
--          counted_from   last done | in service | planned point | step | work before; why_unknown where
--                 there is no due point; null for a bare date
--          counted_on     day it is counted from; null: on a meter, from a planned point or step
--          step       number of the step, for fixed steps
--          base, interval_length, due_at   since new: base + interval = due
--          months     months that are added to counted_on (times step, where it is counted in steps from in service)
--          now, left_over, rate   meter on the as-of date, what is left (negative: past), a day
--          days       from the as-of date; null: no day
--          falls_on, early_on, late_on   days
--          is_past, is_unknown, why_unknown   as in open_points

with awaited as (
    select m.vehicle_id, m.task, m.service_no = 1 as is_first, m.interval_km, m.interval_hours, m.from_on
    from due_marks m
    join services_in_order s using (vehicle_id, task, service_no)
    where s.done_on is null
),

works as (
    select p.vehicle_id, p.task, max(s.done_on) as work_on
    from task_plan p
    join services_in_order s on s.vehicle_id = p.vehicle_id and s.task = p.after and s.done_on is not null
    group by all
),

together as (
    select o.*, a.is_first, a.from_on, p.basis, p.in_service_on, v.distance_unit, r.as_of,
        case o.trigger when 'distance' then 'odometer' when 'hours' then 'hours' end as meter,
        case o.trigger when 'distance' then a.interval_km when 'hours' then a.interval_hours end as length,
        case o.trigger when 'distance' then l.km when 'hours' then l.hours end as last_value,
        case when o.rule = 'follow_up' then p.first_months when a.is_first then coalesce(p.first_months, p.every_months)
            else p.every_months end as month_step,
        -- A filled first interval is counted from in service, whatever the basis.
        p.basis = 'fixed' and not (a.is_first and case o.trigger
            when 'distance' then p.first_km is not null when 'hours' then p.first_hours is not null
            else true end) as by_step,
        l.done_on, w.work_on
    from open_points o
    join awaited a using (vehicle_id, task)
    join task_plan p using (vehicle_id, task)
    join vehicles v using (vehicle_id)
    left join last_done l using (vehicle_id, task)
    left join works w using (vehicle_id, task), run r
),

counted as (
    select *,
        case
            when rule in ('every_year', 'expiry') then null
            when rule = 'follow_up' then 'work before'
            when due_at is null and falls_on is null then why_unknown
            when by_step then 'step'
            when is_first then 'in service'
            when basis = 'anchored' and (case when meter is null then from_on <> done_on else due_at - length <> last_value end)
                then 'planned point'
            else 'last done'
        end as counted_from
    from together
)

select c.vehicle_id, c.task, c.trigger, c.rule, c.turn,
    coalesce(c.trigger = s.governed_by and c.rule = s.rule, false) as governs,
    case when c.meter = 'hours' then 'h' when c.meter = 'odometer' then c.distance_unit end as unit,
    c.counted_from,
    case
        when c.counted_from = 'work before' then c.work_on
        when c.counted_from = 'in service' or (c.counted_from = 'step' and c.trigger = 'time') then c.in_service_on
        when c.counted_from = 'last done' then c.done_on
        when c.counted_from = 'planned point' and c.trigger = 'time' then c.from_on
    end as counted_on,
    case
        when c.counted_from = 'step' and c.meter is not null then units(c.due_at) // units(c.length)
        when c.counted_from = 'step' then datediff('month', c.in_service_on, c.falls_on) // c.month_step
    end::bigint as step,
    in_unit(c.due_at - c.length, c.meter, c.distance_unit)::decimal(18, 7) as base,
    in_unit(c.length, c.meter, c.distance_unit)::decimal(18, 7) as interval_length,
    in_unit(c.due_at, c.meter, c.distance_unit)::decimal(18, 7) as due_at,
    case when c.trigger = 'time' then c.month_step end as months,
    in_unit(m.now, c.meter, c.distance_unit)::decimal(18, 7) as now,
    in_unit(c.left_over, c.meter, c.distance_unit)::decimal(18, 7) as left_over,
    in_unit(m.rate, c.meter, c.distance_unit)::decimal(18, 7) as rate,
    c.falls_on - c.as_of as days, c.falls_on, c.early_on, c.late_on, c.is_past, c.is_unknown, c.why_unknown
from counted c
join due_state s using (vehicle_id, task)
left join meter_now m on m.vehicle_id = c.vehicle_id and m.meter = c.meter
