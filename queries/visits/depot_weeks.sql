-- Each depot's weeks ahead: the visits and their hours against the hours there are. Beyond the weeks in which all work is
-- planned only what falls due by law or date has its place.
--
-- one row: depot, week_starts_on
-- reads:   visits, depot_hours, run
-- gives:   depot
--          iso_week
--          week_starts_on  Monday
--          is_full_plan    all work of the week is planned, not only what is dated
--          visits
--          tasks, law_tasks, late_tasks
--          labour_hours    h planned
--          hours_available h; of a week begun the share of its open days that is left; null: no limit set
--          visits_saved
--          saved, given_away   money

with weeks as (
    select (date_trunc('week', as_of)::date + 7 * n) as week_starts_on
    from run, (select unnest(generate_series(0, 53))::integer as n)
    where (date_trunc('week', as_of)::date + 7 * n) <= greatest(visits_until, dated_until)
),

open_days as (
    select w.week_starts_on, count(*) filter (w.week_starts_on + n.at >= as_of) / count(*)::decimal(9, 2) as share_left
    from weeks w, (select unnest([0, 1, 2, 3, 4, 5, 6]) as at,
        unnest(['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun']) as name) n, run
    where list_contains(open_weekdays, n.name)
    group by all
),

depots as (
    select distinct depot from visits
),

planned as (
    select depot, date_trunc('week', visit_on)::date as week_starts_on, count(*) as visits, sum(task_count) as tasks,
        sum(law_tasks) as law_tasks, sum(late_tasks) as late_tasks, sum(labour_hours) as labour_hours,
        sum(visits_saved) as visits_saved, sum(saved) as saved, sum(given_away) as given_away
    from visits
    group by all
),

spanned as (
    select d.depot, w.week_starts_on from depots d, weeks w
    union
    select depot, week_starts_on from planned
)

select s.depot, strftime(s.week_starts_on, '%G-W%V') as iso_week, s.week_starts_on,
    s.week_starts_on <= visits_until as is_full_plan,
    coalesce(p.visits, 0)::bigint as visits, coalesce(p.tasks, 0)::bigint as tasks,
    coalesce(p.law_tasks, 0)::bigint as law_tasks, coalesce(p.late_tasks, 0)::bigint as late_tasks,
    coalesce(p.labour_hours, 0)::decimal(18, 2) as labour_hours,
    (h.hours_per_week * coalesce(o.share_left, 1))::decimal(18, 2) as hours_available,
    coalesce(p.visits_saved, 0)::bigint as visits_saved,
    coalesce(p.saved, 0)::decimal(18, 2) as saved, coalesce(p.given_away, 0)::decimal(18, 2) as given_away
from spanned s
left join planned p using (depot, week_starts_on)
left join open_days o using (week_starts_on)
left join depot_hours h using (depot), run
order by s.depot, s.week_starts_on
