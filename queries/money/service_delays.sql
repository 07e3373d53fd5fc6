-- How many days before or after its due day each service of the last two years was done: how punctual the workshop is.
--
-- The latest of its triggers tells; a distance or hours past are turned into days at today's rate.
--
-- one row: vehicle_id, task, service_no
-- per:     vehicle
-- reads:   services_in_order, due_marks, daily_rate, run
-- gives:   vehicle_id, task, service_no
--          days_off   negative: early; within 60 days either way

with past as (
    select s.vehicle_id, s.task, s.service_no,
        greatest((s.km - m.due_km)::double / nullif(o.rate, 0), (s.hours - m.due_hours)::double / nullif(h.rate, 0),
            (s.done_on - m.due_month_on)::double, (s.done_on - m.due_year_on)::double) as days_past
    from services_in_order s
    join due_marks m using (vehicle_id, task, service_no)
    left join daily_rate o on o.vehicle_id = s.vehicle_id and o.meter = 'odometer'
    left join daily_rate h on h.vehicle_id = s.vehicle_id and h.meter = 'hours', run
    where s.is_own and s.done_on > as_of - 730
)

select vehicle_id, task, service_no, least(60, greatest(-60, days_past))::decimal(18, 7) as days_off
from past
where days_past is not null
