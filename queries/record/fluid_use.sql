-- Fluid used between services, from top-ups and dips: the last year's, and the half-years of it beside each other. What a service drains
-- and fills again is never counted. Not a diagnosis: a figure that grows, or stands out in its class, says where to look.
--
-- one row: vehicle_id, item
-- reads:   fluid_rates
-- gives:   vehicle_id, class, depot
--          item, title, unit
--          per            1000 km | 100 h
--          top_ups        in the year to the as-of date
--          dips           of a level that could be set against one before it
--          quantity       used, in unit
--          run            distance in km or hours run by the believable readings of that year
--          used           quantity per 1,000 km or 100 h; null: the meter was not read far enough apart
--          used_before, used_lately   the same for the first and the second half of the year
--          trend          rising | falling: by more than a quarter up or a fifth down, and more than chance makes of it one time in 20
--                         (normal limit of a compound Poisson sum, whose variance is the sum of the squares); steady: neither;
--                         null: too few (fewer than 3 top-ups and dips in either half)
--          class_median   of the class's vehicles with a figure
--          times_class    used / class_median; null: no other vehicle to set it against
--          last_dipped_on, last_used   the latest dip of the year that ends a stretch of 1,000 km or 100 h or more (over less, a dip is
--                         too coarse), and use over that stretch
--          use_limit      the handbook's; null: not given
--          over_limit     used, or last_used, is more than it allows

select vehicle_id, class, depot, item, title, unit, per, top_ups, dips, quantity, run, used::decimal(18, 3) as used,
    used_before::decimal(18, 3) as used_before, used_lately::decimal(18, 3) as used_lately, trend,
    median(used) over of_class::decimal(18, 3) as class_median,
    case when count(*) over of_class > 1 then round(used / nullif(median(used) over of_class, 0), 1) end::decimal(9, 1)
        as times_class,
    last_dipped_on, last_used, use_limit, over_limit
from fluid_rates
window of_class as (partition by class, item, per)
order by over_limit desc, times_class desc nulls last, vehicle_id, item
