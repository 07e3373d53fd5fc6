-- What is planned for each vehicle: its class's tasks and those of every class, then its own exceptions, then bare expiry dates.
--
-- A row of the class replaces the row of class `*` whole; a filled cell of vehicle_tasks replaces the class's cell.
--
-- one row: vehicle_id, task
-- per:     vehicle
-- reads:   vehicles, tasks, vehicle_tasks, expiries, run
-- gives:   vehicle_id, task
--          class            of the vehicle
--          title            null where nobody gave one
--          every_km, every_hours, every_months   the interval for the vehicle's duty; null: not counted by this
--          severe_applies   one of these is the shorter one of severe duty
--          first_km, first_hours, first_months   the first one after coming into service, where it differs
--          basis            last_done | fixed | anchored
--          every_year_on    MM-DD
--          after            the task this one follows up
--          covers           codes with blanks between
--          labour_hours     h
--          category, source, caution
--          major            yes | no; null: not said
--          late_tolerance_pct   per cent of the interval
--          expires_on       latest expiry date
--          in_service_on    day
--          in_service_km, in_service_hours   what the meters showed that day
--          is_recorded      false: records begin after the vehicle came into service, so "never recorded" is not "never done"
--          maker_km, maker_hours, maker_months   the maker's own interval where the plan states it beside its own

with of_class as (
    select v.vehicle_id, t.* exclude (file, line, class)
    from vehicles v
    join tasks t on t.class = v.class
    union all
    select v.vehicle_id, t.* exclude (file, line, class)
    from vehicles v
    join tasks t on t.class = '*'
    anti join tasks own on own.class = v.class and own.task = t.task
),

latest_expiries as (
    select vehicle_id, task, max(expires_on) as expires_on from expiries group by all
),

merged as (
    select
        vehicle_id, task,
        coalesce(x.title, c.title) as title,
        coalesce(x.distance_unit, c.distance_unit, 'km') as unit_of_own,
        coalesce(c.distance_unit, 'km') as unit_of_class,
        coalesce(to_km(x.every_distance, unit_of_own), to_km(c.every_distance, unit_of_class)) as every_km,
        coalesce(to_km(x.first_distance, unit_of_own), to_km(c.first_distance, unit_of_class)) as first_km,
        coalesce(to_km(x.severe_distance, unit_of_own), to_km(c.severe_distance, unit_of_class)) as severe_km,
        coalesce(x.every_hours, c.every_hours) as every_hours,
        coalesce(x.first_hours, c.first_hours) as first_hours,
        coalesce(x.severe_hours, c.severe_hours) as severe_hours,
        coalesce(x.every_months, c.every_months) as every_months,
        coalesce(x.first_months, c.first_months) as first_months,
        coalesce(x.severe_months, c.severe_months) as severe_months,
        coalesce(x.basis, c.basis, 'last_done') as basis,
        coalesce(x.every_year_on, c.every_year_on) as every_year_on,
        coalesce(x.after, c.after) as after,
        coalesce(x.covers, c.covers) as covers,
        coalesce(x.labour_hours, c.labour_hours) as labour_hours,
        coalesce(x.category, c.category) as category,
        coalesce(x.late_tolerance_pct, c.late_tolerance_pct, 10)::decimal(18, 7) as late_tolerance_pct,
        coalesce(x.source, c.source) as source,
        coalesce(x.caution, c.caution) as caution,
        coalesce(to_km(x.maker_distance, unit_of_own), to_km(c.maker_distance, unit_of_class)) as maker_km,
        coalesce(x.maker_hours, c.maker_hours) as maker_hours,
        coalesce(x.maker_months, c.maker_months) as maker_months,
        coalesce(x.major, c.major) as major,
        e.expires_on
    from of_class c
    full join vehicle_tasks x using (vehicle_id, task)
    full join latest_expiries e using (vehicle_id, task)
)

select
    m.vehicle_id, m.task, v.class, m.title,
    case when v.duty = 'severe' then coalesce(severe_km, every_km) else every_km end as every_km,
    case when v.duty = 'severe' then coalesce(severe_hours, every_hours) else every_hours end as every_hours,
    case when v.duty = 'severe' then coalesce(severe_months, every_months) else every_months end as every_months,
    v.duty = 'severe' and coalesce(severe_km::double, severe_hours::double, severe_months) is not null as severe_applies,
    first_km, first_hours, first_months,
    basis, every_year_on, after, covers, m.labour_hours, category, source, caution, major, late_tolerance_pct, expires_on,
    v.in_service_on,
    to_km(v.in_service_odometer, v.distance_unit) as in_service_km,
    v.in_service_hours,
    coalesce(r.records_from <= v.in_service_on, true) as is_recorded,
    maker_km, maker_hours, maker_months
from merged m
join vehicles v using (vehicle_id), run r
