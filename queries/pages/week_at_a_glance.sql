-- The counts at the head of the week's page.
--
-- one row: -
-- reads:   run, due_state, not_judged, vehicles, loads, quarantine
-- gives:   fleet_name
--          as_of, due_until, horizon_until   days
--          iso_week        ISO 8601 week of the as-of date, such as 2026-W48
--          currency        ISO 4217
--          distance_unit   km | mi
--          stale_days      days after which a meter not read is stale
--          vehicles        in service
--          vehicles_overdue, vehicles_due   with at least one such task
--          tasks, tasks_overdue, tasks_due, tasks_upcoming, tasks_later, tasks_unknown
--          rows_read, rows_loaded, rows_repeated, rows_quarantined
--          values_quarantined, readings_quarantined
--          not_judged      rows of not_judged: tasks_unknown, tasks without an interval (which are later), vehicles without a task

with tasks as (
    select
        count(distinct vehicle_id) filter (status = 'overdue') as vehicles_overdue,
        count(distinct vehicle_id) filter (status = 'due') as vehicles_due,
        count(*) as tasks,
        count(*) filter (status = 'overdue') as tasks_overdue,
        count(*) filter (status = 'due') as tasks_due,
        count(*) filter (status = 'upcoming') as tasks_upcoming,
        count(*) filter (status = 'later') as tasks_later,
        count(*) filter (status = 'unknown') as tasks_unknown
    from due_state
),

in_service as (
    select count(*) as vehicles
    from vehicles, run
    where is_in_service(in_service_on, retired_on, as_of)
),

rows_in as (
    select coalesce(sum(rows_read), 0)::bigint as rows_read, coalesce(sum(rows_loaded), 0)::bigint as rows_loaded,
        coalesce(sum(rows_repeated), 0)::bigint as rows_repeated,
        coalesce(sum(rows_quarantined), 0)::bigint as rows_quarantined
    from loads
),

set_aside as (
    select count(*) filter (scope = 'value') as values_quarantined,
        count(*) filter (scope = 'reading') as readings_quarantined
    from quarantine
),

left_open as (
    select count(*) as not_judged from not_judged
)

select fleet_name, as_of, due_until, horizon_until, strftime(as_of, '%G-W%V') as iso_week, currency, distance_unit, stale_days,
    vehicles, vehicles_overdue, vehicles_due, tasks, tasks_overdue, tasks_due, tasks_upcoming, tasks_later, tasks_unknown,
    rows_read, rows_loaded, rows_repeated, rows_quarantined, values_quarantined, readings_quarantined, not_judged
from run, tasks, in_service, rows_in, set_aside, left_open
