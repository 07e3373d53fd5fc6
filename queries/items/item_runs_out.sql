-- The day on which each item runs out if nothing is bought, by expected use.
--
-- one row: item
-- reads:   use_by_day, stock_now, items
-- gives:   item
--          runs_out_on   first day whose use passes what is on hand and on order

select u.item, min(u.day) as runs_out_on
from use_by_day u
join stock_now s using (item)
join items i using (item)
where u.used > s.on_hand + i.on_order
group by all
