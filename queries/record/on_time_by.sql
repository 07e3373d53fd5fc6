-- On time by class, depot and month, under two stated rules beside each other, with the target of 80 per cent.
--
-- Late only: no trigger passed by more than the task's tolerance (the rule of on_time). Two-sided: besides, not done so early that no
-- trigger was within 10 per cent of its interval. The denominator is every piece of work that was due: what was done counts once,
-- in the month it was done; what is past its tolerance and still not done counts as a miss in the as-of date's month. What
-- is not yet due, and what cannot be judged, is left out of both.
--
-- one row: class, depot, month
-- reads:   service_timing, missed_now
-- gives:   class
--          depot          blank where vehicles have none
--          month          YYYY-MM
--          done           services done in the month that could be judged
--          not_done       past their tolerance and open
--          in_time        of those done, in time by the late-only rule
--          in_window      of those done, in time by the two-sided rule
--          late_only_pct, two_sided_pct   of done and not done
--          late_only_met, two_sided_met   at least 80 per cent

with counted as (
    select class, depot, month, count(*) as done, 0::bigint as not_done, count(*) filter (not is_late) as in_time,
        count(*) filter (not is_late and not is_early) as in_window
    from service_timing
    group by all
    union all
    select class, depot, month, 0, not_done, 0, 0
    from missed_now
),

summed as (
    select class, depot, month, sum(done)::bigint as done, sum(not_done)::bigint as not_done,
        sum(in_time)::bigint as in_time, sum(in_window)::bigint as in_window
    from counted
    group by all
)

select *, round(100.0 * in_time / (done + not_done), 1)::decimal(4, 1) as late_only_pct,
    round(100.0 * in_window / (done + not_done), 1)::decimal(4, 1) as two_sided_pct,
    100 * in_time >= 80 * (done + not_done) as late_only_met, 100 * in_window >= 80 * (done + not_done) as two_sided_met
from summed
order by class, depot, month
