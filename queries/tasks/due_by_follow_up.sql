-- Where each follow-up was, or is, due: so far after the work it follows. Work already followed up asks for no more.
--
-- one row: vehicle_id, task, service_no
-- per:     vehicle
-- reads:   task_plan, services_in_order, run
-- gives:   vehicle_id, task, service_no
--          due_km, due_hours, due_month_on   the due points; null where there is none
--          interval_km, interval_hours       how far after the work, km and h; null: not counted by this meter
--          from_on                           day of the work; null: not counted in months

with follow_ups as (
    select s.vehicle_id, s.task, s.service_no, s.before_on, coalesce(s.done_on, as_of) as by_day, p.after,
        p.first_km, p.first_hours, p.first_months
    from services_in_order s
    join task_plan p using (vehicle_id, task), run
    where p.after is not null
),

work as (
    select vehicle_id, task, done_on, km, hours from services_in_order where done_on is not null
)

select f.vehicle_id, f.task, f.service_no,
    (w.km + first_km)::decimal(18, 7) as due_km,
    (w.hours + first_hours)::decimal(18, 7) as due_hours,
    add_months(w.done_on, first_months) as due_month_on,
    first_km as interval_km,
    first_hours as interval_hours,
    case when first_months is not null then w.done_on end as from_on
from follow_ups f
asof join work w on w.vehicle_id = f.vehicle_id and w.task = f.after and f.by_day >= w.done_on
where f.before_on is null or f.before_on < w.done_on
