-- What unplanned work will cost each vehicle in each month of the forecast, by kind: how many times it is expected, times what one
-- costs, at the prices of the month's middle.
--
-- one row: vehicle_id, month, kind
-- reads:   observed_use, repair_rates, forecast_months, price_factors, vehicles, run
-- gives:   vehicle_id
--          month
--          month_no
--          kind         repair | other
--          cost_centre  '' where none is given
--          category     repairs | other
--          repairs      expected number of such days
--          amount       expected money

with uses as (
    select o.vehicle_id, o.cost_centre, m.month, m.month_no, m.middle_on,
        o.use_to + o.use_a_day * (m.from_on - as_of) as used_from,
        o.use_to + o.use_a_day * greatest(m.from_on - as_of, least(m.until_on + 1, coalesce(v.retired_on, m.until_on + 1)) - as_of)
            as used_until
    from observed_use o
    join vehicles v using (vehicle_id)
    cross join forecast_months m
    cross join run
    where v.retired_on is null or v.retired_on > as_of
)

select u.vehicle_id, u.month, u.month_no, r.kind, u.cost_centre, case r.kind when 'repair' then 'repairs' else r.kind end as category,
    r.class_rate * r.relative_rate * r.use_factor * (pow(u.used_until, r.power) - pow(u.used_from, r.power)) as repairs,
    (r.class_rate * r.relative_rate * r.use_factor * (pow(u.used_until, r.power) - pow(u.used_from, r.power))
        * r.cost_each * f.factor::double)::decimal(18, 7) as amount
from uses u
join repair_rates r using (vehicle_id)
join price_factors f on f.kind = '*' and f.on_day = u.middle_on
