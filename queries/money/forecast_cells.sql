-- The forecast before it is rounded, for every month and each cost centre and category that the forecast spends on. Unplanned repairs are
-- a category of their own, `repairs`; so is other unplanned work, `other`.
--
-- one row: month, cost_centre, category
-- reads:   planned_costs, unscheduled_costs, forecast_months
-- gives:   month, month_no
--          financial_year
--          cost_centre, category   '' where none is given
--          scheduled    money, 7 decimals
--          unscheduled  money, 7 decimals

with spent as (
    select strftime(on_day, '%Y-%m') as month, cost_centre, category, amount as scheduled, 0::decimal(18, 7) as unscheduled
    from planned_costs
    union all
    select month, cost_centre, category, 0, amount from unscheduled_costs
),

lines as (
    select cost_centre, category from spent group by all having sum(scheduled + unscheduled) > 0
)

select m.month, m.month_no, m.financial_year, l.cost_centre, l.category,
    coalesce(sum(s.scheduled), 0)::decimal(18, 7) as scheduled, coalesce(sum(s.unscheduled), 0)::decimal(18, 7) as unscheduled
from forecast_months m
cross join lines l
left join spent s on s.month = m.month and s.cost_centre = l.cost_centre and s.category = l.category
group by all
