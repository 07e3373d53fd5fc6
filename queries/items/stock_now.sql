-- What is on the shelf of each item: the latest count on or before the as-of date, less what history used after that day.
--
-- A count is of the end of its day. The stock list's own figure is such a count where it says when it was counted; without a day
-- (or with a later one) it stands for the as-of date. Of two counts of one day the stock take's stands. What was put on the shelf since
-- is not known: a delivery is booked by a new count.
--
-- one row: item
-- reads:   items, stock_takes, worded_lines, run
-- gives:   item
--          on_hand      in the item's unit; never below 0
--          counted_on   day of the count; null: the stock list as it is
--          counted      in the item's unit
--          used_since   what history used after it
--          is_overdrawn history used more than was counted: count again

with counts as (
    select item, counted_on, counted, 1 as turn from stock_takes, run where counted_on <= as_of
    union all
    select item, counted_on, on_hand, 2 from items, run where counted_on <= as_of
),

latest as (
    select item, counted_on, counted
    from counts
    qualify row_number() over (partition by item order by counted_on desc, turn) = 1
),

used as (
    select h.item, sum(coalesce(h.quantity, 1)) as amount
    from worded_lines h
    join latest l on l.item = h.item and h.done_on > l.counted_on, run
    where h.done_on <= as_of
    group by all
)

select i.item, greatest(0, coalesce(l.counted, i.on_hand) - coalesce(u.amount, 0))::decimal(18, 3) as on_hand, l.counted_on,
    coalesce(l.counted, i.on_hand)::decimal(18, 3) as counted, coalesce(u.amount, 0)::decimal(18, 3) as used_since,
    coalesce(l.counted, i.on_hand) < coalesce(u.amount, 0) as is_overdrawn
from items i
left join latest l using (item)
left join used u using (item)
