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

asked as materialized (
    select d.vehicle_id, f.meter, d.on_day, f.first_value, f.first_on
    from days d
    join (select vehicle_id, meter, min(low) as first_value, min(read_on) as first_on from meter_days group by all) f
        using (vehicle_id)
),

-- Most days asked for of a fleet read daily are days of a reading, which needs no search.
read_then as materialized (
    select a.vehicle_id, a.meter, a.on_day, a.first_value, m.read_on, m.high, m.next_on, m.next_low
    from meter_days m
    join asked a on a.vehicle_id = m.vehicle_id and a.meter = m.meter and a.on_day = m.read_on
),

others as materialized (
    select a.vehicle_id, a.meter, a.on_day, a.first_value, a.first_on
    from asked a
    anti join read_then r on r.vehicle_id = a.vehicle_id and r.meter = a.meter and r.on_day = a.on_day
),

-- Nothing of a meter lies before its first day.
between_readings as materialized (from others where on_day > first_on),

placed as (
    from read_then
    union all
    select vehicle_id, meter, on_day, first_value, null, null, null, null from others where on_day < first_on
    union all
    select b.vehicle_id, b.meter, b.on_day, b.first_value, m.read_on, m.high, m.next_on, m.next_low
    from between_readings b
    asof join (
        select m.* from meter_days m semi join between_readings o on o.vehicle_id = m.vehicle_id and o.meter = m.meter
    ) m on m.vehicle_id = b.vehicle_id and m.meter = b.meter and b.on_day >= m.read_on
)

select p.vehicle_id, p.meter, p.on_day,
    read_off(p.on_day, p.first_value, p.read_on, p.high, p.next_on, p.next_low, r.rate) as value
from placed p
left join daily_rate r on r.vehicle_id = p.vehicle_id and r.meter = p.meter
