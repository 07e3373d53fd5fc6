-- Over which part of its life each vehicle's repairs are known, and how much it was used in it: its entry may be late, and the
-- as-of date or its retirement cuts it off. Use is in km where the class has odometers, else in h, else in days.
--
-- one row: vehicle_id
-- per:     vehicle
-- reads:   vehicles, daily_rate, use_on_days, record_window, class_use, run
-- gives:   vehicle_id
--          class
--          cost_centre   '' where none is given
--          measure       odometer | hours | days
--          from_on, to_on   the days known
--          days          in all
--          use_from, use_to   km, h or days since new
--          use_a_day     ahead; 0 where it is retired
--          is_measured   false: no usable meter, so its class's use a day stands for its own

select w.vehicle_id, v.class, coalesce(v.cost_centre, '') as cost_centre, m.measure, w.from_on, w.to_on,
    (w.to_on - w.from_on)::bigint as days,
    case when m.measure = 'days' then w.from_on - v.in_service_on
        else coalesce(a.value, m.use_a_day * (w.from_on - v.in_service_on)) end::double as use_from,
    case when m.measure = 'days' then w.to_on - v.in_service_on
        else coalesce(b.value, m.use_a_day * (w.to_on - v.in_service_on)) end::double as use_to,
    case when v.retired_on <= as_of then 0 when m.measure = 'days' then 1
        else coalesce(r.rate, m.use_a_day, 0) end::double as use_a_day,
    m.measure = 'days' or r.rate is not null as is_measured
from record_window w
join vehicles v using (vehicle_id)
join class_use m using (class)
left join daily_rate r on r.vehicle_id = v.vehicle_id and r.meter = m.measure
left join use_on_days a on r.rate is not null and a.vehicle_id = v.vehicle_id and a.meter = m.measure and a.on_day = w.from_on
left join use_on_days b on r.rate is not null and b.vehicle_id = v.vehicle_id and b.meter = m.measure and b.on_day = w.to_on, run
