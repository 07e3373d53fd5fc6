-- The budget table summed over cost centres, with the band of the sum. A cost centre without a budget counts with what was paid, and its
-- variance with nothing.
--
-- one row: financial_year
-- reads:   budget, forecast_totals
-- gives:   cost_centre   null: all
--          financial_year
--          year_until
--          budget_year, budget_to_date, planned_to_date, unplanned_to_date, paid_to_date, variance_to_date   money
--          volume, price, unplanned_work, timing   money
--          forecast_rest, outcome, outcome_p10, outcome_p90, variance_year   money
--          is_whole
--          currency

select null::varchar as cost_centre, b.financial_year, any_value(year_until) as year_until,
    sum(budget_year)::decimal(18, 4) as budget_year, sum(budget_to_date)::decimal(18, 4) as budget_to_date,
    sum(planned_to_date)::decimal(18, 4) as planned_to_date, sum(unplanned_to_date)::decimal(18, 4) as unplanned_to_date,
    sum(paid_to_date)::decimal(18, 4) as paid_to_date, sum(variance_to_date)::decimal(18, 4) as variance_to_date,
    sum(volume)::decimal(18, 4) as volume, sum(price)::decimal(18, 4) as price,
    sum(unplanned_work)::decimal(18, 4) as unplanned_work, sum(timing)::decimal(18, 4) as timing,
    sum(forecast_rest)::decimal(18, 4) as forecast_rest, sum(outcome)::decimal(18, 4) as outcome,
    (sum(paid_to_date) + coalesce(any_value(y.p10), 0))::decimal(18, 4) as outcome_p10,
    (sum(paid_to_date) + coalesce(any_value(y.p90), 0))::decimal(18, 4) as outcome_p90,
    sum(variance_year)::decimal(18, 4) as variance_year, bool_and(is_whole) as is_whole, any_value(b.currency) as currency
from budget b
left join forecast_totals y on y.level = 'year' and y.financial_year = b.financial_year
group by b.financial_year
