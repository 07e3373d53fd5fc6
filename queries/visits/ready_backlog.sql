-- The work that is ready to be done (overdue and due), against what the depot's crew does in a week: weeks = hours of ready
-- work / crew hours per week (SMRP 5.4.9, rev. 27 Sep 2012). Hours, never numbers of tasks; where hours are not set
-- there is no answer in weeks.
--
-- one row: depot
-- reads:   planned_work, due_state, task_plan, vehicles, depot_hours
-- gives:   depot                blank where vehicles have none
--          ready_tasks
--          ready_hours          h, of those whose hours are set
--          tasks_without_hours
--          crew_hours_per_week  h; null: not set
--          backlog_weeks        crew-weeks; null: hours of a task or of the crew are not set

select coalesce(v.depot, '') as depot, count(*) as ready_tasks,
    coalesce(sum(p.labour_hours), 0)::decimal(18, 2) as ready_hours,
    count(*) filter (p.labour_hours is null) as tasks_without_hours,
    max(h.hours_per_week) as crew_hours_per_week,
    case when count(p.labour_hours) = count(*) and max(h.hours_per_week) > 0
        then round(sum(p.labour_hours) / max(h.hours_per_week), 2) end::decimal(18, 2) as backlog_weeks
from planned_work w
join due_state s using (vehicle_id, task)
join task_plan p using (vehicle_id, task)
join vehicles v using (vehicle_id)
left join depot_hours h on h.depot = v.depot
where w.occurrence_no = 1 and s.status in ('overdue', 'due')
group by all
order by depot
