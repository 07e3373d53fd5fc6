-- Every task of a vehicle on its own page: where it stands, when it falls due within which range, when it was last done, and the
-- visit it is put on.
--
-- one row: vehicle_id, task
-- reads:   due_state, task_plan, last_done, meter_now, visit_tasks, vehicles
-- gives:   vehicle_id
--          task, title
--          status          overdue | due | upcoming | later | unknown
--          governed_by     distance | hours | time | date; null: none
--          due_on, due_on_early, due_on_late   days; null: none
--          due_shown       what the meter in use shows when it is due, in unit; null: by date, or none
--          unit            the vehicle's km or mi, or h
--          last_done_on    day; null: never
--          visit_on        day of the visit planned; null: none
--          expires_on      day; null: no expiry date
--          source          maker | law | contract | own; null: not said
--          why_unknown     null: it could be worked out

with visits as (
    select vehicle_id, task, min(visit_on) as visit_on from visit_tasks group by all
)

select s.vehicle_id, s.task, shown_title(p.title, s.task) as title, s.status, s.governed_by, s.due_on,
    s.early_on as due_on_early, s.late_on as due_on_late,
    case s.governed_by
        when 'hours' then shown_length(s.due_hours - coalesce(m.offset_now, 0), 'hours', '')
        when 'distance' then shown_length(s.due_km - coalesce(m.offset_now, 0), 'odometer', v.distance_unit)
    end as due_shown,
    case s.governed_by when 'hours' then 'h' else v.distance_unit end as unit,
    l.done_on as last_done_on, i.visit_on, p.expires_on, p.source, s.why_unknown
from due_state s
join task_plan p using (vehicle_id, task)
join vehicles v using (vehicle_id)
left join last_done l using (vehicle_id, task)
left join visits i using (vehicle_id, task)
left join meter_now m on m.vehicle_id = s.vehicle_id
    and m.meter = case s.governed_by when 'hours' then 'hours' else 'odometer' end
order by s.vehicle_id, s.due_on nulls last, s.task
