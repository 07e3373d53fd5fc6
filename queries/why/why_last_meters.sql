-- Where the figure comes from that each meter stood at when each task was last done.
--
-- one row: vehicle_id, task, meter
-- reads:   last_done, service_lines, meter_days, place_of_reading, vehicles
-- gives:   vehicle_id, task
--          meter    odometer | hours
--          unit     km | mi | h
--          value    in unit, since new
--          how      written: on a line of that day | read: that day, elsewhere | between: on the line between two readings
--                   | carried: from the last reading, at the daily rate | first: before the first reading, its value
--          from_on, from_value, from_file, from_line   the reading before, where it hangs on one
--          to_on, to_value, to_file, to_line           the reading after

with asked as (
    select d.vehicle_id, d.task, 'odometer' as meter, d.done_on, d.km as value, s.km is not null as is_written
    from last_done d
    join service_lines s using (vehicle_id, task, done_on)
    where d.km is not null
    union all
    select d.vehicle_id, d.task, 'hours', d.done_on, d.hours, s.hours is not null
    from last_done d
    join service_lines s using (vehicle_id, task, done_on)
    where d.hours is not null
),

firsts as (
    select vehicle_id, meter, min(read_on) as first_on from meter_days group by all
),

beside as (
    select a.*, m.read_on as from_on,
        case when m.read_on is null then f.first_on else m.next_on end as to_on,
        case
            when a.is_written then 'written'
            when m.read_on is null then 'first'
            when m.read_on = a.done_on then 'read'
            when m.next_on is null then 'carried'
            else 'between'
        end as how
    from asked a
    join firsts f using (vehicle_id, meter)
    asof left join meter_days m on m.vehicle_id = a.vehicle_id and m.meter = a.meter and a.done_on >= m.read_on
)

select b.vehicle_id, b.task, b.meter, case b.meter when 'hours' then 'h' else v.distance_unit end as unit,
    in_unit(b.value, b.meter, v.distance_unit)::decimal(18, 7) as value, b.how,
    b.from_on, in_unit(p.high, b.meter, v.distance_unit)::decimal(18, 7) as from_value,
    p.high_file as from_file, p.high_line as from_line,
    b.to_on, in_unit(n.low, b.meter, v.distance_unit)::decimal(18, 7) as to_value,
    n.low_file as to_file, n.low_line as to_line
from beside b
join vehicles v using (vehicle_id)
left join place_of_reading p on p.vehicle_id = b.vehicle_id and p.meter = b.meter and p.read_on = b.from_on
left join place_of_reading n on n.vehicle_id = b.vehicle_id and n.meter = b.meter and n.read_on = b.to_on
