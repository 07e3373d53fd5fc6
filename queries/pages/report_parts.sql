-- Of a fleet with more vehicles in service than one report takes: the part of the reports in which each stands. Parts are
-- depots, and a depot that is too large for one is several. No row: the reports are not split.
--
-- one row: vehicle_id
-- reads:   sheet_vehicles, run
-- gives:   vehicle_id
--          depot    blank where there is none
--          part     1 is the depot's first
--          parts    of the depot

with numbered as (
    select vehicle_id, depot,
        ((row_number() over (partition by depot order by vehicle_id) - 1) // split_above + 1)::integer as part
    from sheet_vehicles, run
    where (select count(*) from sheet_vehicles) > split_above
)

select vehicle_id, depot, part, max(part) over (partition by depot) as parts
from numbered
order by depot, part, vehicle_id
