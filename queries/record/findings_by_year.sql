-- The findings of each task over time: counted by code for each class and duty, year by year.
--
-- one row: class, duty, task, year
-- reads:   findings, vehicles, task_plan
-- gives:   class, duty, task, title
--          year       in which the job was done
--          findings   with one of our codes
--          clean, serviceable, soiled, contaminated, failed

select f.class, v.duty, f.task, shown_title(min(p.title), f.task) as title, year(f.done_on) as year, count(*) as findings,
    count(*) filter (condition = 'clean') as clean, count(*) filter (condition = 'serviceable') as serviceable,
    count(*) filter (condition = 'soiled') as soiled, count(*) filter (condition = 'contaminated') as contaminated,
    count(*) filter (condition = 'failed') as failed
from findings f
join vehicles v using (vehicle_id)
left join task_plan p using (vehicle_id, task)
where f.condition is not null and f.task is not null
group by f.class, v.duty, f.task, year(f.done_on)
order by f.class, v.duty, f.task, year
