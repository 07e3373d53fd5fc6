-- Each piece of work with the visit it is put on: how early or late that is, what is given away, its turn in the work.
--
-- Working order: look before anything is taken apart, drain while the oil is warm, then the rest, follow-ups last; of two
-- the one with the shorter interval first, whose window closes sooner.
--
-- one row: vehicle_id, task, occurrence_no
-- reads:   visit_jobs, visit_days, task_plan, covered_work, occurrence_items, items, run
-- gives:   vehicle_id, task, occurrence_no
--          depot          blank where the vehicle has none
--          visit_on       day; null: no place found in the weeks planned
--          iso_week       of the visit
--          turn           1 is the first of the visit
--          title          the task's name for people
--          due_on         day
--          weight         law | follow_up | overdue | other
--          days_early     days before its due day; 0: none; null: no visit
--          days_late      days after it; null: no visit
--          given_away_pct per cent of its interval given away by coming early; null: no visit, or no interval
--          given_away     money: that share of what the work costs; null: no visit, or no interval
--          done_with      a task of the same visit that covers this one: what both take is taken once
--          labour_hours   h; null: not set in the plan
--          done_with_title   what people call the task of done_with

with put as (
    select * from visit_jobs join visit_days using (vehicle_id, task, occurrence_no)
),

covered as (
    select s.vehicle_id, s.task, s.occurrence_no, min(b.task) as done_with
    from put s
    join put b on b.vehicle_id = s.vehicle_id and b.visit_on = s.visit_on and b.task <> s.task
    join covered_work c on c.vehicle_id = b.vehicle_id and c.task = b.task and c.covered = s.task
    group by all
),

drained as (
    select distinct o.vehicle_id, o.task
    from occurrence_items o
    join items i using (item)
    where litres(1, i.unit) is not null
)

select p.vehicle_id, p.task, p.occurrence_no, p.depot, p.visit_on, strftime(p.visit_on, '%G-W%V') as iso_week,
    row_number() over (
        partition by p.vehicle_id, p.visit_on
        order by case when t.after is not null then 4 when d.task is not null then 2
            when t.category = 'inspection' then 1 else 3 end, p.interval_days, p.task, p.occurrence_no
    ) as turn,
    shown_title(t.title, p.task) as title, p.due_on, p.weight,
    -- `greatest` looks past a null, so that work without a visit would seem to come in on the as-of date.
    case when p.visit_on is not null then greatest(p.due_on - p.visit_on, 0) end::integer as days_early,
    case when p.visit_on is not null then greatest(p.visit_on - p.due_on, 0) end::integer as days_late,
    round(100 * days_early / p.interval_days, 1)::decimal(9, 1) as given_away_pct,
    round(p.cost * days_early / p.interval_days, 2)::decimal(18, 2) as given_away,
    c.done_with, p.labour_hours::decimal(18, 2) as labour_hours,
    case when c.done_with is not null then shown_title(w.title, c.done_with) end as done_with_title
from put p
join task_plan t using (vehicle_id, task)
left join covered c using (vehicle_id, task, occurrence_no)
left join task_plan w on w.vehicle_id = p.vehicle_id and w.task = c.done_with
left join drained d on d.vehicle_id = p.vehicle_id and d.task = p.task, run
order by p.visit_on, p.vehicle_id, turn
