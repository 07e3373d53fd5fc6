-- What a class cost in each whole month of the last two years, for each unit of use, with the limits that its own months give: a month
-- beyond them is out of the ordinary. A value on a limit is not beyond it.
--
-- Limits of cost: individuals and moving range (NIST/SEMATECH e-Handbook 6.3.2.2); of the number of repairs: counts (6.3.3.1).
--
-- one row: class, month
-- reads:   vehicle_months
-- gives:   class
--          month         YYYY-MM
--          measure       odometer | hours | days
--          use           km, h or vehicle-days; null: not known
--          paid          money
--          cost_per_use  money a km, h or day, of vehicles whose use is known; null: nothing was run
--          cost_mean, cost_low, cost_high   money a km, h or day; null: too few months
--          cost_is_out   below cost_low or above cost_high
--          repairs
--          repairs_mean, repairs_low, repairs_high
--          repairs_are_out

with month_rows as (
    select class, first_on, any_value(measure) as measure, sum(use)::double as use, sum(paid) as paid, sum(repairs) as repairs,
        sum(paid) filter (use is not null)::double / nullif(sum(use)::double, 0) as cost
    from vehicle_months
    group by class, first_on
),

moved as (
    select *, abs(cost - lag(cost) over (partition by class order by first_on)) as moving_range from month_rows
),

means as (
    select class, favg(cost order by first_on) as mean, favg(moving_range order by first_on) as mean_range,
        favg(repairs order by first_on) as c
    from moved group by all
),

limits as (
    select *, individuals_limit(mean, mean_range, -1) as low, individuals_limit(mean, mean_range, 1) as high from means
)

select m.class, strftime(m.first_on, '%Y-%m') as month, m.measure, m.use::decimal(18, 1) as use, m.paid::decimal(18, 4) as paid,
    m.cost::decimal(18, 6) as cost_per_use, l.mean::decimal(18, 6) as cost_mean,
    case when l.low is not null then greatest(0, l.low) end::decimal(18, 6) as cost_low, l.high::decimal(18, 6) as cost_high,
    coalesce(m.cost > l.high or m.cost < l.low, false) as cost_is_out,
    m.repairs::bigint as repairs, l.c::decimal(18, 2) as repairs_mean, count_limit(l.c, -1)::decimal(18, 2) as repairs_low,
    count_limit(l.c, 1)::decimal(18, 2) as repairs_high,
    m.repairs > count_limit(l.c, 1) or m.repairs < count_limit(l.c, -1) as repairs_are_out
from moved m
join limits l using (class)
order by m.class, m.first_on
