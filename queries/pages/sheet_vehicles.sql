-- What each vehicle's own page says at its head: what it is, its warranty, and what it cost in the last 365 days.
--
-- one row: vehicle_id
-- reads:   vehicles, due_state, not_judged, cost_per_use, in_warranty, run
-- gives:   vehicle_id
--          title           null: none
--          class, depot, cost_centre   blank where there is none
--          distance_unit   km | mi: the vehicle's own
--          in_service_on   day
--          duty            normal | severe
--          make, serial, year, tyre_size, owner   null: not given
--          tasks, tasks_overdue, tasks_due
--          not_judged      rows of not_judged
--          warranty_until  day; null: none given
--          warranty_distance   in distance_unit since new; null: none given
--          warranty_left   in distance_unit; null: none given or not known
--          is_in_warranty
--          planned, unplanned, paid   money of the last 365 days; null: not known
--          cost_per_distance, class_cost_per_distance   money for each distance_unit; null: nothing was run
--          cost_per_hour, class_cost_per_hour           money; null: no hours
--          has_page        of a large fleet only those with most overdue, then due, then not judged have one

with tasks as (
    select vehicle_id, count(*) as tasks, count(*) filter (status = 'overdue') as tasks_overdue,
        count(*) filter (status = 'due') as tasks_due
    from due_state
    group by all
),

left_open as (
    select vehicle_id, count(*) as not_judged
    from not_judged
    group by all
)

select v.vehicle_id, v.title, v.class, coalesce(v.depot, '') as depot, coalesce(v.cost_centre, '') as cost_centre,
    v.distance_unit, v.in_service_on, v.duty, v.make, v.serial, v.year, v.tyre_size, v.owner,
    coalesce(t.tasks, 0) as tasks, coalesce(t.tasks_overdue, 0) as tasks_overdue, coalesce(t.tasks_due, 0) as tasks_due,
    coalesce(n.not_judged, 0) as not_judged,
    v.warranty_until, v.warranty_distance::decimal(18, 0) as warranty_distance, w.distance_left as warranty_left,
    w.vehicle_id is not null as is_in_warranty,
    c.planned, c.unplanned, c.paid, c.cost_per_distance, c.class_cost_per_distance, c.cost_per_hour, c.class_cost_per_hour,
    row_number() over (order by coalesce(t.tasks_overdue, 0) desc, coalesce(t.tasks_due, 0) desc,
        coalesce(n.not_judged, 0) desc, v.vehicle_id) <= vehicle_pages as has_page
from vehicles v
left join tasks t using (vehicle_id)
left join left_open n using (vehicle_id)
left join cost_per_use c using (vehicle_id)
left join in_warranty w using (vehicle_id), run
where is_in_service(v.in_service_on, v.retired_on, as_of)
order by v.vehicle_id
