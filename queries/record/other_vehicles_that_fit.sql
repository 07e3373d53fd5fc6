-- Vehicles whose meter showed about the number of a refused reading on that day: within what they drive in a day.
--
-- The number is taken in the other vehicle's own unit, since that is what its dial shows.
--
-- one row: vehicle_id, meter, seq, other_vehicle
-- per:     vehicle
-- reads:   numbers_in_question, meter_days, meter_spans, daily_rate, vehicles
-- gives:   vehicle_id, meter, seq   the refused reading
--          other_vehicle   the vehicle that the number fits
--          off        km or h between the number and that vehicle's straight line
--          drive      km or h that that vehicle goes in a day
--          is_exact   it has a believed reading of just this number that day
--          is_alike   it has the same depot or class
--          among      how many vehicles there are

with pairs as materialized (
    select r.*, v.vehicle_id as other_vehicle
    from numbers_in_question r
    join vehicles v on v.vehicle_id <> r.vehicle_id
    -- In a large fleet some dial shows any number; there only vehicles that stand together are looked at.
    where r.written > 0 and (r.among <= 500 or (v.depot is not distinct from r.depot and v.class = r.class))
),

-- Most vehicles were read on the very day, which needs no search.
read_then as materialized (
    select r.*, d.read_on as from_on, d.low, d.high, d.next_on, d.next_low
    from meter_days d
    join pairs r on r.other_vehicle = d.vehicle_id and r.meter = d.meter and r.read_on = d.read_on
),

others as materialized (
    select p.*
    from pairs p
    anti join read_then r on r.vehicle_id = p.vehicle_id and r.meter = p.meter and r.seq = p.seq
        and r.other_vehicle = p.other_vehicle
),

dated as (
    from read_then
    union all
    select r.*, d.read_on, d.low, d.high, d.next_on, d.next_low
    from others r
    asof join (
        select m.* from meter_days m semi join others o on o.other_vehicle = m.vehicle_id and o.meter = m.meter
    ) d on d.vehicle_id = r.other_vehicle and d.meter = r.meter and d.read_on <= r.read_on
),

-- What each vehicle's meter would show, on its scale since new, if the number were its own.
beside as (
    select r.vehicle_id, r.meter, r.seq, r.among, r.read_on, r.other_vehicle,
        ((case r.meter when 'odometer' then to_km(r.written, o.distance_unit) else r.written end)
            + coalesce(s.add, 0))::decimal(18, 7) as value,
        r.from_on, r.low, r.high, r.next_on, r.next_low, coalesce(t.rate, 0) as drive,
        coalesce(r.depot = o.depot or r.class = o.class, false) as is_alike
    from dated r
    join vehicles o on o.vehicle_id = r.other_vehicle
    left join daily_rate t on t.vehicle_id = r.other_vehicle and t.meter = r.meter
    left join meter_spans s
        on s.vehicle_id = r.other_vehicle and s.meter = r.meter
        and (s.put_in_on is null or r.read_on > s.put_in_on) and (s.taken_out_on is null or r.read_on <= s.taken_out_on)
),

off_the_line as (
    select *,
        case
            when from_on = read_on then greatest(low - value, value - high, 0)
            when next_on is null then abs(value - high - drive::decimal(28, 7) * (read_on - from_on))
            else abs(value - high - from_units(units(next_low - high) * (read_on - from_on) // (next_on - from_on)))
        end::decimal(18, 7) as off
    from beside
)

select vehicle_id, meter, seq, other_vehicle, off, drive, from_on = read_on and value in (low, high) as is_exact, is_alike, among
from off_the_line
where off <= drive or (from_on = read_on and value in (low, high))
