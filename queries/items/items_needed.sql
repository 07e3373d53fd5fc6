-- What to order of each item: need until the next order arrives, and safety stock, less what is there and what is coming.
--
-- one row: item
-- reads:   items, planned_use, unplanned_forecast, safety_stock, stock_now, item_runs_out, item_cost, run
-- gives:   item, title, unit
--          needed      planned and unplanned use by `until`, in the unit
--          safety      on top of it, so that the shelf lasts with the chance of the service level
--          on_hand, on_order
--          to_order    needed + safety - on_hand - on_order, at least 0
--          planned, unplanned   what `needed` is made of
--          until       as-of date + lead_time_days + review days
--          lead_time_days
--          counted_on  day of the count behind on_hand; null: the stock list as it is
--          runs_out_on first day on which expected use passes what is on hand and on order; null: not as far as is planned
--          unit_cost   money
--          economic_quantity   what to buy at once so that ordering and holding cost least; null: not asked for

with planned as (
    select item, sum(quantity) as amount from planned_use where on_day <= until group by all
),

parts as (
    select i.item, i.title, i.unit, i.lead_time_days, i.on_order::decimal(18, 3) as on_order,
        coalesce(p.amount, 0)::decimal(18, 3) as planned,
        coalesce(f.per_period / 28 * (i.lead_time_days + review_days), 0)::decimal(18, 3) as unplanned,
        (as_of + i.lead_time_days + review_days)::date as until
    from items i
    left join planned p using (item)
    left join unplanned_forecast f using (item), run
)

select p.item, p.title, p.unit, p.planned + p.unplanned as needed, b.safety, s.on_hand, p.on_order,
    greatest(0, p.planned + p.unplanned + b.safety - s.on_hand - p.on_order)::decimal(18, 3) as to_order,
    p.planned, p.unplanned, p.until, p.lead_time_days, s.counted_on, r.runs_out_on, c.unit_cost, b.economic_quantity
from parts p
join safety_stock b using (item)
join stock_now s using (item)
join item_cost c using (item)
left join item_runs_out r using (item)
order by p.item
