-- How far a meter moves within 7 to 364 days of its last reading: one time in ten below low, one in ten above high.
--
-- one row: vehicle_id, meter
-- per:     vehicle
-- reads:   daily_rate, spreads, band_edges
-- gives:   vehicle_id
--          meter
--          low_7      km or h in 7 days
--          low_14
--          low_28
--          low_91
--          low_182
--          low_364
--          high_7
--          high_14
--          high_28
--          high_91
--          high_182
--          high_364

with edges as (
    select r.vehicle_id, r.meter, s.days,
        s.days * least(r.rate::double, greatest(0, r.rate::double + r.scale * s.spread * e.below)) as low,
        s.days * greatest(r.rate::double, r.rate::double + r.scale * s.spread * e.above, 0) as high
    from daily_rate as r
    join spreads as s using (vehicle_id, meter, is_young, class)
    join band_edges as e using (class, meter, is_young, days)
    where r.rate is not null
),

-- A meter does not run back: an edge is never lower at more days.
rising as (
    select vehicle_id, meter, days,
        (max(low) over so_far)::decimal(18, 7) as low, (max(high) over so_far)::decimal(18, 7) as high
    from edges
    window so_far as (partition by vehicle_id, meter order by days)
)

select
    vehicle_id,
    meter,
    max(low) filter (where days = 7) as low_7,
    max(low) filter (where days = 14) as low_14,
    max(low) filter (where days = 28) as low_28,
    max(low) filter (where days = 91) as low_91,
    max(low) filter (where days = 182) as low_182,
    max(low) filter (where days = 364) as low_364,
    max(high) filter (where days = 7) as high_7,
    max(high) filter (where days = 14) as high_14,
    max(high) filter (where days = 28) as high_28,
    max(high) filter (where days = 91) as high_91,
    max(high) filter (where days = 182) as high_182,
    max(high) filter (where days = 364) as high_364
from rising
group by vehicle_id, meter
