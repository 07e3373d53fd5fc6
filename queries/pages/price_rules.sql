-- How the prices of each kind grow in the forecast: an index series as far as it goes, and a yearly rate.
--
-- one row: kind
-- reads:   price_factors, price_growth, price_indexes, run
-- gives:   kind         of item; labour; * for all else
--          per_year     share a year
--          series       null: no index
--          base_month   of the index; the last one on or before the as-of date
--          last_month   of the index
--          factor_end   what a price of today is multiplied by on the forecast's last day

with indexes as (
    select kind, string_agg(distinct series, ', ' order by series) as series,
        max(month) filter (date_trunc('month', month) <= as_of) as base_month, max(month) as last_month
    from price_indexes, run
    group by all
)

select f.kind, coalesce(g.per_year, every.per_year, inflation_per_year) as per_year, coalesce(i.series, a.series) as series,
    strftime(coalesce(i.base_month, a.base_month), '%Y-%m') as base_month,
    strftime(coalesce(i.last_month, a.last_month), '%Y-%m') as last_month, f.factor as factor_end
from price_factors f
left join price_growth g using (kind)
left join (from price_growth where kind = '*') every on true
left join indexes i on i.kind = f.kind
left join indexes a on a.kind = '*', run
where f.on_day = forecast_until(as_of, months_ahead)
