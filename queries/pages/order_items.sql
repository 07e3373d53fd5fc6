-- What people read of each item: why it is, or is not, bought, and how long what is there lasts.
--
-- one row: item
-- reads:   items_needed, item_purchases, unplanned_forecast, stock_now, work_without_items, run
-- gives:   item, title, unit
--          needed, planned, unplanned, safety, on_hand, on_order, to_order   in the unit
--          until           day
--          lead_time_days
--          arrives_on      what is ordered today
--          counted_on, used_since, is_overdrawn   the count behind on_hand; null: the stock list as it is
--          runs_out_on     if nothing is bought; null: not as far as is planned
--          bought, surplus, short   in the unit; null: nothing is to be ordered
--          cost, cost_one_size, cost_listed   money
--          cost_held, cost_instead, instead, instead_is_listed   what to ask about first, and what could be bought without asking
--          is_measured     in litres, kg, m …; else it counts pieces
--          wanted_by       day on which it should be there: it runs out, or else the next order is due
--          is_listed, is_outlasted, is_unproven
--          works_lacking   planned work that would lack it before what is ordered next time can be there
--          first_lacking_on   the day of the first
--          method          of the forecast of unplanned use; null: there was none
--          demand_class    smooth | intermittent | erratic | lumpy
--          per_period      forecast for 28 days
--          error, bar_error   root mean squared error of the method, of the recent mean
--          with_use, periods   periods of 28 days with such use, of all
--          economic_quantity

with lacking as (
    select item, count(*) as works, min(on_day) as first_on from work_without_items where is_urgent group by all
)

select n.item, coalesce(n.title, n.item) as title, n.unit, n.needed, n.planned, n.unplanned, n.safety, n.on_hand, n.on_order,
    n.to_order, n.until, n.lead_time_days, (as_of + n.lead_time_days)::date as arrives_on, n.counted_on, s.used_since,
    s.is_overdrawn, n.runs_out_on, p.bought, p.surplus, p.short, p.cost, p.cost_one_size, p.cost_listed,
    p.cost_held, p.cost_instead, p.instead, p.instead_is_listed, is_measured(n.unit) as is_measured,
    greatest(as_of, coalesce(n.runs_out_on, n.until)) as wanted_by, p.is_listed,
    p.is_outlasted, p.is_unproven, coalesce(l.works, 0) as works_lacking, l.first_on as first_lacking_on, f.method,
    f.demand_class, f.per_period, f.error, f.bar_error, f.with_use, f.periods, n.economic_quantity
from items_needed n
join stock_now s using (item)
left join item_purchases p using (item)
left join lacking l using (item)
left join unplanned_forecast f using (item), run
