-- How well projections did, by class and horizon, beside simple estimators.
--
-- one row: meter, class, horizon, estimator
-- reads:   judged, due_weeks, run
-- gives:   meter      odometer | hours
--          class      * is the whole fleet
--          horizon    ahead of the as-of date
--          estimator  daily_rate is the weekly report's
--          projections    number of them
--          vehicles   of so many
--          error_ratio    sum of absolute errors ÷ sum of the distance run; null: nothing ran
--          bias       sum of errors ÷ sum of the distance run; above 0: projected too far
--          scaled_error   mean absolute scaled error: 1 is the mean change from month to month
--          in_band_pct    per cent of what happened inside the 80 % band; null: a naive estimator has none
--          below_band_pct
--          above_band_pct
--          pinball_10 mean pinball loss (no factor 2) of the band's low edge, in unit; null: no band
--          pinball_50 of the projection
--          pinball_90 of the high edge
--          unit       km | mi | h
--          due_points services reached within this horizon and not within the shorter one, their week known
--          due_week_pct   per cent of them projected for the right ISO week; null: none known
--          due_week_or_next_pct   for that week or one beside it

with by_class as (
    select *, unnest(['*', class]) as of_class from judged
),

errors as (
    select meter, of_class as class, horizon, estimator, turn, place,
        count(*) as projections, count(distinct vehicle_id) as vehicles,
        sum(abs(error))::double / nullif(sum(moved), 0)::double as error_ratio,
        sum(error)::double / nullif(sum(moved), 0)::double as bias,
        sum(scaled_error)::double / nullif(count(scaled_error), 0) as scaled_error,
        100 * count(*) filter (where side = 0) / nullif(count(side), 0) as in_band_pct,
        100 * count(*) filter (where side < 0) / nullif(count(side), 0) as below_band_pct,
        100 * count(*) filter (where side > 0) / nullif(count(side), 0) as above_band_pct,
        sum(loss_10)::double / nullif(count(loss_10), 0) as pinball_10,
        sum(loss_50)::double / count(*) as pinball_50,
        sum(loss_90)::double / nullif(count(loss_90), 0) as pinball_90
    from by_class
    group by all
),

weeks as (
    select meter, unnest(['*', class]) as class, horizon, estimator, weeks_off from due_weeks
),

week_hits as (
    select meter, class, horizon, estimator, count(*) as due_points,
        count(*) filter (where weeks_off = 0) as hits, count(*) filter (where abs(weeks_off) <= 1) as near_hits
    from weeks
    group by all
)

select e.meter, e.class, e.horizon, e.estimator, e.projections, e.vehicles,
    round(e.error_ratio, 4) as error_ratio, round(e.bias, 4) as bias, round(e.scaled_error, 3) as scaled_error,
    round(e.in_band_pct, 1) as in_band_pct, round(e.below_band_pct, 1) as below_band_pct,
    round(e.above_band_pct, 1) as above_band_pct,
    round(in_unit(e.pinball_10, e.meter, run.distance_unit), 2) as pinball_10,
    round(in_unit(e.pinball_50, e.meter, run.distance_unit), 2) as pinball_50,
    round(in_unit(e.pinball_90, e.meter, run.distance_unit), 2) as pinball_90,
    case e.meter when 'hours' then 'h' else run.distance_unit end as unit,
    coalesce(w.due_points, 0) as due_points,
    round(100 * w.hits / w.due_points, 1) as due_week_pct,
    round(100 * w.near_hits / w.due_points, 1) as due_week_or_next_pct
from errors e
cross join run
left join week_hits w using (meter, class, horizon, estimator)
order by e.meter desc, e.class <> '*', e.class, e.turn, e.place
