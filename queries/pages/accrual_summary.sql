-- What is used up but not yet paid, by cost centre, category and treatment.
--
-- one row: cost_centre, category, treatment
-- reads:   accrual
-- gives:   cost_centre, category   '' where none is given
--          treatment   routine | major
--          tasks
--          cost        money of one doing of each
--          accrued     money

select cost_centre, category, treatment, count(*) as tasks, sum(cost)::decimal(18, 4) as cost,
    sum(accrued)::decimal(18, 4) as accrued
from accrual
group by all
order by cost_centre, category, treatment
