-- Work that is past its tolerance and still open, by class and depot: a miss of the as-of date's month.
--
-- one row: class, depot
-- reads:   due_state, task_plan, vehicles, run
-- gives:   class
--          depot     blank where vehicles have none
--          month     YYYY-MM of the as-of date
--          not_done

select p.class, coalesce(v.depot, '') as depot, strftime(as_of, '%Y-%m') as month, count(*) as not_done
from due_state s
join task_plan p using (vehicle_id, task)
join vehicles v using (vehicle_id), run
-- An expiry date has no interval to be late by, and no grace.
where s.status = 'overdue' and coalesce(s.late_by_pct > p.late_tolerance_pct, true)
group by all
