-- The visits planned: a vehicle and a day, the tasks done then in working order, what coming together saves and gives away.
--
-- one row: vehicle_id, visit_on
-- reads:   visit_tasks, visit_plans, visit_days, vehicles, run
-- gives:   iso_week       of the day
--          visit_on       day
--          depot          blank where the vehicle has none
--          vehicle_id, title
--          tasks          codes in working order, a blank between
--          task_count     of these; those done with another are counted
--          law_tasks      due by law
--          late_tasks     done after their due day
--          early_tasks    done before it
--          labour_hours   h, of the tasks and of the visit itself
--          hours_not_set  tasks whose hours are not in the plan
--          visits_saved   visits fewer than if each had come on its own due day
--          saved          money: these visits' hours at the labour rate
--          given_away     money: interval given away by coming early, as a share of the work's cost
--          plan_gap_pct   how far the plan of its depot may lie above the least possible cost, per cent
--          currency       ISO 4217
--          task_titles    what people call the tasks, in working order, '; ' between

with of_visit as (
    select vehicle_id, visit_on, min(iso_week) as iso_week, min(depot) as depot,
        string_agg(task, ' ' order by turn) as tasks, string_agg(title, '; ' order by turn) as task_titles,
        count(*) as task_count,
        count(*) filter (weight = 'law') as law_tasks, count(*) filter (days_late > 0) as late_tasks,
        count(*) filter (days_early > 0) as early_tasks,
        coalesce(sum(labour_hours), 0) as task_hours, count(*) filter (labour_hours is null) as hours_not_set,
        -- All that is overdue would have come in at once.
        count(distinct greatest(due_on, as_of)) - 1 as visits_saved, coalesce(sum(given_away), 0) as given_away
    from visit_tasks, run
    where visit_on is not null
    group by vehicle_id, visit_on
),

plans as (
    select distinct d.vehicle_id, round(100 * p.gap, 2)::decimal(9, 2) as plan_gap_pct
    from visit_days d
    join visit_plans p using (plan_no)
)

select o.iso_week, o.visit_on, o.depot, o.vehicle_id, v.title, o.tasks, o.task_count, o.law_tasks, o.late_tasks,
    o.early_tasks, (o.task_hours + hours_per_visit)::decimal(18, 2) as labour_hours, o.hours_not_set, o.visits_saved,
    round(o.visits_saved * hours_per_visit * labour_rate, 2)::decimal(18, 2) as saved,
    o.given_away::decimal(18, 2) as given_away, p.plan_gap_pct, currency, o.task_titles
from of_visit o
join vehicles v using (vehicle_id)
join plans p using (vehicle_id), run
order by o.visit_on, o.depot, o.vehicle_id
