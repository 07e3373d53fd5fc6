-- The kept week that the forecast is compared with, at least four weeks old, and the months that both forecasts hold whole. No row where
-- no such week is kept.
--
-- one row: iso_week
-- reads:   last_month, forecast_last_month, forecast_months, run
-- gives:   iso_week, as_of    of the kept week
--          same_currency       false: money of two currencies is not compared
--          first_month, last_month   null: no month is in both
--          months              how many

with compared as (
    select distinct l.month
    from forecast_last_month l
    join forecast_months m using (month)
    where m.month_no > 0
)

select l.iso_week, l.as_of, coalesce((select bool_and(f.currency = r.currency) from forecast_last_month f, run r), true) as same_currency,
    (select min(month) from compared) as first_month, (select max(month) from compared) as last_month,
    (select count(*) from compared) as months
from last_month l
