-- The last weekly reading of each month (of the last four years): what went before it, and what came after.
--
-- one row: vehicle_id, meter, read_on
-- per:     vehicle
-- reads:   weekly_readings, vehicles, run
-- gives:   vehicle_id
--          meter
--          read_on
--          class
--          month       months since year 0
--          is_last     the meter's last reading of all
--          is_young    fewer than 91 days after the first reading
--          rate_28     km or h a day over the 28 days before (since the first reading, where that is less)
--          rate_91
--          rate_364
--          rate_728
--          moved_91    km or h over those 91 days
--          days_91     and how many days they were
--          after_7     km or h a day over the 7 days that followed; null where older than three years or not known
--          after_14
--          after_28
--          after_91
--          after_182
--          after_364

with ends as (
    select vehicle_id, meter, meter_no, class, read_on, reading::double as reading, first_on, last_on,
        read_on >= (select as_of from run) - 1092 as is_trial
    from weekly_readings
    join vehicles using (vehicle_id)
    where read_on > first_on
      and (next_on is null or date_trunc('month', next_on) <> date_trunc('month', read_on))
      and (next_on is null or read_on >= (select as_of from run) - 1461)
),

looked_up as (
    select meter_no, read_on, d.days, greatest(read_on + d.days, first_on) as look_on
    from ends
    cross join (values (-728), (-364), (-91), (-28), (7), (14), (28), (91), (182), (364)) as d(days)
    where d.days < 0 or (is_trial and read_on + d.days <= last_on)
),

found as (
    select l.meter_no, l.read_on, l.days, l.look_on,
        r.reading::double + case when l.look_on = r.read_on then 0
            else (r.next_reading - r.reading)::double * (l.look_on - r.read_on) / (r.next_on - r.read_on)
        end as reading
    from looked_up as l
    asof join weekly_readings as r
        on l.meter_no = r.meter_no and l.look_on >= r.read_on
    -- What came after is known only if the readings on either side lie close together, measured by the days ahead.
    where l.days < 0 or l.look_on = r.read_on or r.next_on - r.read_on <= 1.25 * l.days
),

side_by_side as (
    select meter_no, read_on,
        max(look_on) filter (where days = -28) as on_28,
        max(reading) filter (where days = -28) as before_28,
        max(look_on) filter (where days = -91) as on_91,
        max(reading) filter (where days = -91) as before_91,
        max(look_on) filter (where days = -364) as on_364,
        max(reading) filter (where days = -364) as before_364,
        max(look_on) filter (where days = -728) as on_728,
        max(reading) filter (where days = -728) as before_728,
        max(reading) filter (where days = 7) as at_7,
        max(reading) filter (where days = 14) as at_14,
        max(reading) filter (where days = 28) as at_28,
        max(reading) filter (where days = 91) as at_91,
        max(reading) filter (where days = 182) as at_182,
        max(reading) filter (where days = 364) as at_364
    from found
    group by all
)

select
    vehicle_id,
    meter,
    read_on,
    class,
    year(read_on) * 12 + month(read_on) - 1 as month,
    read_on = last_on as is_last,
    read_on - first_on < 91 as is_young,
    (reading - before_28) / (read_on - on_28) as rate_28,
    (reading - before_91) / (read_on - on_91) as rate_91,
    (reading - before_364) / (read_on - on_364) as rate_364,
    (reading - before_728) / (read_on - on_728) as rate_728,
    (reading - before_91)::decimal(18, 7) as moved_91,
    read_on - on_91 as days_91,
    (at_7 - reading) / 7 as after_7,
    (at_14 - reading) / 14 as after_14,
    (at_28 - reading) / 28 as after_28,
    (at_91 - reading) / 91 as after_91,
    (at_182 - reading) / 182 as after_182,
    (at_364 - reading) / 364 as after_364
from ends
join side_by_side using (meter_no, read_on)
