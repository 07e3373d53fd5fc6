-- Repairs that were paid for while the vehicle was inside the maker's warranty, by date and by distance where both are given. Whether the
-- warranty covers the work, its terms say.
--
-- one row: file, line
-- reads:   worded_lines, paid_lines, vehicles, use_on_days, daily_rate
-- gives:   file, line
--          vehicle_id
--          cost_centre    '' where none is given
--          done_on
--          description
--          invoice
--          paid           money
--          warranty_until
--          warranty_distance, distance   in the vehicle's unit; distance null: not known
--          distance_unit

select h.file, h.line, h.vehicle_id, p.cost_centre, h.done_on, h.description, h.invoice, p.amount as paid, v.warranty_until,
    v.warranty_distance::decimal(18, 1) as warranty_distance, from_km(u.value, v.distance_unit)::decimal(18, 1) as distance, v.distance_unit
from paid_lines p
join worded_lines h using (file, line)
join vehicles v on v.vehicle_id = h.vehicle_id
-- An odometer that was never read after the first day tells no distance.
left join daily_rate r on r.vehicle_id = h.vehicle_id and r.meter = 'odometer' and r.is_own
left join use_on_days u on u.vehicle_id = r.vehicle_id and u.meter = r.meter and u.on_day = h.done_on
where p.kind = 'repair' and p.amount > 0
    and runs_in_warranty(h.done_on, u.value, v.warranty_until, v.warranty_distance, v.distance_unit)
order by p.amount desc, h.vehicle_id, h.done_on, h.file, h.line
