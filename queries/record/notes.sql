-- What a person should know at once: rows of the fleet's own lists that were refused, columns and whole files that were not used,
-- wording rules and settings that name what nobody knows, vehicles whose ids can be taken for one another.
--
-- one row: turn
-- reads:   quarantine, loads, run, latest_readings, alike_vehicles, unknown_settings
-- gives:   turn   order in which to tell them
--          note

with refused as (
    select "table", count(*) as rows, string_agg(file || ':' || line, ', ' order by file, line) as places
    from quarantine
    where scope = 'row' and "table" in ('vehicles', 'tasks', 'vehicle_tasks')
    group by "table"
),

latest as (
    select max(read_on) as read_on from latest_readings
),

told as (
    select 1 as kind, "table" as name,
        case when rows = 1 then 'a row of ' || "table" || ' was refused, so what it says'
            else rows || ' rows of ' || "table" || ' were refused, so what they say' end
            || ' is NOT in this report: ' || places as note
    from refused
    union all
    select 2, file, file || ': columns that are not known and were not used: ' || columns_ignored
    from loads
    where columns_ignored <> '' and "table" in ('vehicles', 'tasks', 'vehicle_tasks')
    union all
    select 4, file, file || ': none of its ' || rows_read || ' rows could be used; "fleetreport describe" says what it may be'
    from loads
    where rows_read > 1 and rows_loaded + rows_repeated = 0
    union all
    select 5, file || ':' || line, file || ':' || line || ': this wording rule is not used: "' || value || '", ' || reason
    from quarantine
    where "table" = 'wording'
    union all
    select 6, lpad(line::varchar, 9, '0') || key, 'fleet.toml' || case when line > 0 then ':' || line else '' end || ': ' || said
    from unknown_settings
    union all
    select 7, lpad(turn::varchar, 9, '0'), case when turn > 5 and pairs > 6 then (pairs - 5) || ' more vehicles differ from another by so little; '
            || '"fleetreport check" lists them'
        else file || ':' || line || ': vehicle "' || vehicle_id || '" and "' || like_id || '" (' || like_file || ':' || like_line
            || ') differ only in ' || differ_in || coalesce(' (' || characters || ')', '') || '; each is kept by itself' end
    from (
        select *, row_number() over (order by file, line) as turn, count(*) over () as pairs
        from alike_vehicles
    )
    where turn <= 6
    union all
    select 3, '', 'the latest reading is of ' || read_on || ', ' || (as_of - read_on) || ' days before the as-of date'
    from latest, run
    where as_of - read_on > stale_days
)

select row_number() over (order by kind, name) as turn, note from told
