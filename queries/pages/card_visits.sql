-- The visits of the next weeks as job cards: which vehicle, when, and what its meters should show about then.
--
-- one row: vehicle_id, visit_on
-- reads:   visits, vehicles, meter_now, meter_spans, run
-- gives:   card_no        the card's number
--          vehicle_id, title, class, depot
--          make, serial, year, tyre_size   null where vehicles.csv does not say
--          iso_week, visit_on
--          task_count
--          labour_hours, hours_not_set
--          distance_unit  of the odometer; null: it has none that was ever read
--          odometer_about, odometer_read_on   what the odometer shows on the as-of date, and when it was last read
--          hours_about    the same of the hour meter; null: it has none that was ever read

with shown as (
    select m.vehicle_id, m.meter, m.last_on, m.now - coalesce(s.add, 0) as shows
    from meter_now m
    left join meter_spans s on s.vehicle_id = m.vehicle_id and s.meter = m.meter and s.taken_out_on is null
)

select 'JC-' || strftime(i.visit_on, '%Y-%m-%d') || '-' || i.vehicle_id as card_no, i.vehicle_id, v.title, v.class, i.depot,
    v.make, v.serial, v.year, v.tyre_size, i.iso_week, i.visit_on, i.task_count, i.labour_hours, i.hours_not_set,
    case when o.shows is not null then v.distance_unit end as distance_unit,
    shown_length(o.shows, 'odometer', v.distance_unit) as odometer_about, o.last_on as odometer_read_on,
    shown_length(h.shows, 'hours', '') as hours_about
from visits i
join vehicles v using (vehicle_id)
left join shown o on o.vehicle_id = i.vehicle_id and o.meter = 'odometer' and o.shows > 0
left join shown h on h.vehicle_id = i.vehicle_id and h.meter = 'hours' and h.shows > 0, run
where i.visit_on <= cards_until
