-- What is still open after a job: follow-ups of work done, what a job left open, findings that nobody has looked at again.
--
-- A line is closed by a later one for the same vehicle and task (without a task: the same item). A wheel-nut follow-up is due
-- after its distance, 40 to 80 km as a rule, whatever the calendar says; the maker's instruction wins. One whose day cannot be
-- foretold (the vehicle stands still, its meter is not read, the plan gives no distance) is as open as the rest.
--
-- one row: vehicle_id, kind, task, item, since_on
-- reads:   task_plan, due_state, last_done, services_in_order, meter_now, worded_lines, vehicles, run
-- gives:   vehicle_id, title, depot
--          kind        follow_up | finding | part | level | inspection | other
--          task        blank where the line has none
--          task_title
--          item        the part, where one is named; else blank
--          since_on    the day of the job
--          age_days    days since
--          due_on      day; null: none is set
--          status      overdue | due | upcoming | later | unknown; null: none is set
--          km_since    km driven since the job; null: not known
--          limit_km    km after which it is due; null: not by distance
--          condition   the finding's code
--          note

with codes as (
    select unnest(['contaminated', 'failed']) as code
),

closed_by as (
    select o.file, o.line, min(l.done_on) as closed_on
    from worded_lines o
    join worded_lines l on l.vehicle_id = o.vehicle_id and l.done_on > o.done_on and l.task is not distinct from o.task
        and (o.task is not null or l.item is not distinct from o.item), run
    where (o.still_open is not null or lower(o.condition) in (from codes)) and l.done_on <= as_of
    group by all
),

left_open as (
    select o.vehicle_id, coalesce(o.still_open, 'finding') as kind, coalesce(o.task, '') as task,
        coalesce(o.item, '') as item, o.done_on as since_on, max(lower(o.condition)) as condition,
        string_agg(distinct o.note, '; ' order by o.note) as note
    from worded_lines o
    left join closed_by c using (file, line), run
    where (o.still_open is not null or lower(o.condition) in (from codes)) and c.closed_on is null and o.done_on <= as_of
    group by all
),

-- The work followed need be no planned task of the vehicle, and last_done has only those.
works as (
    select vehicle_id, task, done_on, km
    from services_in_order
    where done_on is not null
    qualify row_number() over (partition by vehicle_id, task order by done_on desc) = 1
),

followed as (
    select p.vehicle_id, 'follow_up' as kind, p.task, '' as item, d.done_on as since_on, s.due_on, s.status,
        case when m.now is not null and d.km is not null then greatest(m.now - d.km, 0) end::decimal(18, 1) as km_since, p.first_km::decimal(18, 1) as limit_km
    from task_plan p
    join due_state s using (vehicle_id, task)
    join works d on d.vehicle_id = p.vehicle_id and d.task = p.after
    left join last_done f on f.vehicle_id = p.vehicle_id and f.task = p.task
    left join meter_now m on m.vehicle_id = p.vehicle_id and m.meter = 'odometer'
    where p.after is not null and (f.done_on is null or f.done_on < d.done_on)
),

open as (
    select vehicle_id, kind, task, item, since_on, due_on, status, km_since, limit_km, null as condition, null as note
    from followed
    union all by name
    select * from left_open
)

select o.vehicle_id, v.title, coalesce(v.depot, '') as depot, o.kind, o.task,
    case when o.task <> '' then shown_title(p.title, o.task) end as task_title, o.item, o.since_on,
    (as_of - o.since_on)::integer as age_days, o.due_on, o.status, o.km_since, o.limit_km, o.condition, o.note
from open o
join vehicles v using (vehicle_id)
left join task_plan p using (vehicle_id, task), run
where is_in_service(v.in_service_on, v.retired_on, as_of)
order by age_days desc, o.vehicle_id, o.kind, o.task, o.item
