-- Use that no plan foresees, in periods of 28 days counted back from the as-of date to where the records begin, empty ones too.
--
-- Records begin with the first line of history, but not before `records_from`. Only items that were so used have rows.
--
-- one row: item, period_no
-- reads:   unplanned_lines, history, run
-- gives:   item
--          period_no   1 is the latest
--          amount      in the item's unit; what was put back never makes it negative

with bounds as (
    select as_of, greatest(1, (as_of - greatest(min(done_on), coalesce(any_value(records_from), min(done_on)))) // 28)::bigint as periods
    from history, run
    where done_on <= as_of
    group by as_of
),

used as (
    select item, (as_of - done_on) // 28 + 1 as period_no, sum(quantity) as amount
    from unplanned_lines, bounds
    where (as_of - done_on) // 28 < periods
    group by all
)

select i.item, p.period_no, greatest(0, coalesce(u.amount, 0))::decimal(18, 7) as amount
from (select distinct item from used) i
cross join (select unnest(range(1, periods + 1)) as period_no from bounds) p
left join used u on u.item = i.item and u.period_no = p.period_no
