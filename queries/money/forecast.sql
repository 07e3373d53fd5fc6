-- The forecast by month, cost centre and category, in the currency's minor unit. Within a month the cells are rounded by the largest
-- remainder, so that what is printed adds up to the month's exact sum, rounded.
--
-- The band is that of the cell by itself: one draw in ten is below p10, one in ten above p90. It is laid about the total by how far
-- the draws lie from the exact sum, so that work that cannot move has no band. The draws cost planned work between
-- what the plan says and what it has been paid at; their mean lies half-way.
--
-- one row: month, cost_centre, category
-- reads:   forecast_cells, forecast_bands, run
-- gives:   month, cost_centre, category
--          scheduled, unscheduled, total   money, tax not counted
--          p10, p90       money
--          currency
--          financial_year
--          tax            money on top of the total
--          mean           money: mean of the draws

with parts as (
    select month, cost_centre, category, 1 as part, scheduled::decimal(28, 7) * minor_units(money_digits) as exact
    from forecast_cells, run
    union all
    select month, cost_centre, category, 2, unscheduled::decimal(28, 7) * minor_units(money_digits)
    from forecast_cells, run
),

turns as (
    select *, floor(exact)::decimal(20, 0) as whole, sum(exact) over month_of as in_all, sum(floor(exact)) over month_of as in_wholes,
        row_number() over (partition by month order by exact - floor(exact) desc, cost_centre, category, part) as turn
    from parts
    window month_of as (partition by month)
),

minor as (
    select month, cost_centre, category, part, whole + (turn <= round(in_all) - in_wholes)::integer as units from turns
),

cells as (
    select month, cost_centre, category,
        from_minor(sum(units) filter (part = 1), any_value(money_digits)) as scheduled,
        from_minor(sum(units) filter (part = 2), any_value(money_digits)) as unscheduled
    from minor, run
    group by all
)

select c.month, c.cost_centre, c.category, c.scheduled, c.unscheduled, (c.scheduled + c.unscheduled)::decimal(18, 4) as total,
    greatest(0, c.scheduled + c.unscheduled + to_minor(b.p10 - (f.scheduled + f.unscheduled)::double, money_digits))::decimal(18, 4)
        as p10,
    greatest(0, c.scheduled + c.unscheduled + to_minor(b.p90 - (f.scheduled + f.unscheduled)::double, money_digits))::decimal(18, 4)
        as p90,
    r.currency, f.financial_year, to_minor((c.scheduled + c.unscheduled) * r.tax_rate, money_digits) as tax,
    greatest(0, c.scheduled + c.unscheduled + to_minor(b.mean - (f.scheduled + f.unscheduled)::double, money_digits))::decimal(18, 4)
        as mean
from cells c
join forecast_cells f using (month, cost_centre, category)
left join forecast_bands b on b.level = 'cell' and b.month = c.month and b.cost_centre = c.cost_centre and b.category = c.category,
run r
order by c.month, c.cost_centre, c.category
