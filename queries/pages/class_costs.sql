-- What each class cost over the last 365 days, and the months of the last two years that lay beyond its limits.
--
-- one row: class
-- reads:   cost_per_use, class_cost_months
-- gives:   class
--          vehicles
--          planned, unplanned, paid   money
--          distance, distance_unit, hours
--          cost_per_distance, cost_per_hour   money
--          months_out      YYYY-MM with blanks between; '' where none: cost of use beyond its limits
--          repair_months_out   the same for the number of repairs

with out_months as (
    select class, string_agg(month, ' ' order by month) filter (cost_is_out) as months_out,
        string_agg(month, ' ' order by month) filter (repairs_are_out) as repair_months_out
    from class_cost_months
    group by all
)

select c.class, count(*) as vehicles, sum(planned)::decimal(18, 4) as planned, sum(unplanned)::decimal(18, 4) as unplanned,
    sum(paid)::decimal(18, 4) as paid, sum(distance)::decimal(18, 1) as distance, any_value(distance_unit) as distance_unit,
    sum(hours)::decimal(18, 1) as hours, any_value(class_cost_per_distance) as cost_per_distance,
    any_value(class_cost_per_hour) as cost_per_hour, coalesce(any_value(o.months_out), '') as months_out,
    coalesce(any_value(o.repair_months_out), '') as repair_months_out
from cost_per_use c
left join out_months o using (class)
group by c.class
order by c.class
