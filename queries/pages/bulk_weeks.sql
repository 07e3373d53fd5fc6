-- Litres of each fluid by ISO week up to the horizon, planned and unplanned.
--
-- one row: item, iso_week
-- reads:   use_by_day, items, run
-- gives:   item, title
--          kind       as the stock list has it
--          iso_week   2026-W48
--          from_day, to_day   the part of the week that is counted
--          litres     expected
--          planned    of it, dated work

with by_day as (
    select u.item, u.day, u.planned, u.used - coalesce(lag(u.used) over (partition by u.item order by u.day), 0) as used
    from use_by_day u
)

select i.item, coalesce(i.title, i.item) as title, i.kind, strftime(d.day, '%G-W%V') as iso_week, min(d.day) as from_day,
    max(d.day) as to_day, litres(sum(d.used), i.unit)::decimal(18, 1) as litres,
    litres(sum(d.planned), i.unit)::decimal(18, 1) as planned
from by_day d
join items i using (item), run
where d.day <= horizon_until and litres(1, i.unit) is not null
group by i.item, i.title, i.kind, i.unit, iso_week
