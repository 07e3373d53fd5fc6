-- Each dated use of an item, and how likely it falls within the item's lead time and the review period after it.
--
-- The days of a distance or of hours are projections with a band; a task that is due already, a date, and a vehicle that runs the same
-- every day have none. The band of a task's first time is carried to its next ones.
--
-- one row: vehicle_id, task, occurrence_no, item
-- per:     vehicle
-- reads:   occurrence_items, due_state, items, run
-- gives:   vehicle_id, task, occurrence_no, item
--          on_day
--          full_quantity   when it is needed, in the item's unit
--          quantity        expected: full_quantity x chance
--          chance          0 to 1, that it is needed then
--          chance_in_time  0 to 1, that the work comes up by `until`
--          until           as-of date + lead time + review period

with windows as (
    select item, as_of, (as_of + lead_time_days + review_days)::date as until from items, run
)

select o.vehicle_id, o.task, o.occurrence_no, o.item, o.on_day,
    case when o.chance > 0 then (o.quantity / o.chance)::decimal(18, 7) else 0 end as full_quantity, o.quantity, o.chance,
    case
        when s.due_on <= w.as_of then (o.on_day <= w.until)::integer::double
        else chance_by(w.until, o.on_day, s.due_on - s.early_on, s.late_on - s.due_on)
    end as chance_in_time,
    w.until
from occurrence_items o
join windows w using (item)
join due_state s using (vehicle_id, task)
