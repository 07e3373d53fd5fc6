-- Fluid used from one known level to the next: what was topped up between them, and what a dip found gone. A level is known by a
-- dip (`below_mark` of a history line, before draining or topping up) or by a fill, after which it stands at the mark.
--
-- Used = topped up + below the mark at the dip - below it at the level before. What a service drains and fills is in no sum. A dip
-- with no level known before it only begins a stretch. Below 0 means a dip, or a top-up, was written down wrong.
--
-- one row: vehicle_id, item, dipped_on
-- per:     vehicle
-- reads:   worded_lines, items, vehicles, meter_days, run
-- gives:   vehicle_id, class, depot
--          item, title, unit
--          from_on        day of the level before
--          is_from_fill   that was a fill
--          dipped_on
--          topped_up      between them, in unit
--          below_before, below_mark   in unit
--          used           in unit
--          run            distance in km or hours run; null: not known
--          per            1000 km | 100 h; null: not known
--          used_per       used per 1,000 km or 100 h; null: not known
--          use_limit      the handbook's; null: not given

with levels as (
    -- Of two dips of one day the first is not known; the lower level stands.
    select h.vehicle_id, h.item, h.done_on as day, 1 as turn, max(h.below_mark) as below
    from worded_lines h, run
    where h.below_mark is not null and h.item is not null and h.done_on <= as_of
    group by all
    union all
    select distinct h.vehicle_id, h.item, h.done_on, 2, 0
    from worded_lines h, run
    where h.kind in ('scheduled', 'repair') and h.item is not null and h.quantity > 0 and h.done_on <= as_of
),

in_turn as (
    select *, lag(day) over one as from_on, lag(turn) over one = 2 as is_from_fill, lag(below) over one as below_before
    from levels
    window one as (partition by vehicle_id, item order by day, turn)
),

stretches as (
    select vehicle_id, item, from_on, is_from_fill, day as dipped_on, below_before, below
    from in_turn
    where turn = 1 and from_on is not null
),

topped as (
    select s.vehicle_id, s.item, s.dipped_on, sum(h.quantity) as topped_up
    from stretches s
    -- On the day of a dip the top-up comes after it, on the day of a fill it is part of the fill.
    join worded_lines h on h.vehicle_id = s.vehicle_id and h.item = s.item and h.kind = 'top_up' and h.quantity > 0
        and h.done_on < s.dipped_on and (h.done_on > s.from_on or h.done_on = s.from_on and not s.is_from_fill)
    group by all
),

days as (
    select vehicle_id, from_on as day from stretches
    union
    select vehicle_id, dipped_on from stretches
),

stood as (
    select d.vehicle_id, m.meter, d.day,
        m.high + coalesce((m.next_low - m.high) * (d.day - m.read_on) / (m.next_on - m.read_on)::double, 0) as value
    from (select days.*, k.meter from days, (select unnest(['odometer', 'hours']) as meter) k) d
    -- Few vehicles are dipped: the days of the others are not to be sorted.
    asof join (select m.* from meter_days m semi join stretches s on s.vehicle_id = m.vehicle_id) m
        on m.vehicle_id = d.vehicle_id and m.meter = d.meter and d.day >= m.read_on
),

ran as (
    select s.vehicle_id, s.item, s.dipped_on, b.meter, b.value - a.value as run
    from stretches s
    join stood a on a.vehicle_id = s.vehicle_id and a.day = s.from_on
    join stood b on b.vehicle_id = s.vehicle_id and b.day = s.dipped_on and b.meter = a.meter
    where b.value > a.value
    qualify row_number() over (partition by s.vehicle_id, s.item, s.dipped_on order by b.meter = 'hours') = 1
)

select s.vehicle_id, v.class, coalesce(v.depot, '') as depot, s.item, coalesce(i.title, s.item) as title, i.unit,
    s.from_on, s.is_from_fill, s.dipped_on, coalesce(t.topped_up, 0)::decimal(18, 2) as topped_up,
    s.below_before::decimal(18, 2) as below_before, s.below::decimal(18, 2) as below_mark,
    (coalesce(t.topped_up, 0) + s.below - s.below_before)::decimal(18, 2) as used, r.run::decimal(18, 1) as run,
    case r.meter when 'hours' then '100 h' when 'odometer' then '1000 km' end as per,
    round((coalesce(t.topped_up, 0) + s.below - s.below_before)::double
        * case r.meter when 'hours' then 100 else 1000 end / r.run, 3)::decimal(18, 3) as used_per,
    case r.meter when 'hours' then i.limit_per_100_h when 'odometer' then i.limit_per_1000_km end as use_limit
from stretches s
join vehicles v using (vehicle_id)
join items i using (item)
left join topped t using (vehicle_id, item, dipped_on)
left join ran r using (vehicle_id, item, dipped_on)
order by s.vehicle_id, s.item, s.dipped_on
