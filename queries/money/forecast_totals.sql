-- Sums of the printed forecast, each with the band of the sum itself: by month, cost centre, category, financial year, and all of it.
--
-- one row: level, financial_year, month, cost_centre, category
-- reads:   forecast, forecast_bands, forecast_cells, budget_months, run
-- gives:   level          month | cost centre and month | cost centre and year | category and year | year | cost centre | category | all
--          financial_year, month, cost_centre, category   null: all of it
--          scheduled, unscheduled, total   money, tax not counted
--          p10, p90       money
--          currency
--          tax            money on top of the total
--          mean           money: mean of the draws
--          budget         money: the months' share of the yearly budgets; null: none, or of a category

with cells as (
    select f.month, f.cost_centre, f.category, f.financial_year, f.scheduled, f.unscheduled, f.total, f.tax,
        (c.scheduled + c.unscheduled)::double as exact
    from forecast f
    join forecast_cells c using (month, cost_centre, category)
),

sums as (
    select b.level, b.financial_year, b.month, b.cost_centre, b.category, b.p10, b.p90, b.mean,
        sum(c.scheduled) as scheduled, sum(c.unscheduled) as unscheduled, sum(c.total) as total, sum(c.tax) as tax,
        fsum(c.exact order by c.month, c.cost_centre, c.category) as exact
    from forecast_bands b
    join cells c on (b.financial_year is null or b.financial_year = c.financial_year) and (b.month is null or b.month = c.month)
        and (b.cost_centre is null or b.cost_centre = c.cost_centre) and (b.category is null or b.category = c.category)
    where b.level <> 'cell'
    group by all
),

budgets as (
    select b.level, b.financial_year, b.month, b.cost_centre, sum(m.budget)::decimal(18, 4) as budget
    from forecast_bands b
    join budget_months m on (b.financial_year is null or b.financial_year = m.financial_year) and (b.month is null or b.month = m.month)
        and (b.cost_centre is null or b.cost_centre = m.cost_centre)
    where b.level <> 'cell' and b.category is null
    group by all
)

select s.level, s.financial_year, s.month, s.cost_centre, s.category, scheduled::decimal(18, 4) as scheduled,
    unscheduled::decimal(18, 4) as unscheduled, total::decimal(18, 4) as total,
    greatest(0, total + to_minor(p10 - exact, money_digits))::decimal(18, 4) as p10,
    greatest(0, total + to_minor(p90 - exact, money_digits))::decimal(18, 4) as p90,
    currency, tax::decimal(18, 4) as tax,
    greatest(0, total + to_minor(mean - exact, money_digits))::decimal(18, 4) as mean, b.budget
from sums s
left join budgets b on b.level = s.level and b.financial_year is not distinct from s.financial_year
    and b.month is not distinct from s.month and b.cost_centre is not distinct from s.cost_centre and s.category is null
cross join run
order by s.level, s.financial_year nulls first, s.month nulls first, s.cost_centre nulls first, s.category nulls first
