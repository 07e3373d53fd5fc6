-- What a vehicle cost in each whole month of the last two years, for each unit of use, with the limits that its own months give: mean
-- plus and minus three standard deviations, the latter from the moving range (individuals, NIST/SEMATECH e-Handbook 6.3.2.2).
--
-- A vehicle's months are few and lumpy, so that a month beyond the limits is a question, not a verdict. A value on a limit is not beyond it.
--
-- one row: vehicle_id, month
-- per:     vehicle
-- reads:   vehicle_months
-- gives:   vehicle_id, class
--          month         YYYY-MM
--          measure       odometer | hours | days
--          use           km, h or days; null: not known
--          paid          money
--          cost_per_use  money a km, h or day; null: nothing was run
--          cost_mean, cost_low, cost_high   money a km, h or day; null: too few months
--          cost_is_out   below cost_low or above cost_high

with moved as (
    select *, paid::double / nullif(use::double, 0) as cost,
        abs(cost - lag(cost) over (partition by vehicle_id order by first_on)) as moving_range
    from vehicle_months
),

means as (
    select vehicle_id, favg(cost order by first_on) as mean, favg(moving_range order by first_on) as mean_range
    from moved
    group by all
),

limits as (
    select *, individuals_limit(mean, mean_range, -1) as low, individuals_limit(mean, mean_range, 1) as high from means
)

select m.vehicle_id, m.class, strftime(m.first_on, '%Y-%m') as month, m.measure, m.use::decimal(18, 1) as use,
    m.paid::decimal(18, 4) as paid, m.cost::decimal(18, 6) as cost_per_use, l.mean::decimal(18, 6) as cost_mean,
    case when l.low is not null then greatest(0, l.low) end::decimal(18, 6) as cost_low, l.high::decimal(18, 6) as cost_high,
    coalesce(m.cost > l.high or m.cost < l.low, false) as cost_is_out
from moved m
join limits l using (vehicle_id)
order by m.vehicle_id, m.first_on
