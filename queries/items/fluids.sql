-- Each fluid whose needs are written down: what a year takes of it. Fluids of which nothing is used are left out.
--
-- one row: item
-- reads:   items, use_by_day, run
-- gives:   item, title
--          needs           as written
--          litres_a_year   by the plan as far as it looks ahead, carried to 365.25 days

select i.item, i.title, i.needs,
    litres((u.used * 365.25::double / (plan_until - as_of))::decimal(18, 7), i.unit)::decimal(18, 1) as litres_a_year
from items i, run
join use_by_day u on u.item = i.item and u.day = plan_until
where i.needs is not null and litres(1, i.unit) is not null and u.used > 0 and plan_until > as_of
