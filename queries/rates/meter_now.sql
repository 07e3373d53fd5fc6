-- Where each meter stands on the as-of date: its last believable reading carried forward at the daily rate.
--
-- one row: vehicle_id, meter
-- per:     vehicle
-- reads:   meter_days, daily_rate, meter_spans, run
-- gives:   vehicle_id
--          meter      odometer | hours
--          last_on    day of the last believable reading
--          last_value km or h since new
--          is_read    read on more days than one, so that something is known of its use
--          rate       km or h a day; null: not known
--          now        km or h since new on the as-of date; the last reading where the rate is not known
--          offset_now what to take off to get what the meter in use shows, km or h

select d.vehicle_id, d.meter, d.read_on as last_on, d.high as last_value, r.is_own as is_read, r.rate,
    (d.high + coalesce(r.rate::decimal(28, 7) * (as_of - d.read_on), 0))::decimal(18, 7) as now,
    coalesce(s.add, 0)::decimal(18, 7) as offset_now
from meter_days d
join daily_rate r using (vehicle_id, meter)
left join meter_spans s on s.vehicle_id = d.vehicle_id and s.meter = d.meter and s.taken_out_on is null, run
where d.next_on is null
