-- Readings on one scale for the whole life of the vehicle, in order of time, then of value.
--
-- A reading on the day of a meter change belongs to the meter whose end it is nearer to. A reading without a time of
-- day may stand anywhere in its day, so on such a day all of the meter's readings are taken in order of value.
--
-- one row: vehicle_id, meter, seq
-- per:     vehicle
-- reads:   dated_readings, meter_spans, run
-- gives:   vehicle_id
--          meter      odometer | hours
--          seq        1 is the first
--          read_at    local time, midnight where the day only counts
--          read_on    day
--          value      km or h since new, over all meters
--          reading    km or h as the meter showed it
--          written    the number as written
--          unit       km | mi | h: the unit it was written in
--          file, line, table, column   where it stands
--          can_follow  the one before it: the meter does not go back, nor further than the time between can take it

with timed_meters as (
    select distinct vehicle_id, meter from dated_readings where has_time
),

days_without_time as (
    select distinct d.vehicle_id, d.meter, d.read_on, true as by_value
    from dated_readings d
    semi join timed_meters t on d.vehicle_id = t.vehicle_id and d.meter = t.meter
    where not d.has_time
),

on_one_scale as (
    select d.*, (d.reading + coalesce(s.add, 0))::decimal(18, 7) as value
    from dated_readings d
    left join meter_spans s
        on s.vehicle_id = d.vehicle_id and s.meter = d.meter
        and (s.put_in_on is null or d.read_on > s.put_in_on
            or (d.read_on = s.put_in_on and abs(d.reading - s.before) > abs(d.reading - s.first_reading)))
        and (s.taken_out_on is null or d.read_on < s.taken_out_on
            or (d.read_on = s.taken_out_on and abs(d.reading - s.final_reading) <= abs(d.reading - s.after)))
),

at_its_time as (
    select r.* replace (case when w.by_value then r.read_on::timestamp else r.read_at end as read_at)
    from on_one_scale r
    left join days_without_time w
        on r.has_time and w.vehicle_id = r.vehicle_id and w.meter = r.meter and w.read_on = r.read_on
),

in_order as (
    select vehicle_id, meter, row_number() over one as seq,
        read_at, read_on, value, reading, written, unit, file, line, "table", "column",
        value - lag(value) over one as gain, lag(read_at) over one as before
    from at_its_time
    window one as (partition by vehicle_id, meter order by read_at, value, file, line, "column")
)

select vehicle_id, meter, seq, read_at, read_on, value, reading, written, unit, file, line, "table", "column",
    case
        when gain < 0 then false
        -- Most gain less than a day allows, which is told without wide numbers.
        when coalesce(gain, 0) <= case meter when 'odometer' then most_km_per_day else most_h_per_day end then true
        else units(gain) * 86400000000 <= units(case meter when 'odometer' then most_km_per_day else most_h_per_day end)
            * greatest(86400000000, epoch_us(read_at) - epoch_us(before))
    end as can_follow
from in_order, run
