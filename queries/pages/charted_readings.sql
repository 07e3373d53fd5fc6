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
with last_of_week as (
    select r.vehicle_id, r.meter, max(r.seq) as seq
    from readings_in_order r
    anti join refused_readings f on f.vehicle_id = r.vehicle_id and f.meter = r.meter and f.seq = r.seq, run
    where r.read_on > add_months(as_of, -24)
    group by r.vehicle_id, r.meter, date_trunc('week', r.read_on)
)

select r.vehicle_id, r.meter, r.seq, r.read_on, r.value, r.written, true as is_believed, r.file, r.line,
    null::varchar as reason
from readings_in_order r
semi join last_of_week l on l.vehicle_id = r.vehicle_id and l.meter = r.meter and l.seq = r.seq
union all
select r.vehicle_id, r.meter, r.seq, r.read_on, r.value, r.written, false, r.file, r.line, f.reason
from readings_in_order r
join refused_readings f using (vehicle_id, meter, seq), run
where r.read_on > add_months(as_of, -24)
