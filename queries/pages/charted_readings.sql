-- The readings of a meter that a chart shows: of the last two years one believed a week, the last of it, and every one refused.
--
-- one row: vehicle_id, meter, seq
-- per:     vehicle
-- reads:   readings_in_order, refused_readings, run
-- gives:   vehicle_id
--          meter     odometer | hours
--          seq
--          read_on   day
--          value     km or h since new
--          written   the number as written
--          is_believed
--          file, line  where it stands
--          reason    why it is refused; null: believed

-- What is not refused is believed.
select r.vehicle_id, r.meter, r.seq, r.read_on, r.value, r.written, f.seq is null as is_believed, r.file, r.line, f.reason
from readings_in_order r
left join refused_readings f using (vehicle_id, meter, seq), run
where r.read_on > add_months(as_of, -24)
qualify not is_believed or row_number() over (
    partition by r.vehicle_id, r.meter, is_believed, date_trunc('week', r.read_on) order by r.seq desc) = 1
