-- The refused readings as numbers that may have been read off another vehicle's dial.
--
-- one row: vehicle_id, meter, seq
-- per:     vehicle
-- reads:   refused_readings, readings_in_order, vehicles
-- gives:   vehicle_id, meter, seq   which reading of which meter it is
--          read_on        day
--          written        the number as written
--          depot, class   of the vehicle that it was written for

select r.vehicle_id, r.meter, r.seq, r.read_on, r.written, v.depot, v.class
from refused_readings f
join readings_in_order r using (vehicle_id, meter, seq)
join vehicles v using (vehicle_id)
