-- The readings that were not believed, and why, by the believed ones around them.
--
-- one row: file, line, column
-- reads:   readings_in_order, broken_meters, kept_readings, run
-- gives:   file, line, table, column   where it stands
--          value      the number as written
--          reason     what it contradicts, in words

with with_neighbours as (
    select r.*, k.seq is not null as is_kept,
        last_value(case when k.seq is not null then {'value': r.value, 'read_on': r.read_on} end ignore nulls) over before
            as earlier,
        first_value(case when k.seq is not null then {'value': r.value, 'read_on': r.read_on} end ignore nulls) over after
            as later
    from readings_in_order r
    semi join broken_meters b on r.vehicle_id = b.vehicle_id and r.meter = b.meter
    left join kept_readings k on k.vehicle_id = r.vehicle_id and k.meter = r.meter and k.seq = r.seq
    window
        before as (partition by r.vehicle_id, r.meter order by r.seq rows between unbounded preceding and 1 preceding),
        after as (partition by r.vehicle_id, r.meter order by r.seq rows between 1 following and unbounded following)
)

select file, line, "table", "column", plain(written) as value,
    case
        when earlier is not null and value < earlier.value then
            'less than ' || shown_reading(earlier.value, meter, distance_unit) || ' on ' || earlier.read_on
        when later is not null and value > later.value then
            'more than ' || shown_reading(later.value, meter, distance_unit) || ' on ' || later.read_on
        when earlier is not null and later is null then
            'too far from ' || shown_reading(earlier.value, meter, distance_unit) || ' on ' || earlier.read_on
        else 'does not go with the readings around it: '
            || coalesce(shown_reading(earlier.value, meter, distance_unit) || ' on ' || earlier.read_on, 'none') || ' and '
            || coalesce(shown_reading(later.value, meter, distance_unit) || ' on ' || later.read_on, 'none')
    end as reason
from with_neighbours, run
where not is_kept
