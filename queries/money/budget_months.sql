-- Each month's share of the yearly budgets, spread evenly over the days of its financial year: of the as-of date's own month the days
-- that the forecast counts. A vehicle's budget counts as it does in `budget`: for a year that begins before it is retired.
--
-- one row: month, cost_centre
-- reads:   forecast_months, vehicles, run
-- gives:   month
--          financial_year
--          cost_centre   '' where none is given
--          budget        money

with shares as (
    select m.month, m.financial_year, coalesce(v.cost_centre, '') as cost_centre,
        v.budget_per_year::double * m.days
            / ((year_from(m.from_on, r.financial_year_starts) + to_months(12))::date
                - year_from(m.from_on, r.financial_year_starts)) as share
    from forecast_months m
    cross join run r
    join vehicles v on v.budget_per_year is not null
        and (v.retired_on is null or v.retired_on > year_from(m.from_on, r.financial_year_starts))
)

select month, financial_year, cost_centre, to_minor(fsum(share order by share), money_digits) as budget
from shares, run
group by month, financial_year, cost_centre, money_digits
