-- What comes back from planned work, by waste stream and ISO week, up to the horizon. What is topped up is used up and does not come
-- back; a piece that a repair replaces does.
--
-- one row: stream, unit, iso_week
-- reads:   use_by_day, items, unplanned_forecast, run
-- gives:   stream     as the stock list names it
--          unit       L | the item's unit
--          iso_week   2026-W48
--          amount     expected, in the unit

select trim(i.used_becomes) as stream, case when litres(1, i.unit) is null then lower(trim(i.unit)) else 'L' end as unit,
    strftime(u.day, '%G-W%V') as iso_week,
    sum(coalesce(litres(u.planned, i.unit), u.planned)
        + case when is_measured(i.unit) then 0 else coalesce((f.per_period / 28)::decimal(18, 7), 0) end)::decimal(18, 1) as amount
from use_by_day u
join items i using (item)
left join unplanned_forecast f using (item), run
where trim(i.used_becomes) <> '' and u.day <= horizon_until
group by all
