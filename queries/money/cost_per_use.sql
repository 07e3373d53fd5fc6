-- What each vehicle in service cost over the last 365 days, for each unit of distance and hour, beside its class; and whether its repairs
-- outrun the class's.
--
-- one row: vehicle_id
-- reads:   vehicles, observed_use, paid_lines, use_on_days, repair_rates, run
-- gives:   vehicle_id, title, class
--          cost_centre        '' where none is given
--          planned, unplanned, paid   money of the last 365 days
--          distance           in distance_unit; null: no odometer
--          distance_unit
--          hours              h; null: no hour meter
--          cost_per_distance, class_cost_per_distance   money; null: nothing was run
--          cost_per_hour, class_cost_per_hour           money
--          repairs            on record since records began
--          expected_repairs   of its class over the same use
--          chance_pct         of so many or more, if it were like its class; per cent
--          outruns            that chance is below 1 %

with spent as (
    select vehicle_id, sum(amount) filter (why = 'planned') as planned, sum(amount) filter (why = 'unplanned') as unplanned
    from paid_lines, run
    where done_on > as_of - 365
    group by all
),

moved as (
    select b.vehicle_id, b.meter, (b.value - a.value) as used
    from run
    join use_on_days b on b.on_day = as_of
    join use_on_days a on a.vehicle_id = b.vehicle_id and a.meter = b.meter and a.on_day = as_of - 365
),

whole as (
    select o.vehicle_id, o.class, v.title, o.cost_centre, coalesce(s.planned, 0) as planned, coalesce(s.unplanned, 0) as unplanned,
        coalesce(s.planned, 0) + coalesce(s.unplanned, 0) as paid,
        nullif(from_km(k.used, r.distance_unit)::decimal(18, 1), 0) as distance, r.distance_unit,
        nullif(h.used::decimal(18, 1), 0) as hours
    from observed_use o
    join vehicles v using (vehicle_id)
    left join spent s using (vehicle_id)
    left join moved k on k.vehicle_id = o.vehicle_id and k.meter = 'odometer'
    left join moved h on h.vehicle_id = o.vehicle_id and h.meter = 'hours', run r
    where v.retired_on is null or v.retired_on > r.as_of
)

select w.vehicle_id, w.title, w.class, w.cost_centre, w.planned::decimal(18, 4) as planned,
    w.unplanned::decimal(18, 4) as unplanned, w.paid::decimal(18, 4) as paid, w.distance,
    w.distance_unit, w.hours,
    (w.paid::double / w.distance::double)::decimal(18, 6) as cost_per_distance,
    (sum(w.paid) filter (w.distance > 0) over of_class / sum(w.distance) over of_class)::decimal(18, 6) as class_cost_per_distance,
    (w.paid::double / w.hours::double)::decimal(18, 6) as cost_per_hour,
    (sum(w.paid) filter (w.hours > 0) over of_class / sum(w.hours) over of_class)::decimal(18, 6) as class_cost_per_hour,
    r.repairs, r.expected_repairs::decimal(18, 2) as expected_repairs,
    (100 * r.chance_of_so_many)::decimal(18, 2) as chance_pct, r.chance_of_so_many < 0.01 as outruns
from whole w
join repair_rates r on r.vehicle_id = w.vehicle_id and r.kind = 'repair'
window of_class as (partition by w.class)
order by w.class, w.vehicle_id
