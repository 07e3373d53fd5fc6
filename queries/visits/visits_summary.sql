-- What the plan of visits saves and gives away in all, and what found no place in it.
--
-- one row: -
-- reads:   visits, visit_tasks
-- gives:   visits
--          visits_saved
--          saved, given_away   money
--          unplaced            pieces of work for which no hours or days were found

with summed as (
    select count(*) as visits, coalesce(sum(visits_saved), 0)::bigint as visits_saved,
        coalesce(sum(saved), 0)::decimal(18, 2) as saved, coalesce(sum(given_away), 0)::decimal(18, 2) as given_away
    from visits
),

left_over as (
    select count(*) as unplaced from visit_tasks where visit_on is null
)

select visits, visits_saved, saved, given_away, unplaced from summed, left_over
