-- Planned work of the financial year to date whose price can be told from its quantity: what was paid, and what it would have been at the
-- fleet's own prices as the year began.
--
-- A line that was paid at less than half or more than twice its standard says something else than a price (several items on one line, say)
-- and is left out.
--
-- one row: file, line, part
-- per:     vehicle
-- reads:   worded_lines, paid_lines, vehicles, item_cost, own_growth, run
-- gives:   file, line
--          part         item | labour
--          vehicle_id
--          cost_centre  '' where none is given
--          done_on
--          paid         money
--          standard     money

with lines as (
    select h.file, h.line, 'item' as part, h.vehicle_id, h.done_on, h.parts_cost as paid,
        h.quantity::decimal(28, 7) * c.unit_cost as now
    from worded_lines h
    join paid_lines p using (file, line)
    join item_cost c using (item)
    where p.why = 'planned' and h.parts_cost > 0 and h.quantity > 0
    union all
    select h.file, h.line, 'labour', h.vehicle_id, h.done_on, h.labour_cost, h.labour_hours::decimal(28, 7) * labour_rate
    from worded_lines h
    join paid_lines p using (file, line), run
    where p.why = 'planned' and h.labour_cost > 0 and h.labour_hours > 0
),

priced as (
    select l.*, coalesce(v.cost_centre, '') as cost_centre,
        (l.now::double * grown(b.per_year, year_from(as_of, financial_year_starts) - as_of)::double)::decimal(18, 4) as standard
    from lines l
    left join vehicles v using (vehicle_id), run, own_growth b
    where l.done_on <= as_of and l.done_on >= year_from(as_of, financial_year_starts)
)

select file, line, part, vehicle_id, cost_centre, done_on, paid, standard
from priced
where paid between standard / 2 and standard * 2
