-- What simple estimators would have said on this as-of date.
--
-- one row: vehicle_id, meter
-- reads:   looked_at, past_months, median_slopes, meter_days
-- gives:   vehicle_id
--          meter
--          half_life_3_months   km or h a day: mean of the months, each three months back counting half
--          last_30_days         km or h a day over the 30 days before the last reading
--          last_3_months
--          last_12_months
--          median_slope         of the last 13 monthly points
--          lifetime             since the first reading
--          usual_change         km or h a day: mean absolute change from one whole month to the next, the scale of the
--                               mean absolute scaled error (Hyndman & Koehler 2006); null with fewer than two months

with steps as (
    select vehicle_id, meter, months_back, is_cut,
        lag(reading) over back - reading as moved, lag(read_on) over back - read_on as days,
        pow(0.5, (months_back - 1) / 3) as weight
    from past_months
    window back as (partition by vehicle_id, meter order by months_back)
),

by_month as (
    select vehicle_id, meter,
        sum((moved::double * weight)::decimal(28, 9))::double / sum((days * weight)::decimal(28, 9))::double
            as half_life_3_months,
        sum(moved) filter (where months_back <= 3)::double / sum(days) filter (where months_back <= 3) as last_3_months,
        sum(moved) filter (where months_back <= 12)::double / sum(days) filter (where months_back <= 12)
            as last_12_months,
        naive_scale(list(moved::double / days order by months_back desc) filter (where not is_cut), 1) as usual_change
    from steps
    where days > 0
    group by all
),

thirty_days_ago as (
    select l.vehicle_id, l.meter, l.last_on - d.read_on as apart,
        l.last_value - d.high
            - case when d.next_on is null or l.last_on - d.read_on <= 30 then 0
                else (d.next_low - d.high)::double * (l.last_on - 30 - d.read_on) / (d.next_on - d.read_on)
            end as moved
    from looked_at l
    asof join meter_days d on d.vehicle_id = l.vehicle_id and d.meter = l.meter and l.last_on - 30 >= d.read_on
),

lives as (
    select l.vehicle_id, l.meter,
        (l.last_value - arg_min(d.high, d.read_on))::double / (l.last_on - min(d.read_on)) as lifetime
    from looked_at l
    join meter_days d using (vehicle_id, meter)
    group by l.vehicle_id, l.meter, l.last_value, l.last_on
)

-- An estimator that lacks the readings it wants says what the lifetime mean says, so that all answer all questions.
select vehicle_id, meter,
    coalesce(m.half_life_3_months, f.lifetime)::decimal(18, 7) as half_life_3_months,
    coalesce(t.moved::double / 30, f.lifetime)::decimal(18, 7) as last_30_days,
    coalesce(m.last_3_months, f.lifetime)::decimal(18, 7) as last_3_months,
    coalesce(m.last_12_months, f.lifetime)::decimal(18, 7) as last_12_months,
    coalesce(s.slope, f.lifetime)::decimal(18, 7) as median_slope,
    f.lifetime::decimal(18, 7) as lifetime,
    m.usual_change::decimal(18, 7) as usual_change
from lives f
left join by_month m using (vehicle_id, meter)
left join thirty_days_ago t using (vehicle_id, meter)
left join median_slopes s using (vehicle_id, meter)
