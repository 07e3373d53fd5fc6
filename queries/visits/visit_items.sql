-- What each piece of work takes on the day of its visit, and what it would lack if nothing were bought: the shelf goes to the
-- visits in order of their day, unplanned use before them.
--
-- Work comes early or late to share a visit, so that this order is another than that of the due days. What a task of the same
-- visit that covers it takes too is taken once, with that one. Work without a visit takes its share on its due day.
--
-- one row: vehicle_id, task, occurrence_no, item
-- reads:   occurrence_items, visit_tasks, covered_work, unplanned_forecast, stock_now, items, run
-- gives:   vehicle_id, task, occurrence_no, item
--          visit_on   day; null: the work has no visit
--          quantity   expected, in the item's unit
--          chance     0 to 1
--          lacking    of it, in the item's unit, by expected use; null: enough
--          arrives_on the day on which what is ordered today is there; null: enough

with placed as (
    select o.vehicle_id, o.task, o.occurrence_no, o.item, o.quantity, o.chance, t.visit_on,
        greatest(as_of, coalesce(t.visit_on, o.on_day)) as on_day
    from occurrence_items o
    left join visit_tasks t using (vehicle_id, task, occurrence_no), run
),

within_others as (
    select distinct s.vehicle_id, s.task, s.occurrence_no, s.item
    from placed s
    join placed b on b.vehicle_id = s.vehicle_id and b.on_day = s.on_day and b.item = s.item and b.task <> s.task
    join covered_work c on c.vehicle_id = b.vehicle_id and c.task = b.task and c.covered = s.task
),

in_turn as (
    select p.*, sum(p.quantity) over (partition by p.item order by p.on_day, p.vehicle_id, p.task, p.occurrence_no)
        + (p.on_day - as_of) * coalesce(f.per_period / 28, 0)::decimal(18, 7) - s.on_hand - i.on_order as beyond,
        (as_of + i.lead_time_days)::date as arrives_on
    from placed p
    anti join within_others using (vehicle_id, task, occurrence_no, item)
    join items i using (item)
    join stock_now s using (item)
    left join unplanned_forecast f using (item), run
)

select vehicle_id, task, occurrence_no, item, visit_on, quantity, chance,
    case when beyond > 0 and quantity > 0 then least(quantity, beyond)::decimal(18, 3) end as lacking,
    case when beyond > 0 and quantity > 0 then arrives_on end as arrives_on
from in_turn
