-- Every reading up to the as-of date, wherever it was written: exports, service lines, the day a vehicle came into service.
--
-- one row: file, line, column
-- reads:   readings, history, vehicles, run
-- gives:   vehicle_id
--          meter      odometer | hours
--          read_at    local time; midnight where only the day is known
--          read_on    its day
--          has_time   whether the time of day is known
--          reading    km or h as the meter showed it
--          written    the number as written, in the unit of its source
--          file, line, table, column   where it stands

with exported as (
    select r.vehicle_id, coalesce(r.meter, case r.unit when 'h' then 'hours' else 'odometer' end) as meter,
        r.read_at, r.read_at_has_time as has_time, r.reading,
        coalesce(r.unit, v.distance_unit) as distance_unit, r.file, r.line
    from readings r
    join vehicles v using (vehicle_id)
),

found as (
    select vehicle_id, meter, read_at, has_time,
        case when meter = 'odometer' then to_km(reading, distance_unit) else reading end as reading,
        reading as written,
        file, line, 'readings' as "table", 'reading' as "column"
    from exported
    union all
    select h.vehicle_id, 'odometer', h.done_on::timestamp, false,
        to_km(h.odometer, case when h.unit in ('km', 'mi') then h.unit else v.distance_unit end),
        h.odometer, h.file, h.line, 'history', 'odometer'
    from history h
    join vehicles v using (vehicle_id)
    where h.odometer is not null
    union all
    select h.vehicle_id, 'hours', h.done_on::timestamp, false, h.hours, h.hours, h.file, h.line, 'history', 'hours'
    from history h
    join vehicles v using (vehicle_id)
    where h.hours is not null
    union all
    select vehicle_id, 'odometer', in_service_on::timestamp, false, to_km(in_service_odometer, distance_unit),
        in_service_odometer, file, line, 'vehicles', 'in_service_odometer'
    from vehicles
    union all
    select vehicle_id, 'hours', in_service_on::timestamp, false, in_service_hours, in_service_hours, file, line,
        'vehicles', 'in_service_hours'
    from vehicles
)

select vehicle_id, meter, read_at, read_at::date as read_on, has_time, reading, written,
    file, line, "table", "column"
from found, run
where read_at::date <= as_of
