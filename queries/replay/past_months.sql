-- Where each meter looked at stood a month, two months … before its last reading: what the naive estimators know.
--
-- Five years at most: a weight that halves every 3 months is below a millionth by then. Between two readings by the
-- straight line; the oldest month is cut at the first reading.
--
-- one row: vehicle_id, meter, months_back
-- reads:   looked_at, meter_days
-- gives:   vehicle_id
--          meter
--          months_back   0 is the last reading
--          read_on
--          reading       km or h since new
--          is_cut        the first reading, less than a whole month before the one after it

with starts as (
    select l.vehicle_id, l.meter, l.last_on, min(d.read_on) as first_on
    from looked_at l
    join meter_days d using (vehicle_id, meter)
    group by all
),

asked as (
    select vehicle_id, meter, months.back as months_back,
        greatest(add_months(last_on, -months.back), first_on) as read_on,
        add_months(last_on, -months.back) < first_on as is_cut
    from starts
    cross join (select unnest(range(61)) as back) as months
    where months.back = 0 or add_months(last_on, 1 - months.back) > first_on
)

select a.vehicle_id, a.meter, a.months_back, a.read_on,
    (d.high + case when d.read_on = a.read_on then 0
        else from_units(units(d.next_low - d.high) * (a.read_on - d.read_on) // (d.next_on - d.read_on)) end
    )::decimal(18, 7) as reading,
    a.is_cut
from asked a
asof join meter_days d on d.vehicle_id = a.vehicle_id and d.meter = a.meter and a.read_on >= d.read_on
