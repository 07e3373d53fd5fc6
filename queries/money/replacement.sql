-- When keeping a vehicle one more year costs more than its life so far has cost a year, on average and with interest, it is past its
-- cheapest age. Younger than a year, it is not looked at. An indication: it knows nothing of downtime, fuel, tax or how a new one would do.
--
-- Equivalent annual cost: price, less what it would fetch now, and its class's yearly maintenance at each age, as even yearly payments
-- at the discount rate. Next year: loss of value at the yearly rate so far, interest on what it would fetch, and the forecast.
--
-- one row: vehicle_id
-- reads:   vehicles, record_window, paid_lines, planned_costs, unscheduled_costs, run
-- gives:   vehicle_id, title, class
--          age_years        whole years in service, at least 1
--          price, value_now   money
--          annual_cost      money: equivalent annual cost of its life so far
--          loss_of_value, maintenance_ahead   money of the next year of the forecast
--          next_year_cost   money
--          past_cheapest    next_year_cost is above annual_cost

with ages as (
    select w.vehicle_id, v.class, year.number::integer as age,
        greatest(0, least(w.to_on, add_months(v.in_service_on, 12 * (year.number + 1)))
            - greatest(w.from_on, add_months(v.in_service_on, 12 * year.number))) as days,
        add_months(v.in_service_on, 12 * year.number) as age_from, add_months(v.in_service_on, 12 * (year.number + 1)) as age_until
    from record_window w
    join vehicles v using (vehicle_id), unnest(generate_series(0, 59)) as year(number)
    where add_months(v.in_service_on, 12 * year.number) < w.to_on
        and add_months(v.in_service_on, 12 * (year.number + 1)) > w.from_on
),

spent as (
    select a.vehicle_id, a.age, sum(p.amount) as paid
    from ages a
    join record_window w using (vehicle_id)
    join paid_lines p on p.vehicle_id = a.vehicle_id and p.done_on >= a.age_from and p.done_on < a.age_until
        and p.done_on >= w.from_on
    group by all
),

by_age as (
    select a.class, a.age, sum(coalesce(s.paid, 0))::double / nullif(sum(a.days), 0) * 365.25 as a_year
    from ages a
    left join spent s using (vehicle_id, age)
    group by all
),

by_class as (
    select a.class, sum(coalesce(s.paid, 0))::double / nullif(sum(a.days), 0) * 365.25 as a_year
    from ages a
    left join spent s using (vehicle_id, age)
    group by all
),

ahead as (
    select vehicle_id, sum(amount)::double * 365.25 / any_value(forecast_until(as_of, months_ahead) - as_of + 1) as a_year
    from (
        select vehicle_id, amount from planned_costs
        union all
        select vehicle_id, amount from unscheduled_costs
    ), run
    group by all
),

asked as (
    select v.vehicle_id, v.title, v.class, v.price, v.value_now, discount_rate::double as i,
        datediff('year', v.in_service_on, as_of)
            - (add_months(v.in_service_on, 12 * datediff('year', v.in_service_on, as_of)) > as_of)::integer as n,
        (as_of - v.in_service_on) / 365.25 as age
    from vehicles v, run
    where v.price > 0 and v.value_now is not null and add_months(v.in_service_on, 12) <= as_of
        and (v.retired_on is null or v.retired_on > as_of)
),

lives as (
    select a.*, fsum(coalesce(b.a_year, c.a_year, 0) / pow(1 + a.i, year.number + 1) order by year.number) as kept
    from asked a
    cross join unnest(generate_series(0, 59)) as year(number)
    left join by_age b on b.class = a.class and b.age = year.number
    left join by_class c on c.class = a.class
    where year.number < a.n
    group by all
),

sums as (
    select l.vehicle_id, l.title, l.class, l.n, l.price, l.value_now,
        (l.price::double - l.value_now::double / pow(1 + l.i, l.n) + l.kept)
            * case when l.i = 0 then 1.0 / l.n else l.i / (1 - pow(1 + l.i, -l.n)) end as annual_cost,
        l.value_now::double * (1 - pow(least(1, l.value_now::double / l.price::double), 1 / l.age)) + l.value_now::double * l.i as loss,
        coalesce(h.a_year, 0) as maintenance
    from lives l
    left join ahead h using (vehicle_id)
)

select vehicle_id, title, class, n as age_years, price::decimal(18, 4) as price, value_now::decimal(18, 4) as value_now,
    to_minor(annual_cost, money_digits) as annual_cost, to_minor(loss, money_digits) as loss_of_value,
    to_minor(maintenance, money_digits) as maintenance_ahead,
    (to_minor(loss, money_digits) + to_minor(maintenance, money_digits))::decimal(18, 4) as next_year_cost,
    loss + maintenance > annual_cost as past_cheapest
from sums, run
order by vehicle_id
