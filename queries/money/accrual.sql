-- How much of each task's next doing is used up already though not yet paid: its cost at today's prices, times the part of its interval
-- that has run, by whichever of its triggers has run furthest; never more than the cost.
--
-- A management figure.
--
-- one row: vehicle_id, task
-- per:     vehicle
-- reads:   due_state, due_marks, services_in_order, task_plan, task_costs, meter_now, vehicles, run
-- gives:   vehicle_id, task
--          title
--          cost_centre, category   '' where none is given
--          cost           money of one doing, on average, tax not counted
--          used_by        distance | hours | time | date
--          used_pct       per cent of the interval; above 100: overdue
--          used_share     the same as a share, from 0 to 1
--          accrued        money: cost times used_share
--          last_done_on   null: counted from when it came into service
--          treatment      routine | major: may be an asset under IAS 16.14, for the accountant to judge

with marks as (
    select s.vehicle_id, s.task, s.before_on,
        [
            {'turn': 1, 'used_by': 'distance', 'share': 1 - (m.due_km - o.now)::double / m.interval_km::double},
            {'turn': 2, 'used_by': 'hours', 'share': 1 - (m.due_hours - h.now)::double / m.interval_hours::double},
            {'turn': 3, 'used_by': 'time', 'share': (as_of - m.from_on)::double / nullif(m.due_month_on - m.from_on, 0)},
            {'turn': 4, 'used_by': 'date', 'share': 1 - (m.due_year_on - as_of)::double
                / (m.due_year_on - year_day(year(m.due_year_on) - 1, p.every_year_on))}
        ] as triggers
    from services_in_order s
    join due_marks m using (vehicle_id, task, service_no)
    join task_plan p using (vehicle_id, task)
    left join meter_now o on o.vehicle_id = s.vehicle_id and o.meter = 'odometer'
    left join meter_now h on h.vehicle_id = s.vehicle_id and h.meter = 'hours', run
    where s.done_on is null and p.after is null
),

furthest as (
    select vehicle_id, task, before_on, arg_max(t.used_by, (t.share, -t.turn)) as used_by, max(t.share) as share
    from (select vehicle_id, task, before_on, unnest(triggers) as t from marks)
    where t.share is not null
    group by all
)

select f.vehicle_id, f.task, shown_title(p.title, f.task) as title, coalesce(v.cost_centre, '') as cost_centre,
    coalesce(p.category, '') as category, to_minor(c.cost, money_digits) as cost, f.used_by,
    round(100 * greatest(0, f.share), 1)::decimal(18, 1) as used_pct,
    least(1, greatest(0, f.share))::decimal(12, 9) as used_share,
    to_minor(to_minor(c.cost, money_digits)::decimal(20, 4) * least(1, greatest(0, f.share))::decimal(12, 9), money_digits) as accrued,
    f.before_on as last_done_on, case when p.major = 'yes' then 'major' else 'routine' end as treatment
from furthest f
join due_state d using (vehicle_id, task)
join task_costs c using (vehicle_id, task)
join task_plan p using (vehicle_id, task)
join vehicles v using (vehicle_id)
cross join run
where c.cost > 0
order by f.vehicle_id, f.task
