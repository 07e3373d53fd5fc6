-- What identifies each vehicle, a line a vehicle, and what of it is missing (49 CFR 396.3(b)(1)).
--
-- one row: vehicle_id
-- per:     vehicle
-- reads:   register_fields
-- gives:   vehicle_id, depot
--          make, serial, year, tyre_size, owner   null: missing
--          missing   names of the fields not given, ', ' between; null: none

select vehicle_id, depot, max(value) filter (field = 'make') as make, max(value) filter (field = 'serial') as serial,
    max(value) filter (field = 'year') as year, max(value) filter (field = 'tyre_size') as tyre_size,
    max(value) filter (field = 'owner') as owner,
    string_agg(replace(field, '_', ' '), ', ' order by turn) filter (is_missing) as missing
from register_fields
group by all
order by vehicle_id
