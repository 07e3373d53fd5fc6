-- How unevenly a meter is used from reading to reading, over its last three years; 0 for the same use every day.
--
-- one row: vehicle_id, meter
-- per:     vehicle
-- reads:   weekly_readings
-- gives:   vehicle_id
--          meter
--          variation     mean absolute deviation of the use per day ÷ its mean
--          class_trust   0 for a meter that never varies (or has two readings), 1 from a variation of 2 % up: how much of
--                        the class's share it may take, so that a steady vehicle's rate is its own exactly

with intervals as (
    select vehicle_id, meter, next_on - read_on as days, next_reading - reading as moved,
        sum(next_reading - reading) over whole as all_moved, sum(next_on - read_on) over whole as all_days
    from weekly_readings
    where next_on > last_on - 1092
    window whole as (partition by meter_no)
),

variations as (
    select vehicle_id, meter,
        coalesce(sum(abs(moved::double - all_moved::double / all_days::double * days)::decimal(18, 7))::double
            / nullif(sum(moved), 0)::double, 0) as variation
    from intervals
    group by all
)

select vehicle_id, meter, variation, pow(least(1, variation / 0.02), 2) as class_trust
from variations
