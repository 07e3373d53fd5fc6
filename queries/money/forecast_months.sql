-- The months of the forecast: what is left of the as-of date's own, then as many whole ones as are planned ahead.
--
-- one row: month
-- reads:   run
-- gives:   month           YYYY-MM
--          month_no        0 for the as-of date's
--          from_on         first day counted; the as-of date in its own month
--          until_on        last day
--          days            in it
--          middle_on       the day at whose prices what has no day of its own is counted
--          financial_year  such as 2026/27

with months as (
    select (date_trunc('month', as_of) + to_months(number::integer))::date as first_on, number, as_of, financial_year_starts
    from run, unnest(generate_series(0, months_ahead)) as one(number)
)

select strftime(first_on, '%Y-%m') as month, number as month_no, greatest(first_on, as_of) as from_on,
    last_day(first_on) as until_on, last_day(first_on) - greatest(first_on, as_of) + 1 as days,
    greatest(first_on, as_of) + ((last_day(first_on) - greatest(first_on, as_of)) // 2)::integer as middle_on,
    year_name(first_on, financial_year_starts) as financial_year
from months
