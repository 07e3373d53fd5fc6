-- What each meter stood at on a day on which something was done and nobody wrote it down: read off the believable readings.
--
-- Between two readings by the straight line between them, after the last at the daily rate, before the first its value.
--
-- one row: vehicle_id, meter, done_on
-- per:     vehicle
-- reads:   service_lines, meter_days, daily_rate
-- gives:   vehicle_id
--          meter      odometer | hours
--          done_on    day
--          value      km or h since new

with days as (
    select distinct vehicle_id, 'odometer' as meter, done_on from service_lines where km is null
    union all
    select distinct vehicle_id, 'hours', done_on from service_lines where hours is null
),

meters_read as (
    select m.* from meter_days m semi join days d on d.vehicle_id = m.vehicle_id and d.meter = m.meter
),

firsts as (
    select vehicle_id, meter, min(low) as low from meters_read group by all
)

select d.vehicle_id, d.meter, d.done_on,
    read_off(d.done_on, f.low, m.read_on, m.high, m.next_on, m.next_low, r.rate) as value
from days d
join firsts f on f.vehicle_id = d.vehicle_id and f.meter = d.meter
left join daily_rate r on r.vehicle_id = d.vehicle_id and r.meter = d.meter
asof left join meters_read m on m.vehicle_id = d.vehicle_id and m.meter = d.meter and d.done_on >= m.read_on
