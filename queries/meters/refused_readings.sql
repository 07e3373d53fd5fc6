-- The readings that were not believed, and why, by the believed ones around them.
--
-- one row: file, line, column
-- per:     vehicle
-- reads:   readings_in_order, not_believed
-- gives:   file, line, table, column   where it stands
--          value      the number as written
--          reason     what it contradicts, in words
--          vehicle_id, meter, seq   which reading of which meter it is

with with_neighbours as (
    select r.*, n.seq is null as is_kept,
        case when is_kept then {
            'value': r.value,
            'told': plain(r.written) || ' ' || r.unit || ' on ' || r.read_on || ' (' || r.file || ':' || r.line || ')'
        } end as believed,
        last_value(believed ignore nulls) over before as earlier,
        first_value(believed ignore nulls) over after as later
    from readings_in_order r
    semi join not_believed m on m.vehicle_id = r.vehicle_id and m.meter = r.meter
    left join not_believed n on n.vehicle_id = r.vehicle_id and n.meter = r.meter and n.seq = r.seq
    window
        before as (partition by r.vehicle_id, r.meter order by r.seq rows between unbounded preceding and 1 preceding),
        after as (partition by r.vehicle_id, r.meter order by r.seq rows between 1 following and unbounded following)
)

select file, line, "table", "column", plain(written) as value,
    case
        when value < earlier.value then 'less than ' || earlier.told
        when value > later.value then 'more than ' || later.told
        when later is null then 'too far from ' || earlier.told
        when earlier is null then 'too far before ' || later.told
        else 'too far in the time between ' || earlier.told || ' and ' || later.told
    end as reason,
    vehicle_id, meter, seq
from with_neighbours
where not is_kept
