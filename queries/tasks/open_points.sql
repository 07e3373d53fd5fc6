-- The due points of what is awaited now, trigger by trigger, against where the meters stand on the as-of date.
--
-- one row: vehicle_id, task, trigger, rule
-- per:     vehicle
-- reads:   due_marks, services_in_order, task_plan, meter_now, distance_band, vehicles, run
-- gives:   vehicle_id, task
--          trigger    distance | hours | time | date
--          rule       interval | follow_up | every_year | expiry
--          turn       order of the triggers where two fall on one day
--          due_at     km or h since new; null for a date
--          left_over  km or h until it; negative: past
--          falls_on   the day; null: none, or it cannot be worked out
--          early_on, late_on   the days between which it falls four times in five; late_on null: it may never
--          is_past    whether it was passed
--          is_unknown whether it cannot be worked out
--          why_unknown   no record | no reading | no rate
--          late_share    how far past, as a share of the interval; null: not past, or no interval

with awaited as (
    select m.*, p.is_recorded, p.every_year_on,
        case when p.after is not null then 'follow_up' else 'interval' end as rule,
        s.service_no = 1 and not p.is_recorded and p.after is null as lacks_record
    from due_marks m
    join services_in_order s using (vehicle_id, task, service_no)
    join task_plan p using (vehicle_id, task)
    join vehicles v using (vehicle_id), run
    where s.done_on is null and is_in_service(v.in_service_on, v.retired_on, as_of)
),

meter_points as (
    select vehicle_id, task, 'distance' as trigger, rule, 1 as turn, 'odometer' as meter, due_km as due_at,
        interval_km as interval_length, lacks_record
    from awaited
    where interval_km is not null
    union all
    select vehicle_id, task, 'hours', rule, 2, 'hours', due_hours, interval_hours, lacks_record
    from awaited
    where interval_hours is not null
),

day_points as (
    select vehicle_id, task, 'time' as trigger, rule, 3 as turn, due_month_on as due_on, from_on, lacks_record
    from awaited
    where from_on is not null
    union all
    select vehicle_id, task, 'date', 'every_year', 4, due_year_on,
        year_day(year(due_year_on) - 1, every_year_on), lacks_record
    from awaited
    where every_year_on is not null and rule <> 'follow_up'
    union all
    select vehicle_id, task, 'date', 'expiry', 5, expires_on, null, false
    from awaited
    where expires_on is not null
),

against_meters as (
    select p.*, m.last_on, m.last_value, m.rate,
        -- Without a rate only what the last reading has already passed is known.
        case when m.rate is not null or p.due_at < m.now then p.due_at - m.now end::decimal(18, 7) as left_over,
        -- Days from the last reading at the edges of the band; null: it may never get there.
        ceil(band_days(p.due_at - m.last_value, b.high_7, b.high_14, b.high_28, b.high_91, b.high_182, b.high_364))
            ::hugeint as fewest_days,
        ceil(band_days(p.due_at - m.last_value, b.low_7, b.low_14, b.low_28, b.low_91, b.low_182, b.low_364))
            ::hugeint as most_days
    from meter_points p
    left join meter_now m on m.vehicle_id = p.vehicle_id and m.meter = p.meter
    left join distance_band b on b.vehicle_id = p.vehicle_id and b.meter = p.meter
)

select vehicle_id, task, trigger, rule, turn, due_at, left_over,
    meter_date(as_of, left_over, rate, last_on) as falls_on,
    -- A point that a reading has passed is no estimate.
    case when due_at <= last_value then falls_on
        when fewest_days is not null then least(falls_on, day_after(last_on, fewest_days)) end as early_on,
    case when due_at <= last_value then falls_on
        when most_days is not null then greatest(falls_on, day_after(last_on, most_days)) end as late_on,
    coalesce(left_over < 0, false) as is_past,
    left_over is null as is_unknown,
    case
        when left_over is not null then null
        when lacks_record then 'no record'
        when due_at is null then 'no reading'
        else 'no rate'
    end as why_unknown,
    case when left_over < 0 then -left_over::double / interval_length::double end as late_share
from against_meters, run
union all
select vehicle_id, task, trigger, rule, turn, null, null, due_on, due_on, due_on,
    coalesce(due_on < as_of, false), due_on is null, case when due_on is null then 'no record' end,
    case when due_on < as_of then (as_of - due_on)::double / (due_on - from_on) end
from day_points, run
