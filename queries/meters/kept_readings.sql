-- The believable readings: all of a meter that keeps the rule, and of a broken one the largest set that does.
--
-- one row: vehicle_id, meter, seq
-- per:     vehicle
-- reads:   readings_in_order, broken_meters, longest_chains
-- view:    a copy of what most meters keep whole would be large, and telling it apart anew is quick
-- gives:   vehicle_id
--          meter      odometer | hours
--          seq        order of time, then of value; gaps where readings were refused
--          read_on    day
--          value      km or h since new, over all meters
--          file, line, column   where it stands

select r.vehicle_id, r.meter, r.seq, r.read_on, r.value, r.file, r.line, r."column"
from readings_in_order r
anti join broken_meters b on r.vehicle_id = b.vehicle_id and r.meter = b.meter
union all
select r.vehicle_id, r.meter, r.seq, r.read_on, r.value, r.file, r.line, r."column"
from readings_in_order r
semi join longest_chains c on r.vehicle_id = c.vehicle_id and r.meter = c.meter and r.seq = c.seq
