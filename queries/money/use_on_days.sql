-- What each meter stood at on the days that the money tables ask for: read off the believable readings.
--
-- Between two readings by the straight line between them, after the last at the daily rate, before the first its value.
--
-- one row: vehicle_id, meter, on_day
-- per:     vehicle
-- reads:   record_window, worded_lines, meter_days, daily_rate, run
-- gives:   vehicle_id
--          meter      odometer | hours
--          on_day
--          value      km or h since new

with days as (
    select vehicle_id, from_on as on_day from record_window
    union
    select vehicle_id, to_on from record_window
    union
    select vehicle_id, done_on from worded_lines, run where kind = 'repair' and done_on <= as_of
    union
    -- The financial year to date, the year before it, and the ends of the last 36 months.
    select vehicle_id, unnest([as_of, as_of - 365, year_from(as_of, financial_year_starts),
        year_from(as_of, financial_year_starts) - 365]) from record_window, run
    union
    select vehicle_id, (date_trunc('month', as_of) - to_months(number::integer))::date
    from record_window, run, unnest(generate_series(0, 36)) as one(number)
),

asked as (
    select d.vehicle_id, f.meter, d.on_day, f.first_value
    from days d
    join (select vehicle_id, meter, min(low) as first_value from meter_days group by all) f using (vehicle_id)
)

select a.vehicle_id, a.meter, a.on_day,
    read_off(a.on_day, a.first_value, m.read_on, m.high, m.next_on, m.next_low, r.rate) as value
from asked a
left join daily_rate r on r.vehicle_id = a.vehicle_id and r.meter = a.meter
asof left join meter_days m on m.vehicle_id = a.vehicle_id and m.meter = a.meter and a.on_day >= m.read_on
