-- What could not be judged, and why: tasks whose due point cannot be worked out, vehicles that have no task at all.
--
-- one row: vehicle_id, task
-- per:     vehicle
-- reads:   due_state, task_plan, vehicles, meter_now, run
-- gives:   vehicle_id
--          vehicle_title     null where it has none
--          depot             blank where there is none
--          task, task_title  null where the vehicle has no plan
--          reason            no record | no reading | no rate | no interval | no plan
--          meter             odometer | hours: the meter that is missing; null: none is
--          last_reading_on   day of its last believable reading

with unknown as (
    select s.vehicle_id, s.task, shown_title(p.title, s.task) as task_title, s.why_unknown as reason,
        case when s.why_unknown in ('no reading', 'no rate') then
            case when coalesce(p.every_km, p.first_km) is not null and o.rate is null then 'odometer' else 'hours' end
        end as missing
    from due_state s
    join task_plan p using (vehicle_id, task)
    left join meter_now o on o.vehicle_id = s.vehicle_id and o.meter = 'odometer'
    where s.status = 'unknown'
    union all
    -- Such a task would stay `later` for ever; a misread interval must not look like work that is not due.
    select s.vehicle_id, s.task, shown_title(p.title, s.task), 'no interval', null
    from due_state s
    join task_plan p using (vehicle_id, task)
    where p.every_year_on is null and p.expires_on is null
        and coalesce(p.first_km::double, p.first_hours::double, p.first_months) is null
        and (p.after is not null or coalesce(p.every_km::double, p.every_hours::double, p.every_months) is null)
    union all
    select v.vehicle_id, null, null, 'no plan', null
    from vehicles v
    anti join task_plan p using (vehicle_id), run
    where is_in_service(v.in_service_on, v.retired_on, as_of)
)

select u.vehicle_id, v.title as vehicle_title, coalesce(v.depot, '') as depot, u.task, u.task_title, u.reason,
    u.missing as meter, m.last_on as last_reading_on
from unknown u
join vehicles v using (vehicle_id)
left join meter_now m on m.vehicle_id = u.vehicle_id and m.meter = u.missing
order by u.vehicle_id, u.task
