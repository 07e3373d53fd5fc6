-- The week in which a service by distance or hours fell due, as projected and as it came.
--
-- The due point is the next multiple of each interval of the vehicle's plan above its last reading. The week it was reached
-- in is known where it lies between readings at most 8 days apart.
--
-- one row: as_of, vehicle_id, meter, estimator, due_at
-- reads:   looks, estimates, service_steps, horizons, known_days
-- gives:   as_of
--          vehicle_id
--          meter
--          estimator
--          due_at     km or h since new
--          class      of the vehicle
--          horizon    reached within so many days, and not within the shorter horizon
--          reached_on     the day
--          projected_on   likewise; null: never, by that estimator
--          weeks_off      from the ISO week reached to the one projected; negative: projected too early

with ends as (
    select vehicle_id, meter, max(read_on) as known_until from known_days group by all
),

-- Only days on which the meter had run, so that each value stands once.
rises as (
    select vehicle_id, meter, lag(read_on) over one as from_on, lag(high) over one as from_value,
        read_on as until_on, low, high
    from known_days
    window one as (partition by vehicle_id, meter order by read_on)
    qualify high > from_value
),

points as (
    select distinct l.as_of, l.vehicle_id, l.meter, l.class, l.last_on, l.last_value,
        step_at(units(l.last_value) // units(s.step) + 1, s.step) as due_at
    from looks l
    join service_steps s using (vehicle_id, meter)
),

reached as (
    select p.*,
        least(until_on, from_on
            + ceil_div(units(due_at - from_value) * (until_on - from_on), greatest(1, units(low - from_value)))::integer)
            as reached_on
    from points p
    asof join rises r on r.vehicle_id = p.vehicle_id and r.meter = p.meter and p.due_at <= r.high
    where until_on - from_on <= 8 and from_value < due_at
),

projected as (
    select r.*, e.estimator, h.horizon,
        day_after(r.last_on, days_until(r.due_at - r.last_value, e.rate)) as projected_on
    from reached r
    join ends using (vehicle_id, meter)
    -- A slow vehicle's points are not reached before its readings end: only horizons that are known whole are asked for.
    join horizons h on r.reached_on - r.as_of > h.after_days and r.reached_on - r.as_of <= h.days
        and ends.known_until >= r.as_of + h.days
    join estimates e on e.as_of = r.as_of and e.vehicle_id = r.vehicle_id and e.meter = r.meter
)

select as_of, vehicle_id, meter, estimator, due_at, class, horizon, reached_on, projected_on,
    (date_trunc('week', projected_on)::date - date_trunc('week', reached_on)::date) // 7 as weeks_off
from projected
