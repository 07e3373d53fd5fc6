-- What a register of vehicles has to say of each to identify it, and whether it does: number, make, serial number, year, tyre
-- size, owner (49 CFR 396.3(b)(1)). What is not given is said to be missing.
--
-- one row: vehicle_id, field
-- per:     vehicle
-- reads:   vehicles, run
-- gives:   vehicle_id, depot
--          turn        order of the fields
--          field       number | make | serial | year | tyre_size | owner
--          value       null: not given
--          is_missing

with fields as (
    select v.vehicle_id, coalesce(v.depot, '') as depot, unnest([
        {'turn': 1, 'field': 'number', 'value': v.vehicle_id}, {'turn': 2, 'field': 'make', 'value': v.make},
        {'turn': 3, 'field': 'serial', 'value': v.serial}, {'turn': 4, 'field': 'year', 'value': v.year::varchar},
        {'turn': 5, 'field': 'tyre_size', 'value': v.tyre_size}, {'turn': 6, 'field': 'owner', 'value': v.owner}
    ]) as f
    from vehicles v, run
    where v.in_service_on <= as_of
)

select vehicle_id, depot, f.turn as turn, f.field as field, f.value as value, f.value is null as is_missing
from fields
order by vehicle_id, turn
