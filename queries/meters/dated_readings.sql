-- Every reading up to the as-of date, wherever it was written: exports, service lines, the day a vehicle came into service.
--
-- one row: file, line, column
-- per:     vehicle
-- reads:   readings, history, vehicles, run
-- view:    a copy of all readings would be large, and only readings_in_order goes through them all
-- gives:   vehicle_id
--          meter      odometer | hours
--          read_at    local time; midnight where only the day is known
--          read_on    its day
--          has_time   whether the time of day is known
--          reading    km or h as the meter showed it
--          written    the number as written
--          unit       km | mi | h: the unit it was written in
--          file, line, table, column   where it stands

with found as (
    select vehicle_id, meter, read_at, read_at_has_time as has_time,
        case unit when 'h' then reading else to_km(reading, unit) end as reading, reading as written, unit,
        file, line, 'readings' as "table", 'reading' as "column"
    from readings
    union all
    select vehicle_id, 'odometer', done_on::timestamp, false, to_km(odometer, h.unit), odometer, h.unit,
        h.file, h.line, 'history', 'odometer'
    from history h
    semi join vehicles using (vehicle_id)
    where odometer is not null
    union all
    select vehicle_id, 'hours', done_on::timestamp, false, hours, hours, 'h', h.file, h.line, 'history', 'hours'
    from history h
    semi join vehicles using (vehicle_id)
    where hours is not null
    union all
    select vehicle_id, 'odometer', in_service_on::timestamp, false, to_km(in_service_odometer, distance_unit),
        in_service_odometer, distance_unit, file, line, 'vehicles', 'in_service_odometer'
    from vehicles
    union all
    select vehicle_id, 'hours', in_service_on::timestamp, false, in_service_hours, in_service_hours, 'h', file, line,
        'vehicles', 'in_service_hours'
    from vehicles
)

select vehicle_id, meter, read_at, read_at::date as read_on, has_time, reading, written, unit,
    file, line, "table", "column"
from found, run
where read_at::date <= as_of
