-- The readings that a vehicle's chart shows: of the last two years one believed a week, the last of it, and every one refused.
--
-- one row: vehicle_id, meter, seq
-- reads:   readings_in_order, refused_readings, meter_now, sheet_vehicles, run
-- gives:   vehicle_id
--          meter     odometer | hours
--          seq
--          read_on   day
--          value     since new, in the vehicle's km or mi, or in h
--          written   the number as written
--          is_believed
--          file, line  where it stands
--          reason    why it is refused; null: believed

with recent as (
    select r.vehicle_id, r.meter, r.seq, r.read_on, r.value, r.written, r.file, r.line, f.reason,
        f.seq is null as is_believed,
        row_number() over (partition by r.vehicle_id, r.meter, is_believed, date_trunc('week', r.read_on)
            order by r.seq desc) as from_last
    from readings_in_order r
    semi join sheet_vehicles v on v.vehicle_id = r.vehicle_id and v.has_page
    -- What is not refused is believed.
    left join refused_readings f using (vehicle_id, meter, seq), run
    where r.read_on > add_months(as_of, -24)
    qualify not is_believed or from_last = 1
)

select r.vehicle_id, r.meter, r.seq, r.read_on, shown_length(r.value, r.meter, v.distance_unit) as value,
    plain(r.written) as written, r.is_believed, r.file, r.line, r.reason
from recent r
join meter_now m on m.vehicle_id = r.vehicle_id and m.meter = r.meter and m.is_read
join sheet_vehicles v on v.vehicle_id = r.vehicle_id
order by r.vehicle_id, r.meter, r.seq
