-- What the daily rate of each meter is mixed from: its use over four spans up to its last reading, and its class's.
--
-- one row: vehicle_id, meter, days
-- reads:   rate_views, view_shares, use_variation, past_rates, weekly_readings, place_of_reading, vehicles
-- gives:   vehicle_id
--          meter    odometer | hours
--          days     28 | 91 | 364 | 728: looked back from the last reading; 0: what the class does
--          weight   its share of the mix; the shares of a meter add up to 1
--          factor   the part of the mix that follows in the middle case: the rate is the mix times this
--          rate     km, mi or h a day over that span
--          from_on  first day of the span, not before the meter's first reading; null for the class
--          file, line, written   the believed reading on that day or the last one before it; null for the class

with shares as (
    select v.vehicle_id, v.meter, v.read_on, v.rate_28, v.rate_91, v.rate_364, v.rate_728, v.rate_now,
        s.share_28, s.share_91, s.share_364, s.share_728, s.share_class * u.class_trust as class_part,
        s.share_28 + s.share_91 + s.share_364 + s.share_728 as own_part, p.factor
    from rate_views v
    join view_shares s using (vehicle_id, meter, is_young)
    join use_variation u using (vehicle_id, meter)
    join past_rates p using (vehicle_id, meter, read_on)
    where v.is_last
),

views as (
    select vehicle_id, meter, read_on, factor, unnest([28, 91, 364, 728, 0]) as days,
        unnest([rate_28, rate_91, rate_364, rate_728, rate_now]) as rate,
        unnest([
            (1 - class_part) * share_28 / own_part, (1 - class_part) * share_91 / own_part,
            (1 - class_part) * share_364 / own_part, (1 - class_part) * share_728 / own_part, class_part
        ]) as weight
    from shares
),

spans as (
    select w.*, greatest(w.read_on - w.days, l.first_on) as from_on
    from views w
    join weekly_readings l on l.vehicle_id = w.vehicle_id and l.meter = w.meter and l.read_on = w.read_on
)

select s.vehicle_id, s.meter, s.days, s.weight, s.factor, in_unit(s.rate, s.meter, v.distance_unit) as rate,
    case when s.days > 0 then s.from_on end as from_on,
    case when s.days > 0 then p.high_file end as file, case when s.days > 0 then p.high_line end as line,
    case when s.days > 0 then p.high_written end as written
from spans s
join vehicles v using (vehicle_id)
asof join weekly_readings k on k.vehicle_id = s.vehicle_id and k.meter = s.meter and s.from_on >= k.read_on
join place_of_reading p on p.vehicle_id = k.vehicle_id and p.meter = k.meter and p.read_on = k.read_on
