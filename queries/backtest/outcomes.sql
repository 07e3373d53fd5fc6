-- What each meter looked at really did up to each horizon, where later readings tell.
--
-- one row: as_of, vehicle_id, meter, horizon
-- reads:   looks, horizons, known_days
-- gives:   as_of
--          vehicle_id
--          meter
--          horizon
--          turn       order of the horizon
--          class      of the vehicle
--          days       from the last reading known then to the day judged
--          actual     km or h from that reading's value to where the meter stood that day
--          moved      km or h that the meter ran in those days; not `actual` where that reading was refused later
--          low, high  km or h: the 80 % band of the distance

with asked as (
    select l.as_of, l.vehicle_id, l.meter, l.class, l.last_on, l.last_value, h.horizon, h.turn,
        coalesce(l.as_of + h.days, add_months(l.as_of, h.months)) as judged_on
    from looks l
    cross join horizons h
),

-- Where the readings on either side lie far apart, measured by the days ahead, nobody knows where the meter stood.
found as (
    select a.*, d.high + case when d.read_on = a.judged_on then 0
        else from_units(units(d.next_low - d.high) * (a.judged_on - d.read_on) // (d.next_on - d.read_on)) end as stood
    from asked a
    asof join known_days d on d.vehicle_id = a.vehicle_id and d.meter = a.meter and a.judged_on >= d.read_on
    where d.read_on = a.judged_on or d.next_on - d.read_on <= 1.25 * (a.judged_on - a.as_of)
),

started as (
    select f.*, d.high + case when d.read_on = f.last_on or d.next_on is null then 0
        else from_units(units(d.next_low - d.high) * (f.last_on - d.read_on) // (d.next_on - d.read_on)) end as stood_then
    from found f
    asof join known_days d on d.vehicle_id = f.vehicle_id and d.meter = f.meter and f.last_on >= d.read_on
)

select s.as_of, s.vehicle_id, s.meter, s.horizon, s.turn, s.class, s.judged_on - s.last_on as days,
    (s.stood - s.last_value)::decimal(18, 7) as actual,
    (s.stood - s.stood_then)::decimal(18, 7) as moved,
    band_distance(judged_on - s.last_on, low_7, low_14, low_28, low_91, low_182, low_364)::decimal(18, 7) as low,
    band_distance(judged_on - s.last_on, high_7, high_14, high_28, high_91, high_182, high_364)::decimal(18, 7) as high
from started s
join looks l using (as_of, vehicle_id, meter)
