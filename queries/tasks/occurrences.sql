-- Each time a task comes up as far as the plan looks ahead: the first where it is due (today if that is past), each next one as
-- if the one before had been done on its day, by the task's own rule. An expiry date after it comes up on its own, once. All vehicles at
-- once, one round for each time.
--
-- one row: vehicle_id, task, occurrence_no
-- per:     vehicle
-- reads:   due_state, due_marks, services_in_order, task_plan, meter_now, run
-- gives:   vehicle_id, task
--          occurrence_no   1 is the first
--          on_day          day, from the as-of date to plan_until

with recursive plan as (
    select p.vehicle_id, p.task, p.basis, p.every_km, p.every_hours, p.every_months, p.every_year_on,
        p.late_tolerance_pct as tolerance, p.in_service_on,
        o.now as km_now, o.rate as km_a_day, o.last_on as km_read_on,
        h.now as hours_now, h.rate as hours_a_day, h.last_on as hours_read_on, as_of, plan_until
    from task_plan p
    left join meter_now o on o.vehicle_id = p.vehicle_id and o.meter = 'odometer'
    left join meter_now h on h.vehicle_id = p.vehicle_id and h.meter = 'hours', run
),

comings as (
    select s.vehicle_id, s.task, 1::bigint as occurrence_no, greatest(s.due_on, as_of) as on_day,
        m.due_km, m.interval_km, m.due_hours, m.interval_hours, m.due_month_on, m.from_on, m.expires_on,
        p.after is null as repeats
    from due_state s
    join task_plan p using (vehicle_id, task)
    join services_in_order d on d.vehicle_id = s.vehicle_id and d.task = s.task and d.done_on is null
    join due_marks m on m.vehicle_id = s.vehicle_id and m.task = s.task and m.service_no = d.service_no, run
    where s.due_on <= plan_until
    union all
    (
        with reached as (
            select c.*, p.*,
                (p.km_now + p.km_a_day::decimal(28, 7) * (c.on_day - p.as_of))::decimal(18, 7) as km,
                (p.hours_now + p.hours_a_day::decimal(28, 7) * (c.on_day - p.as_of))::decimal(18, 7) as hours
            from comings c
            join plan p using (vehicle_id, task)
            where c.repeats
        ),

        counted as (
            select *,
                case basis
                    when 'fixed' then step_at(nearest_step(km, every_km) + 1, every_km)
                    when 'anchored' then
                        case when within_tolerance(km - due_km, tolerance, interval_km) then due_km else km end + every_km
                    else km + every_km
                end::decimal(18, 7) as next_km,
                case basis
                    when 'fixed' then step_at(nearest_step(hours, every_hours) + 1, every_hours)
                    when 'anchored' then
                        case when within_tolerance(hours - due_hours, tolerance, interval_hours) then due_hours else hours end
                        + every_hours
                    else hours + every_hours
                end::decimal(18, 7) as next_hours,
                case basis
                    when 'fixed' then add_months(in_service_on,
                        nearest_month_step(in_service_on, every_months, on_day) * every_months)
                    when 'anchored' then case
                        when within_tolerance(on_day - due_month_on, tolerance, due_month_on - from_on) then due_month_on
                        else on_day end
                    else on_day
                end as next_from_on,
                case basis
                    when 'fixed' then add_months(in_service_on,
                        (nearest_month_step(in_service_on, every_months, on_day) + 1) * every_months)
                    else add_months(next_from_on, every_months)
                end as next_month_on
            from reached
        ),

        dated as (
            select *, least(
                meter_date(as_of, next_km - km_now, km_a_day, km_read_on),
                meter_date(as_of, next_hours - hours_now, hours_a_day, hours_read_on),
                next_month_on,
                case when every_year_on is not null then year_day_after(on_day, every_year_on) end,
                case when expires_on > on_day then expires_on end
            ) as comes_on
            from counted
        )

        select vehicle_id, task, occurrence_no + 1, greatest(on_day + 1, comes_on), next_km, every_km, next_hours,
            every_hours, next_month_on, next_from_on, expires_on, true
        from dated
        where comes_on is not null and greatest(on_day + 1, comes_on) <= plan_until
    )
)

select vehicle_id, task, occurrence_no, on_day from comings
