-- What the plan of visits saves and gives away in all, how far it may be from the best, and what found no place in it.
--
-- one row: -
-- reads:   visits, visit_tasks, visit_plans
-- gives:   visits
--          visits_saved
--          saved, given_away   money
--          plan_gap_pct        how far the plans of all depots may lie above the least possible cost, per cent; null: no plan
--          unplaced            pieces of work for which no hours or days were found

with summed as (
    select count(*) as visits, coalesce(sum(visits_saved), 0)::bigint as visits_saved,
        coalesce(sum(saved), 0)::decimal(18, 2) as saved, coalesce(sum(given_away), 0)::decimal(18, 2) as given_away
    from visits
),

plans as (
    select round(100 * greatest(0, fsum(cost_in_visits - bound_in_visits)) / nullif(fsum(cost_in_visits), 0), 2)::decimal(9, 2)
        as plan_gap_pct
    from visit_plans
),

left_over as (
    select count(*) as unplaced from visit_tasks where visit_on is null
)

select visits, visits_saved, saved, given_away, plan_gap_pct, unplaced from summed, plans, left_over
