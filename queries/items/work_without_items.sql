-- Planned work that would lack an item if nothing were bought: the stock goes to the work in order of day, unplanned use before it.
--
-- one row: vehicle_id, task, occurrence_no, item
-- reads:   occurrence_items, use_by_day, stock_now, items, run
-- gives:   vehicle_id, task, occurrence_no, item
--          on_day
--          quantity   expected, in the item's unit
--          lacking    of it, in the item's unit
--          arrives_on the day on which what is ordered today is there
--          is_urgent  its day lies before what is ordered next time can be there

with in_turn as (
    select o.*, u.used - u.planned
        + sum(o.quantity) over (partition by o.item, o.on_day order by o.vehicle_id, o.task, o.occurrence_no) as used
    from occurrence_items o
    join use_by_day u on u.item = o.item and u.day = o.on_day
)

select t.vehicle_id, t.task, t.occurrence_no, t.item, t.on_day, t.quantity,
    least(t.quantity, t.used - s.on_hand - i.on_order)::decimal(18, 3) as lacking,
    (as_of + i.lead_time_days)::date as arrives_on,
    t.on_day <= as_of + i.lead_time_days + review_days as is_urgent
from in_turn t
join stock_now s using (item)
join items i using (item), run
where t.used > s.on_hand + i.on_order and t.quantity > 0
