-- Meters of which at least one reading cannot follow the one before it: it goes back, or further than a day can take it.
--
-- one row: vehicle_id, meter
-- per:     vehicle
-- reads:   readings_in_order, run
-- gives:   vehicle_id
--          meter      odometer | hours

with steps as (
    select vehicle_id, meter, value - lag(value) over one as gain,
        greatest(86400000000, epoch_us(read_at) - epoch_us(lag(read_at) over one)) as microseconds
    from readings_in_order
    window one as (partition by vehicle_id, meter order by seq)
)

select distinct vehicle_id, meter
from steps, run
where gain < 0
    or units(gain) * 86400000000
        > units(case meter when 'odometer' then most_km_per_day else most_h_per_day end) * microseconds
