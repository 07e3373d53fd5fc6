-- Meters not read lately on which due dates hang: what one photograph of the dial would settle, worst first.
--
-- A task hangs on a meter where the last reading has not passed its due point and that point may come within the horizon. It is
-- unsettled where the estimate cannot tell whether it is due by now.
--
-- one row: vehicle_id, meter
-- reads:   meter_now, open_points, distance_band, vehicles, run
-- gives:   vehicle_id
--          vehicle_title    null where it has none
--          depot            blank where there is none
--          meter            odometer | hours
--          last_reading_on  day of the last believable reading
--          days_old         days since then
--          shown_now        what the dial should show today by the rate, in unit
--          shown_now_low, shown_now_high   between these four times in five
--          unit             km | mi | h
--          tasks_unsettled  due or overdue, or not: only a reading tells
--          tasks_hanging    whose due date within the horizon hangs on this meter
--          worst            1 is the first to read

with hanging as (
    select m.vehicle_id, m.meter,
        count(*) as tasks_hanging,
        count(*) filter (p.early_on <= r.due_until and (p.late_on is null or p.late_on > r.due_until)) as tasks_unsettled
    from open_points p
    join meter_now m on m.vehicle_id = p.vehicle_id
        and m.meter = case p.trigger when 'distance' then 'odometer' else 'hours' end, run r
    where p.trigger in ('distance', 'hours') and m.rate is not null and p.due_at > m.last_value
        and p.early_on <= r.horizon_until
    group by all
),

stale as (
    select m.*, h.tasks_hanging, h.tasks_unsettled, r.as_of - m.last_on as days_old,
        band_distance(days_old, b.low_7, b.low_14, b.low_28, b.low_91, b.low_182, b.low_364) as least_gain,
        band_distance(days_old, b.high_7, b.high_14, b.high_28, b.high_91, b.high_182, b.high_364) as most_gain
    from meter_now m
    join hanging h using (vehicle_id, meter)
    join distance_band b using (vehicle_id, meter), run r
    where m.last_on < r.as_of - r.stale_days
)

select s.vehicle_id, v.title as vehicle_title, coalesce(v.depot, '') as depot, s.meter, s.last_on as last_reading_on,
    s.days_old,
    shown_length(s.now - s.offset_now, s.meter, v.distance_unit) as shown_now,
    shown_length(s.last_value - s.offset_now + s.least_gain, s.meter, v.distance_unit) as shown_now_low,
    shown_length(s.last_value - s.offset_now + s.most_gain, s.meter, v.distance_unit) as shown_now_high,
    case s.meter when 'hours' then 'h' else v.distance_unit end as unit,
    s.tasks_unsettled, s.tasks_hanging,
    row_number() over (order by s.tasks_unsettled desc, s.tasks_hanging desc, s.days_old desc, s.vehicle_id, s.meter)
        as worst
from stale s
join vehicles v using (vehicle_id)
order by worst
