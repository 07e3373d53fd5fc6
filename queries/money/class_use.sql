-- In what a class's use is counted, and how much of it a vehicle of the class has a day: in km where the class has odometers,
-- else in h, else in days.
--
-- one row: class
-- reads:   vehicles, daily_rate
-- gives:   class
--          measure     odometer | hours | days
--          use_a_day   km or h, the mean of its vehicles with a rate; null: none has one

with measures as (
    select v.class, coalesce(max(r.meter) filter (r.meter = 'odometer' and r.rate is not null),
        max(r.meter) filter (r.meter = 'hours' and r.rate is not null), 'days') as measure
    from vehicles v
    left join daily_rate r using (vehicle_id)
    group by all
),

means as (
    select v.class, m.measure, avg(r.rate)::decimal(18, 7) as use_a_day
    from vehicles v
    join measures m using (class)
    join daily_rate r on r.vehicle_id = v.vehicle_id and r.meter = m.measure
    group by all
)

select m.class, m.measure, e.use_a_day
from measures m
left join means e using (class, measure)
