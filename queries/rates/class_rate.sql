-- What a class drives (or runs) a day, as seen from each month: over the twelve months before it.
--
-- one row: class, meter, month
-- reads:   month_ends, run
-- gives:   class
--          meter
--          month        months since year 0; also the month after the as-of date's, which sees all there is
--          class_rate   km or h a day; null where nothing was read in those twelve months

with by_month as (
    select class, meter, month, sum(moved_91) as moved, sum(days_91) as days
    from month_ends
    where read_on >= (select as_of from run) - 1461
    group by all
    union all
    select distinct class, meter, (select year(as_of) * 12 + month(as_of) from run), 0, 0
    from month_ends
)

select
    class,
    meter,
    month,
    sum(moved) over year_before / nullif(sum(days) over year_before, 0)::double as class_rate
from by_month
window year_before as (partition by class, meter order by month range between 12 preceding and 1 preceding)
