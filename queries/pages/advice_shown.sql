-- What the findings say of an interval, where they say something: the counts, the interval estimates, the proposal.
--
-- one row: scope, name, duty, task
-- reads:   interval_advice, finding_counts
-- gives:   scope, name, duty, task, title
--          advice
--          findings, soiled_or_worse, bad    counts; bad: contaminated or failed
--          soiled_low, soiled_high, bad_low, bad_high   shares, 95 % interval by Clopper and Pearson
--          every_distance, every_hours, every_months    in force
--          proposed_distance, proposed_hours, proposed_months
--          distance_unit

select scope, name, duty, task, c.title, a.advice, c.findings, c.soiled + c.contaminated + c.failed as soiled_or_worse,
    c.contaminated + c.failed as bad, a.soiled_low, a.soiled_high, a.bad_low, a.bad_high,
    c.every_distance, c.every_hours, c.every_months, a.proposed_distance, a.proposed_hours, a.proposed_months,
    c.distance_unit
from interval_advice a
join finding_counts c using (scope, name, duty, task)
where a.advice in ('longer', 'shorter', 'beyond maker''s limit')
order by a.advice desc, scope, name, task
