-- Each piece of planned work of the forecast: what it costs, and how its day may move.
--
-- one row: vehicle_id, task, occurrence_no
-- per:     vehicle
-- reads:   planned_work, planned_parts, task_plan, due_state, daily_rate, vehicles, run
-- gives:   vehicle_id, task, occurrence_no
--          on_day
--          cost_centre, category   '' where none is given
--          amount_sure     money of that day for what is needed each time
--          amount          expected money of that day, all in all
--          moves_with_use  its day hangs on the distance or hours run
--          gap_days        days to the next one, by the shortest of its intervals; null: it does not repeat

with spacing as (
    select p.vehicle_id, p.task, p.every_year_on,
        least(p.every_km::double / nullif(o.rate::double, 0), p.every_hours::double / nullif(h.rate::double, 0)) as by_use,
        case when p.every_year_on is not null then 365.25 else p.every_months * 30.4375 end as by_calendar
    from task_plan p
    left join daily_rate o on o.vehicle_id = p.vehicle_id and o.meter = 'odometer'
    left join daily_rate h on h.vehicle_id = p.vehicle_id and h.meter = 'hours'
    where p.after is null
),

costs as (
    select vehicle_id, task, occurrence_no, sum(amount) filter (chance = 1) as amount_sure, sum(amount) as amount
    from planned_parts
    group by all
)

select w.vehicle_id, w.task, w.occurrence_no, w.on_day, coalesce(v.cost_centre, '') as cost_centre,
    coalesce(p.category, '') as category, coalesce(c.amount_sure, 0)::decimal(18, 7) as amount_sure,
    coalesce(c.amount, 0)::decimal(18, 7) as amount,
    case when w.occurrence_no = 1 then d.governed_by in ('distance', 'hours')
        else coalesce(s.by_use < coalesce(s.by_calendar, s.by_use + 1), false) end as moves_with_use,
    least(s.by_use, s.by_calendar) as gap_days
from planned_work w
join vehicles v using (vehicle_id)
join task_plan p using (vehicle_id, task)
join due_state d using (vehicle_id, task)
left join spacing s using (vehicle_id, task)
left join costs c using (vehicle_id, task, occurrence_no), run
where w.on_day <= forecast_until(as_of, months_ahead)
    and (v.retired_on is null or w.on_day < v.retired_on)
