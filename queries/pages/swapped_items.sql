-- Vehicles whose own list has another item than the class's, where its needs do not list what the class's item needs.
--
-- one row: vehicle_id, task, item, token
-- per:     vehicle
-- reads:   item_plan, swapped_specifications, items, in_warranty, task_plan
-- gives:   vehicle_id
--          task, task_title
--          item, item_title, instead_of, instead_title
--          token        that the class's item needs
--          verdict      different | not stated
--          beside       what the vehicle's item needs of the same family
--          is_cautioned GL-4 and GL-5 meet
--          reason       why the vehicle differs, as its list says
--          warranty_until   day; null: no warranty date
--          is_in_warranty

select p.vehicle_id, p.task, shown_title(k.title, p.task) as task_title, p.item, coalesce(i.title, p.item) as item_title,
    p.instead_of, coalesce(c.title, p.instead_of) as instead_title, s.token, s.verdict, s.beside, s.is_cautioned, p.reason,
    w.warranty_until, w.vehicle_id is not null as is_in_warranty
from item_plan p
join swapped_specifications s on s.item = p.item and s.instead_of = p.instead_of
join task_plan k on k.vehicle_id = p.vehicle_id and k.task = p.task
join items i on i.item = p.item
left join items c on c.item = p.instead_of
left join in_warranty w on w.vehicle_id = p.vehicle_id
where s.verdict <> 'listed' or s.is_cautioned
