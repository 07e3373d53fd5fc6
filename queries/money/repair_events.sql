-- Unplanned work that was paid for, a vehicle, a day and a kind each: what it cost, then and at today's prices, and at what use.
--
-- one row: vehicle_id, done_on, kind
-- per:     vehicle
-- reads:   paid_lines, observed_use, vehicles, use_on_days, own_growth, run
-- gives:   vehicle_id
--          done_on
--          kind       repair | other
--          class
--          cost       money as paid
--          cost_now   at today's prices
--          used       km, h or days since new, as observed_use measures it

with paid as (
    select vehicle_id, done_on, kind, sum(amount)::decimal(18, 4) as cost
    from paid_lines
    where why = 'unplanned' and is_known
    group by all
)

select p.vehicle_id, p.done_on, p.kind, o.class, p.cost,
    (p.cost::decimal(28, 4) * grown(r.per_year, as_of - p.done_on))::decimal(18, 7) as cost_now,
    case when o.measure = 'days' then p.done_on - v.in_service_on
        else coalesce(u.value, o.use_from + (o.use_to - o.use_from)
            * (p.done_on - o.from_on) / nullif(o.days, 0), o.use_from) end::double as used
from paid p
join observed_use o using (vehicle_id)
join vehicles v using (vehicle_id)
left join use_on_days u on o.is_measured and u.vehicle_id = p.vehicle_id and u.meter = o.measure and u.on_day = p.done_on,
run, own_growth r
where p.cost > 0 and p.done_on between o.from_on and o.to_on
