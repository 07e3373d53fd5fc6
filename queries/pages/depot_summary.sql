-- Each depot at a glance: vehicles, what they need, and the hours that takes against the hours there are.
--
-- one row: depot
-- reads:   vehicles, due_state, task_plan, depot_hours, run
-- gives:   depot                 blank where vehicles have none
--          vehicles              in service
--          vehicles_overdue, vehicles_due      with at least one such task
--          tasks_overdue, tasks_due, tasks_upcoming
--          labour_hours_overdue, labour_hours_due   h
--          labour_hours_per_week h the depot has; null: not set

with in_service as (
    select vehicle_id, coalesce(depot, '') as depot
    from vehicles, run
    where is_in_service(in_service_on, retired_on, as_of)
)

select i.depot,
    count(distinct i.vehicle_id) as vehicles,
    count(distinct i.vehicle_id) filter (s.status = 'overdue') as vehicles_overdue,
    count(distinct i.vehicle_id) filter (s.status = 'due') as vehicles_due,
    count(*) filter (s.status = 'overdue') as tasks_overdue,
    count(*) filter (s.status = 'due') as tasks_due,
    count(*) filter (s.status = 'upcoming') as tasks_upcoming,
    coalesce(sum(p.labour_hours) filter (s.status = 'overdue'), 0)::decimal(18, 1) as labour_hours_overdue,
    coalesce(sum(p.labour_hours) filter (s.status = 'due'), 0)::decimal(18, 1) as labour_hours_due,
    max(w.hours_per_week) as labour_hours_per_week
from in_service i
left join due_state s using (vehicle_id)
left join task_plan p using (vehicle_id, task)
left join depot_hours w on w.depot = i.depot
group by i.depot
order by i.depot
