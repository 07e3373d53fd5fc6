-- What moved in the forecast since that of about a month ago, in the months that both hold whole: for all, by cost centre, and by line
-- (cost centre and category). Beside it what was paid in between and how the outcome of the financial year moved, where it is still
-- the same year. Nothing where no such week is kept, or where its money is of another currency.
--
-- one row: level, cost_centre, category
-- reads:   month_compared, forecast, forecast_last_month, budget, budget_last_month, run
-- gives:   level            all | cost centre | line
--          cost_centre, category   null: all of it; '' where none is given
--          total_before, total, change   money of the months that both forecasts hold
--          paid_between     money; null for a line, or where the financial year is another
--          outcome_before, outcome, outcome_change   money, of the financial year; null as above
--          currency

with cells as (
    select f.cost_centre, f.category, 0::decimal(18, 4) as total_before, f.total
    from forecast f, month_compared c
    where f.month between c.first_month and c.last_month and c.same_currency
    union all
    select f.cost_centre, f.category, f.total, 0
    from forecast_last_month f, month_compared c
    where f.month between c.first_month and c.last_month and c.same_currency
),

years as (
    select coalesce(n.cost_centre, b.cost_centre) as cost_centre,
        coalesce(n.paid_to_date, 0) - coalesce(b.paid_to_date, 0) as paid_between, coalesce(b.outcome, 0) as outcome_before,
        coalesce(n.outcome, 0) as outcome
    from budget n
    full join budget_last_month b using (cost_centre, financial_year), run r, month_compared c
    where c.same_currency and year_name(c.as_of, r.financial_year_starts) = year_name(r.as_of, r.financial_year_starts)
),

levels as (
    select case when grouping(category) = 0 then 'line' when grouping(cost_centre) = 0 then 'cost centre' else 'all' end as level,
        cost_centre, category, sum(total_before) as total_before, sum(total) as total
    from cells
    group by grouping sets ((cost_centre, category), (cost_centre), ())
    having count(*) > 0
),

moved as (
    select case when grouping(cost_centre) = 0 then 'cost centre' else 'all' end as level, cost_centre,
        sum(paid_between) as paid_between, sum(outcome_before) as outcome_before, sum(outcome) as outcome
    from years
    group by grouping sets ((cost_centre), ())
    having count(*) > 0
)

select coalesce(l.level, m.level) as level, coalesce(l.cost_centre, m.cost_centre) as cost_centre, l.category,
    coalesce(l.total_before, 0)::decimal(18, 4) as total_before,
    coalesce(l.total, 0)::decimal(18, 4) as total, (coalesce(l.total, 0) - coalesce(l.total_before, 0))::decimal(18, 4) as change,
    m.paid_between::decimal(18, 4) as paid_between, m.outcome_before::decimal(18, 4) as outcome_before,
    m.outcome::decimal(18, 4) as outcome, (m.outcome - m.outcome_before)::decimal(18, 4) as outcome_change, r.currency
from levels l
full join moved m on m.level = l.level and m.cost_centre is not distinct from l.cost_centre
cross join run r
order by level, cost_centre nulls first, category nulls first
