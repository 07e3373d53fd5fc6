-- What each meter moves a day, as best known on the as-of date.
--
-- one row: vehicle_id, meter
-- per:     vehicle
-- reads:   weekly_readings, vehicles, rate_views, view_shares, use_variation, class_rate, run
-- gives:   vehicle_id
--          meter
--          class
--          first_on    day of the first reading
--          last_on     day of the last reading
--          last_reading
--          is_own      false: read on one day only, so the scale is its class's
--          is_young    fewer than 91 days of history
--          rate        km or h a day, never below 0; null where the meter was read on one day only
--          class_rate  km or h a day of its class over the last year; null: not known
--          scale       km or h a day that the band is measured in: the mean of rate and of last year's use

with own as (
    select v.vehicle_id, v.meter, v.is_young, v.rate_364, v.rate_now,
        s.share_class * u.class_trust as class_part,
        (s.share_28 * v.rate_28 + s.share_91 * v.rate_91
            + s.share_364 * v.rate_364 + s.share_728 * v.rate_728)
            / (s.share_28 + s.share_91 + s.share_364 + s.share_728) as own_rate
    from rate_views as v
    join view_shares as s using (vehicle_id, meter, is_young)
    join use_variation as u using (vehicle_id, meter)
    where v.is_last
),

mixed as (
    select vehicle_id, meter, is_young, rate_364, (1 - class_part) * own_rate + class_part * rate_now as rate
    from own
)

select
    r.vehicle_id,
    r.meter,
    vehicles.class,
    r.first_on,
    r.read_on as last_on,
    r.reading as last_reading,
    m.rate is not null as is_own,
    coalesce(m.is_young, true) as is_young,
    -- A class's rate without a second reading of its own would give a due date that nobody measured.
    m.rate::decimal(18, 7) as rate,
    c.class_rate,
    case when m.rate is not null then (m.rate + m.rate_364) / 2 else c.class_rate end as scale
from weekly_readings as r
join vehicles using (vehicle_id)
cross join run
left join mixed as m on m.vehicle_id = r.vehicle_id and m.meter = r.meter
left join class_rate as c
    on c.class = vehicles.class and c.meter = r.meter and c.month = year(run.as_of) * 12 + month(run.as_of)
where r.read_on = r.last_on
