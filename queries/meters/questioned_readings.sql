-- All readings of the meters that have a refused one: what its likeliest slip is told from.
--
-- one row: vehicle_id, meter, seq
-- per:     vehicle
-- reads:   readings_in_order, refused_readings
-- gives:   vehicle_id
--          meter     odometer | hours
--          seq       order of time, then of value
--          read_at   local time, midnight where the day only counts
--          value     km or h since new, over all meters
--          reading   km or h as the meter showed it
--          written   the number as written
--          unit      km | mi | h: the unit it was written in
--          is_believed
--          file, line, table, column   where it stands

select r.vehicle_id, r.meter, r.seq, r.read_at, r.value, r.reading, r.written, r.unit, f.seq is null as is_believed,
    r.file, r.line, r."table", r."column"
from readings_in_order r
semi join refused_readings m on m.vehicle_id = r.vehicle_id and m.meter = r.meter
left join refused_readings f on f.vehicle_id = r.vehicle_id and f.meter = r.meter and f.seq = r.seq
