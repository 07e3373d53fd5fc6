-- Fluid that each vehicle used between services, from top-ups and dips: the last year's, and the half-years of it beside each other.
-- What a service drains and fills again is never counted.
--
-- Counted is what was topped up, and what each dip found gone beside that (fluid_stretches), on the day of the dip. A vehicle without
-- either on record has no row: no record is not no use.
--
-- one row: vehicle_id, item
-- per:     vehicle
-- reads:   worded_lines, fluid_stretches, items, vehicles, kept_readings, run
-- gives:   vehicle_id, class, depot
--          item, title, unit
--          per            1000 km | 100 h
--          top_ups        in the year to the as-of date
--          dips           of a level that could be set against one before it
--          quantity       used, in unit
--          run            distance in km or hours run by the believable readings of that year
--          used           quantity per 1,000 km or 100 h; null: the meter was not read far enough apart
--          used_before, used_lately   the same for the first and the second half of the year
--          trend          rising | falling: by more than a quarter up or a fifth down, and more than chance makes of it one time in 20
--                         (normal limit of a compound Poisson sum, whose variance is the sum of the squares); steady: neither;
--                         null: too few (fewer than 3 top-ups and dips in either half)
--          last_dipped_on, last_used   the latest dip of the year that ends a stretch of 1,000 km or 100 h or more (over less, a dip is
--                         too coarse), and use over that stretch
--          use_limit      the handbook's; null: not given
--          over_limit     used, or last_used, is more than it allows

with read as (
    select k.vehicle_id, k.meter, k.value, k.read_on as day
    from kept_readings k, run
    where k.read_on between as_of - 365 and as_of
),

halves as (
    select vehicle_id, meter, max(value) - min(value) as run,
        max(value) filter (day <= as_of - 182) - min(value) filter (day <= as_of - 182) as run_before,
        max(value) - coalesce(max(value) filter (day <= as_of - 182), min(value)) as run_lately,
        min(day) as first_day
    from read, run
    group by all
),

-- By distance where the vehicle drives, else by hours.
measured as (
    select * from halves
    where run > 0
    qualify row_number() over (partition by vehicle_id order by meter = 'hours') = 1
),

gone as (
    select vehicle_id, item, done_on as day, false as is_dip, quantity
    from worded_lines
    where kind = 'top_up' and item is not null and quantity > 0
    union all
    select vehicle_id, item, dipped_on, true, below_mark - below_before
    from fluid_stretches
),

summed as (
    select g.vehicle_id, g.item, m.meter, m.run, m.run_before, m.run_lately, count(*) filter (not is_dip) as top_ups,
        count(*) filter (is_dip) as dips, sum(g.quantity) as quantity,
        count(*) filter (g.day <= as_of - 182) as times_before,
        coalesce(sum(g.quantity) filter (g.day <= as_of - 182), 0) as quantity_before,
        coalesce(sum((g.quantity * g.quantity)::decimal(28, 4)) filter (g.day <= as_of - 182), 0) as squares_before,
        coalesce(sum((g.quantity * g.quantity)::decimal(28, 4)) filter (g.day > as_of - 182), 0) as squares_lately,
        count(*) filter (g.day > as_of - 182) as times_lately,
        coalesce(sum(g.quantity) filter (g.day > as_of - 182), 0) as quantity_lately
    from gone g
    join measured m on m.vehicle_id = g.vehicle_id, run
    where g.day between greatest(m.first_day, as_of - 365) and as_of
    group by all
),

last_dip as (
    select vehicle_id, item, per, dipped_on as last_dipped_on, used_per as last_used
    from fluid_stretches, run
    where dipped_on >= as_of - 365 and run >= case per when '100 h' then 100 else 1000 end
    qualify row_number() over (partition by vehicle_id, item, per order by dipped_on desc) = 1
),

rated as (
    select t.*, v.class, coalesce(v.depot, '') as depot, coalesce(i.title, item) as title, i.unit,
        case t.meter when 'hours' then '100 h' else '1000 km' end as per,
        case t.meter when 'hours' then 100 else 1000 end as each,
        round(quantity * each / t.run::double, 3) as used,
        round(quantity_before * each / nullif(run_before, 0)::double, 3) as used_before,
        round(quantity_lately * each / nullif(run_lately, 0)::double, 3) as used_lately,
        1.645 * each * sqrt(squares_before::double / nullif(run_before, 0)::double ^ 2
            + squares_lately::double / nullif(run_lately, 0)::double ^ 2) as chance,
        case t.meter when 'hours' then i.limit_per_100_h else i.limit_per_1000_km end as use_limit
    from summed t
    join vehicles v using (vehicle_id)
    join items i using (item)
)

select vehicle_id, class, depot, item, title, unit, per, top_ups, dips, quantity::decimal(18, 2) as quantity,
    run::decimal(18, 1) as run, used, used_before, used_lately,
    case when least(times_before, times_lately) < 3 or used_before is null or used_lately is null then null
        when used_lately > greatest(1.25 * used_before, used_before + chance) then 'rising'
        when used_lately < least(0.8 * used_before, used_before - chance) then 'falling'
        else 'steady' end as trend,
    last_dipped_on, last_used, use_limit, coalesce(used > use_limit, false) or coalesce(last_used > use_limit, false)
        as over_limit
from rated
left join last_dip using (vehicle_id, item, per)
