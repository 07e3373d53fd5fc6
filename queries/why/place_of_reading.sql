-- Where the believed reading stands that a meter's value on a day is taken from: the day's highest, and its lowest.
--
-- one row: vehicle_id, meter, read_on
-- reads:   kept_readings, readings_in_order
-- gives:   vehicle_id, meter, read_on
--          high, low    km or h since new
--          high_file, high_line, high_written   where the highest stands, and the number with its unit as written
--          low_file, low_line, low_written      the same of the lowest
--          readings     how many believed readings that day

select k.vehicle_id, k.meter, k.read_on, max(k.value) as high, min(k.value) as low,
    arg_max(k.file, (k.value, k.seq)) as high_file, arg_max(k.line, (k.value, k.seq)) as high_line,
    arg_max(plain(r.written) || ' ' || r.unit, (k.value, k.seq)) as high_written,
    arg_min(k.file, (k.value, k.seq)) as low_file, arg_min(k.line, (k.value, k.seq)) as low_line,
    arg_min(plain(r.written) || ' ' || r.unit, (k.value, k.seq)) as low_written,
    count(*) as readings
from kept_readings k
join readings_in_order r using (vehicle_id, meter, seq)
group by all
