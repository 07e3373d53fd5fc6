-- The median of the slopes between all pairs of the last 13 monthly points (Theil 1950, Sen 1968).
--
-- one row: vehicle_id, meter
-- reads:   past_months
-- gives:   vehicle_id
--          meter
--          slope      km or h a day

with points as (
    select * from past_months where months_back <= 12 and not is_cut
)

select a.vehicle_id, a.meter, median((b.reading - a.reading)::double / (b.read_on - a.read_on))::decimal(18, 7) as slope
from points a
join points b on b.vehicle_id = a.vehicle_id and b.meter = a.meter and b.read_on > a.read_on
group by a.vehicle_id, a.meter
