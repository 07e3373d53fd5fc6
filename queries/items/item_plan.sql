-- What each task of each vehicle takes: its class's items and those of every class, then the vehicle's own exceptions.
--
-- A row of the class replaces the row of class `*` for the same task and item. A vehicle's own row replaces the item it stands
-- instead of (or itself), and keeps that one's quantity where it gives none, its chance and its reuses; with neither it is added.
--
-- one row: vehicle_id, task, item
-- per:     vehicle
-- reads:   task_plan, task_items, vehicle_items
-- gives:   vehicle_id, task, item
--          quantity   each time, in the item's unit
--          chance     0 to 1, that it is needed
--          reuses     how often a piece serves again before it is renewed
--          instead_of the item that the class's plan has; null: as the class
--          reason     why the vehicle differs

with of_class as (
    select p.vehicle_id, p.task, i.item, i.quantity, i.chance, i.reuses
    from task_plan p
    join task_items i on i.task = p.task and i.class = p.class
    union all
    select p.vehicle_id, p.task, i.item, i.quantity, i.chance, i.reuses
    from task_plan p
    join task_items i on i.task = p.task and i.class = '*'
    anti join task_items own on own.task = p.task and own.class = p.class and own.item = i.item
),

own as (
    select x.vehicle_id, x.task, x.item, coalesce(x.instead_of, x.item) as replaces, x.instead_of, x.quantity, x.reason
    from vehicle_items x
    semi join task_plan p using (vehicle_id, task)
)

select c.vehicle_id, c.task, c.item, c.quantity, c.chance, c.reuses, null::varchar as instead_of, null::varchar as reason
from of_class c
anti join own o on o.vehicle_id = c.vehicle_id and o.task = c.task and (o.replaces = c.item or o.item = c.item)
union all
select o.vehicle_id, o.task, o.item, coalesce(o.quantity, c.quantity, 1), coalesce(c.chance, 1), coalesce(c.reuses, 0),
    o.instead_of, o.reason
from own o
left join of_class c on c.vehicle_id = o.vehicle_id and c.task = o.task and c.item = o.replaces
