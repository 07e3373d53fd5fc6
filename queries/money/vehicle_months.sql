-- What each vehicle ran, cost and needed repaired in each whole month of the last two years that its records cover from the first day.
--
-- one row: vehicle_id, first_on
-- per:     vehicle
-- reads:   observed_use, paid_lines, use_on_days, record_window, repair_events, run
-- gives:   vehicle_id, class
--          first_on   the month's first day
--          measure    odometer | hours | days
--          use        km, h or days; null: not known
--          paid       money
--          repairs    days with a repair

with months as (
    select (date_trunc('month', as_of) - to_months(number::integer))::date as first_on
    from run, unnest(generate_series(1, 24)) as one(number)
),

spent as (
    select vehicle_id, date_trunc('month', done_on)::date as first_on, sum(amount) as paid from paid_lines group by all
),

broken as (
    select vehicle_id, date_trunc('month', done_on)::date as first_on, count(*) as repairs
    from repair_events
    where kind = 'repair'
    group by all
)

select o.vehicle_id, o.class, m.first_on, o.measure, case
        when o.measure = 'days' then least(last_day(m.first_on) + 1, w.to_on) - m.first_on
        when a.value is not null and b.value is not null then greatest(0, b.value - a.value)
    end::decimal(18, 7) as use,
    coalesce(s.paid, 0)::decimal(18, 4) as paid, coalesce(r.repairs, 0) as repairs
from months m
cross join observed_use o
join record_window w using (vehicle_id)
left join use_on_days a on o.is_measured and a.vehicle_id = o.vehicle_id and a.meter = o.measure and a.on_day = m.first_on
left join use_on_days b on o.is_measured and b.vehicle_id = o.vehicle_id and b.meter = o.measure and b.on_day = last_day(m.first_on) + 1
left join spent s on s.vehicle_id = o.vehicle_id and s.first_on = m.first_on
left join broken r on r.vehicle_id = o.vehicle_id and r.first_on = m.first_on
where w.from_on <= m.first_on and w.to_on >= m.first_on
