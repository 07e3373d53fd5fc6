-- Days of planned work in the last two years: what the plan says it costs, at the prices of the day, and what was paid for it. A bill
-- for a service is for what that service covers too, each task of the day once.
--
-- A day without money counts as paid nothing only where none of its tasks is ever paid for (a check that the driver does). Where one is,
-- the money of that day is not known, as in records from before prices were written down, and the day is left out.
--
-- one row: vehicle_id, done_on
-- per:     vehicle
-- reads:   worded_lines, line_tasks, task_covers, task_costs, own_growth, run
-- gives:   vehicle_id, done_on
--          planned   money
--          paid      money; 0: work that is never paid for

with lines as (
    select h.file, h.line, h.vehicle_id, h.done_on,
        coalesce(h.parts_cost, 0) + coalesce(h.labour_cost, 0) + coalesce(h.other_cost, 0) as paid
    from worded_lines h, run
    where h.kind not in ('repair', 'top_up') and h.done_on <= as_of and h.done_on > as_of - 730
),

done as (
    select distinct l.vehicle_id, l.done_on, c.covered as task
    from lines l
    join line_tasks t using (file, line)
    join task_covers c on c.vehicle_id = l.vehicle_id and c.task = t.task
),

paid_for as (
    select distinct task from lines join line_tasks using (file, line) where paid > 0
),

planned as (
    select d.vehicle_id, d.done_on, sum(c.cost) as cost
    from done d
    join task_costs c using (vehicle_id, task)
    group by all
),

not_known as (
    select distinct vehicle_id, done_on, true as is_not_known
    from lines join line_tasks using (file, line) semi join paid_for using (task)
),

paid as (
    select l.vehicle_id, l.done_on, sum(l.paid) as paid
    from (from lines semi join line_tasks using (file, line)) l
    left join not_known n using (vehicle_id, done_on)
    group by all
    having sum(l.paid) > 0 or not coalesce(bool_or(n.is_not_known), false)
)

select p.vehicle_id, p.done_on,
    (p.cost::double * grown(r.per_year, p.done_on - as_of)::double)::decimal(18, 4) as planned, b.paid::decimal(18, 4) as paid
from planned p
join paid b using (vehicle_id, done_on), run, own_growth r
where p.cost > 0
