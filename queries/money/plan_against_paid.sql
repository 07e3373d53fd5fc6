-- Planned work done in the last two years: what the plan says a doing costs, at the prices of its day, and what was paid for it.
--
-- one row: vehicle_id, task, done_on
-- reads:   worded_lines, task_costs, price_growth, run
-- gives:   vehicle_id, task, done_on
--          planned   money
--          paid      money; 0 where none is written

with own_rate as (
    select coalesce(max(g.per_year), any_value(inflation_per_year)) as per_year from run left join price_growth g on g.kind = '*'
)

select h.vehicle_id, h.task, h.done_on,
    (any_value(c.cost)::double * grown(any_value(r.per_year), h.done_on - any_value(as_of))::double)::decimal(18, 4) as planned,
    sum(coalesce(h.parts_cost, 0) + coalesce(h.labour_cost, 0) + coalesce(h.other_cost, 0))::decimal(18, 4) as paid
from worded_lines h
join task_costs c using (vehicle_id, task), run, own_rate r
where h.kind not in ('repair', 'top_up') and h.done_on <= as_of and h.done_on > as_of - 730
group by h.vehicle_id, h.task, h.done_on
having any_value(c.cost) > 0
