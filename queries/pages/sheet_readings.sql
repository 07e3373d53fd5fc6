-- The readings that a vehicle's chart shows, in the vehicle's own unit.
--
-- one row: vehicle_id, meter, seq
-- reads:   charted_readings, meter_now, sheet_vehicles
-- gives:   vehicle_id
--          meter     odometer | hours
--          seq
--          read_on   day
--          value     since new, in the vehicle's km or mi, or in h
--          written   the number as written
--          is_believed
--          file, line  where it stands
--          reason    why it is refused; null: believed

select r.vehicle_id, r.meter, r.seq, r.read_on, shown_length(r.value, r.meter, v.distance_unit) as value,
    plain(r.written) as written, r.is_believed, r.file, r.line, r.reason
from charted_readings r
join meter_now m on m.vehicle_id = r.vehicle_id and m.meter = r.meter and m.is_read
join sheet_vehicles v on v.vehicle_id = r.vehicle_id and v.has_page
order by r.vehicle_id, r.meter, r.seq
