-- For each refused reading the other vehicles that its number fits, from wherever they are.
--
-- one row: vehicle_id, meter, seq, other_vehicle
-- reads:   other_vehicles_that_fit
-- gives:   vehicle_id, meter, seq, other_vehicle, off, drive, is_exact, is_alike, among   as in other_vehicles_that_fit

from other_vehicles_that_fit
