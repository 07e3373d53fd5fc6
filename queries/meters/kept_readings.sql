-- The believable readings: all of a meter that keeps the rule, and of a broken one the largest set that does.
--
-- one row: vehicle_id, meter, seq
-- per:     vehicle
-- reads:   readings_in_order, not_believed
-- view:    a copy of what is nearly all readings would be large, and leaving a few out anew is quick
-- gives:   vehicle_id
--          meter      odometer | hours
--          seq        order of time, then of value; gaps where readings were refused
--          read_on    day
--          value      km or h since new, over all meters
--          file, line, column   where it stands

select r.vehicle_id, r.meter, r.seq, r.read_on, r.value, r.file, r.line, r."column"
from readings_in_order r
anti join not_believed n on n.vehicle_id = r.vehicle_id and n.meter = r.meter and n.seq = r.seq
