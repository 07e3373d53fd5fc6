-- How far a vehicle goes in a day, from its believable readings of the last 91 days (all of them where those are too few).
--
-- one row: vehicle_id, meter
-- reads:   meter_days, run
-- gives:   vehicle_id
--          meter      odometer | hours
--          rate       km or h a day; null with fewer than two days of readings
--          rate_low   km or h a day, for the late end of due dates
--          rate_high  km or h a day, for the early end

with spans as (
    select vehicle_id, meter, max(read_on) as last_on, max(high) as last_value,
        max(read_on) filter (read_on <= as_of - 91) as recent_on, max(high) filter (read_on <= as_of - 91) as recent_value,
        min(read_on) as first_on, min(high) as first_value
    from meter_days, run
    group by all
),

based as (
    select vehicle_id, meter, last_on, last_value,
        case when recent_on < last_on then recent_on else first_on end as from_on,
        case when recent_on < last_on then recent_value else first_value end as from_value
    from spans
)

select vehicle_id, meter,
    case when last_on > from_on
        then from_units(units(last_value - from_value) // (last_on - from_on)) end as rate,
    rate as rate_low,
    rate as rate_high
from based
