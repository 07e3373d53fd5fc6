-- Vehicles in service whose warranty still runs, by what the vehicle list says of it. The warranty's own terms decide.
--
-- one row: vehicle_id
-- per:     vehicle
-- reads:   vehicles, meter_now, run
-- gives:   vehicle_id
--          warranty_until   day; null: no date given
--          distance_left    in the vehicle's unit; null: no distance given, or the odometer is not known or was read on one day only
--          distance_unit    km | mi

select v.vehicle_id, v.warranty_until,
    -- An odometer that was never read after the first day tells no distance; past the warranty's, it is past it all the same.
    case when m.is_read is not false then round(v.warranty_distance - from_km(m.now, v.distance_unit), 0)
    end::decimal(18, 0) as distance_left, v.distance_unit
from vehicles v
left join meter_now m on m.vehicle_id = v.vehicle_id and m.meter = 'odometer', run
where is_in_service(v.in_service_on, v.retired_on, as_of)
    and runs_in_warranty(as_of, m.now, v.warranty_until, v.warranty_distance, v.distance_unit)
