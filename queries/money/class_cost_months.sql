-- What a class cost in each whole month of the last two years, for each unit of use, with the limits that its own months give: a month
-- beyond them is out of the ordinary. A value on a limit is not beyond it.
--
-- Limits of cost: individuals and moving range (NIST/SEMATECH e-Handbook 6.3.2.2); of the number of repairs: counts (6.3.3.1).
--
-- one row: class, month
-- reads:   observed_use, vehicles, paid_lines, use_on_days, record_window, repair_events, run
-- gives:   class
--          month         YYYY-MM
--          measure       odometer | hours | days
--          use           km, h or vehicle-days
--          paid          money
--          cost_per_use  money a km, h or day; null: nothing was run
--          cost_mean, cost_low, cost_high   money a km, h or day
--          cost_is_out   below cost_low or above cost_high
--          repairs
--          repairs_mean, repairs_low, repairs_high
--          repairs_are_out

with months as (
    select (date_trunc('month', as_of) - to_months(number::integer))::date as first_on
    from run, unnest(generate_series(1, 24)) as one(number)
),

in_use as (
    select m.first_on, o.class, any_value(o.measure) as measure, sum(case
        when o.measure = 'days' then greatest(0, least(last_day(m.first_on) + 1, w.to_on) - greatest(m.first_on, w.from_on))
        else greatest(0, b.value - a.value) end)::double as use
    from months m
    cross join observed_use o
    join record_window w using (vehicle_id)
    left join use_on_days a on a.vehicle_id = o.vehicle_id and a.meter = o.measure and a.on_day = m.first_on
    left join use_on_days b on b.vehicle_id = o.vehicle_id and b.meter = o.measure and b.on_day = last_day(m.first_on) + 1
    where w.from_on <= m.first_on and w.to_on >= m.first_on
    group by all
),

spent as (
    select v.class, date_trunc('month', p.done_on)::date as first_on, sum(p.amount) as paid
    from paid_lines p
    join vehicles v using (vehicle_id)
    group by all
),

broken as (
    select class, date_trunc('month', done_on)::date as first_on, count(*) as repairs from repair_events group by all
),

month_rows as (
    select u.class, u.first_on, u.measure, u.use, coalesce(s.paid, 0) as paid, coalesce(r.repairs, 0) as repairs,
        coalesce(s.paid, 0)::double / nullif(u.use, 0) as cost
    from in_use u
    left join spent s using (class, first_on)
    left join broken r using (class, first_on)
),

moved as (
    select *, abs(cost - lag(cost) over (partition by class order by first_on)) as moving_range from month_rows
),

limits as (
    select class, favg(cost order by first_on) as mean, favg(moving_range order by first_on) as mean_range,
        favg(repairs order by first_on) as c
    from moved group by all
)

select m.class, strftime(m.first_on, '%Y-%m') as month, m.measure, m.use::decimal(18, 1) as use, m.paid::decimal(18, 4) as paid,
    m.cost::decimal(18, 6) as cost_per_use, l.mean::decimal(18, 6) as cost_mean,
    greatest(0, individuals_limit(l.mean, l.mean_range, -1))::decimal(18, 6) as cost_low,
    individuals_limit(l.mean, l.mean_range, 1)::decimal(18, 6) as cost_high,
    coalesce(m.cost > individuals_limit(l.mean, l.mean_range, 1) or m.cost < individuals_limit(l.mean, l.mean_range, -1), false)
        as cost_is_out,
    m.repairs, l.c::decimal(18, 2) as repairs_mean, count_limit(l.c, -1)::decimal(18, 2) as repairs_low,
    count_limit(l.c, 1)::decimal(18, 2) as repairs_high,
    m.repairs > count_limit(l.c, 1) or m.repairs < count_limit(l.c, -1) as repairs_are_out
from moved m
join limits l using (class)
order by m.class, m.first_on
