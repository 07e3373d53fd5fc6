-- The days over which each vehicle's records are known: from when it came into service or the records begin, until today or until it
-- was retired.
--
-- one row: vehicle_id
-- per:     vehicle
-- reads:   vehicles, records_begin, run
-- gives:   vehicle_id
--          from_on
--          to_on      not before from_on

select vehicle_id, least(as_of, greatest(in_service_on, coalesce(first_on, as_of))) as from_on,
    greatest(from_on, least(as_of, coalesce(retired_on, as_of))) as to_on
from vehicles, records_begin, run
where in_service_on <= as_of
