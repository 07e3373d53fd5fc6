-- What the forecast is made of, as the workbook's sheet "What if" needs it: each sum by what may be changed there.
--
-- one row: month, class, task, part, moves
-- reads:   planned_parts, planned_costs, unscheduled_costs, task_plan, vehicles, daily_rate, due_state, observed_use, forecast_months
-- gives:   month, financial_year
--          class
--          task     '' for unplanned work
--          part     an item; labour; repair or other for unplanned work
--          moves    with the distance a day: planned work whose distance comes up before its hours and months do, unplanned
--                   work of vehicles measured by odometer
--          amount   money of its day, not rounded

with sizes as (
    select c.vehicle_id, c.task, c.occurrence_no, case when c.occurrence_no = 1 then d.governed_by = 'distance'
        else c.moves_with_use and coalesce(p.every_km::double / nullif(o.rate::double, 0)
            <= coalesce(p.every_hours::double / nullif(h.rate::double, 0), 'infinity'::double), false) end as moves
    from planned_costs c
    join task_plan p using (vehicle_id, task)
    left join due_state d using (vehicle_id, task)
    left join daily_rate o on o.vehicle_id = c.vehicle_id and o.meter = 'odometer'
    left join daily_rate h on h.vehicle_id = c.vehicle_id and h.meter = 'hours'
),

parts as (
    select strftime(p.on_day, '%Y-%m') as month, v.class, p.task, case when p.part = '' then 'labour' else p.part end as part,
        coalesce(s.moves, false) as moves, p.amount
    from planned_parts p
    join vehicles v using (vehicle_id)
    join sizes s using (vehicle_id, task, occurrence_no)
    where p.amount is not null
    union all
    select u.month, o.class, '', u.kind, o.measure = 'odometer', u.amount
    from unscheduled_costs u
    join observed_use o using (vehicle_id)
)

select p.month, m.financial_year, p.class, p.task, p.part, p.moves, sum(p.amount)::decimal(28, 7) as amount
from parts p
join forecast_months m using (month)
group by all
having sum(p.amount) <> 0
order by p.month, p.class, p.task, p.part, p.moves
