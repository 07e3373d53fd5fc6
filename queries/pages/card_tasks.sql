-- The work on each job card, in working order.
--
-- one row: vehicle_id, visit_on, turn
-- reads:   visit_tasks, card_visits, task_plan, occurrence_items, items
-- gives:   vehicle_id, visit_on, turn
--          task, title
--          occurrence_no
--          due_on, days_early, days_late
--          weight      law | follow_up | overdue | other
--          source      maker | law | contract | own; null: not said
--          done_with_title   what people call the task of this visit that covers it; null: none
--          labour_hours
--          caution
--          drains      a fluid is drained
--          leaves_open titles of the follow-ups that this work asks for, '; ' between

with followed_by as (
    select vehicle_id, after as task, string_agg(shown_title(title, task), '; ' order by task) as leaves_open
    from task_plan
    where after is not null
    group by all
),

drained as (
    select distinct o.vehicle_id, o.task, o.occurrence_no
    from occurrence_items o
    join items i using (item)
    where litres(1, i.unit) is not null
)

select t.vehicle_id, t.visit_on, t.turn, t.task, t.title, t.occurrence_no, t.due_on, t.days_early, t.days_late, t.weight,
    p.source, t.done_with_title, t.labour_hours, p.caution, d.task is not null as drains, f.leaves_open
from visit_tasks t
semi join card_visits v on v.vehicle_id = t.vehicle_id and v.visit_on = t.visit_on
join task_plan p on p.vehicle_id = t.vehicle_id and p.task = t.task
left join drained d on d.vehicle_id = t.vehicle_id and d.task = t.task and d.occurrence_no = t.occurrence_no
left join followed_by f on f.vehicle_id = t.vehicle_id and f.task = t.task
