-- What each piece of planned work takes, in money of its day: a row for every item, and one for labour.
--
-- Items at their unit cost plus labour hours at the labour rate, times the growth of their prices. Work from the day on which a
-- vehicle is to be retired is not paid.
--
-- one row: vehicle_id, task, occurrence_no, part
-- per:     vehicle
-- reads:   planned_work, occurrence_items, item_cost, items, task_plan, vehicles, price_factors, run
-- gives:   vehicle_id, task, occurrence_no
--          part        an item; '' for labour
--          on_day
--          chance      0 to 1, that it is needed
--          amount_now  expected money at today's prices, tax not counted; null: no price is known
--          amount      expected money at that day's prices

with work as (
    select w.vehicle_id, w.task, w.occurrence_no, w.on_day, p.labour_hours
    from planned_work w
    join task_plan p using (vehicle_id, task)
    join vehicles v using (vehicle_id), run
    where w.on_day <= forecast_until(as_of, months_ahead)
        and (v.retired_on is null or w.on_day < v.retired_on)
),

parts as (
    select w.vehicle_id, w.task, w.occurrence_no, i.item as part, w.on_day, i.chance, coalesce(t.kind, '*') as kind,
        (i.quantity::decimal(28, 7) * c.unit_cost)::decimal(18, 7) as amount_now
    from work w
    join occurrence_items i using (vehicle_id, task, occurrence_no)
    join items t using (item)
    join item_cost c using (item)
    union all
    select vehicle_id, task, occurrence_no, '', on_day, 1, 'labour', (labour_hours::decimal(28, 7) * labour_rate)::decimal(18, 7)
    from work, run
    where labour_hours is not null
)

select p.vehicle_id, p.task, p.occurrence_no, p.part, p.on_day, p.chance::decimal(18, 7) as chance, p.amount_now,
    (p.amount_now::decimal(28, 7) * f.factor)::decimal(18, 7) as amount
from parts p
join price_factors f using (kind, on_day)
