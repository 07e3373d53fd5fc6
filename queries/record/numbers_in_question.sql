-- The refused numbers of all vehicles, each to be held against every other vehicle.
--
-- one row: vehicle_id, meter, seq
-- reads:   refused_numbers, vehicles
-- gives:   vehicle_id, meter, seq, read_on, written, depot, class   as in refused_numbers
--          among   how many vehicles there are

select *, (select count(*) from vehicles) as among
from refused_numbers
