-- What a price of today is multiplied by on each day of the forecast, by kind of item, for labour and (`*`) for all else.
--
-- A kind's price index counts as far as it goes; after its last month, and without one, prices grow by the kind's own rate or else
-- by the fleet's. The index of the as-of date's month, or the last before it, is the base.
--
-- one row: kind, on_day
-- reads:   items, price_growth, price_indexes, run
-- gives:   kind       of item; labour; * for repairs and for items without a kind
--          on_day
--          factor     1 on the as-of date

with kinds as (
    select '*' as kind union select 'labour' union select kind from items where kind is not null
),

rates as (
    select kind, coalesce(g.per_year, every.per_year, inflation_per_year) as per_year
    from kinds
    left join price_growth g using (kind)
    left join (from price_growth where kind = '*') every on true, run
),

indexes as (
    select k.kind, date_trunc('month', i.month)::date as first_on, i.index_value
    from kinds k
    join price_indexes i on i.kind = k.kind
        or i.kind = '*' and k.kind not in (select kind from price_indexes)
),

bases as (
    select kind, arg_max(index_value, first_on) as base from indexes, run where first_on <= as_of group by all
),

days as (
    select kind, per_year, as_of, (as_of + number::integer)::date as on_day
    from rates, run, unnest(generate_series(0, forecast_until(as_of, months_ahead) - as_of)) as one(number)
),

on_index as (
    select d.*, i.index_value, i.first_on, b.base
    from days d
    left join bases b using (kind)
    asof left join indexes i on i.kind = d.kind and i.first_on <= d.on_day
),

last_months as (
    select kind, max(first_on) as last_first_on from indexes group by all
)

select o.kind, o.on_day,
    case
        when o.base is null or o.index_value is null then grown(per_year, on_day - as_of)
        else ((o.index_value::double / o.base::double)
            * grown(per_year, greatest(0, on_day - greatest(as_of, last_day(last_first_on)))))::decimal(18, 12)
    end as factor
from on_index o
left join last_months l using (kind)
