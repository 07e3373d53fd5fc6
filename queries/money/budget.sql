-- Budget against what was paid and what is forecast, for the financial year of the as-of date: to date and for the whole year.
--
-- The variance to date splits into four parts that add up to it: volume (more or less was run than in the same days a year before, at the
-- budget's cost of it), price (planned work whose items or hours were paid above or below the fleet's own prices as the year began),
-- unplanned work (repairs beyond the share of the budget that they took in the year before), and timing, which is the rest: planned work
-- done earlier, later, more or less than the budget, spread evenly over the days, has it.
--
-- one row: cost_centre
-- reads:   vehicles, observed_use, use_on_days, paid_lines, price_gaps, forecast_totals, run
-- gives:   cost_centre      '' where none is given
--          financial_year
--          year_until       its last day
--          budget_year, budget_to_date   money; null: no vehicle of it has a budget
--          planned_to_date, unplanned_to_date, paid_to_date   money
--          variance_to_date   paid less budget; above 0: more than budgeted
--          volume, price, unplanned_work, timing   its parts
--          forecast_rest    money of the months of the forecast that lie in the year
--          outcome, outcome_p10, outcome_p90   paid to date and what is forecast
--          variance_year    outcome less budget
--          is_whole         the forecast reaches the end of the year
--          currency

with years as (
    select *, year_from(as_of, financial_year_starts) as from_on,
        (year_from(as_of, financial_year_starts) + to_months(12))::date - 1 as until_on,
        year_name(as_of, financial_year_starts) as name
    from run
),

shares as (
    select v.class, sum(p.amount) filter (p.why = 'unplanned') / nullif(sum(p.amount), 0) as unplanned_share
    from paid_lines p
    join vehicles v using (vehicle_id), years
    where p.done_on >= from_on - 365 and p.done_on < from_on
    group by all
),

uses as (
    select o.vehicle_id, case when o.measure <> 'days' and o.from_on <= y.from_on - 365 and b.value > a.value
        then (d.value - c.value)::double / (b.value - a.value)::double else 1 end as volume_ratio
    from observed_use o
    cross join years y
    left join use_on_days a on a.vehicle_id = o.vehicle_id and a.meter = o.measure and a.on_day = y.from_on - 365
    left join use_on_days b on b.vehicle_id = o.vehicle_id and b.meter = o.measure and b.on_day = y.as_of - 365
    left join use_on_days c on c.vehicle_id = o.vehicle_id and c.meter = o.measure and c.on_day = y.from_on
    left join use_on_days d on d.vehicle_id = o.vehicle_id and d.meter = o.measure and d.on_day = y.as_of
),

budgets as (
    select coalesce(v.cost_centre, '') as cost_centre, v.budget_per_year as of_year,
        v.budget_per_year::double * (as_of - from_on + 1) / (until_on - from_on + 1) as to_date,
        to_date * coalesce(u.volume_ratio, 1) as flexed,
        flexed * coalesce(s.unplanned_share::double, 0) as allowance
    from vehicles v
    cross join years
    left join uses u using (vehicle_id)
    left join shares s on s.class = v.class
    where v.budget_per_year is not null and (v.retired_on is null or v.retired_on > from_on)
),

budgeted as (
    select cost_centre, to_minor(sum(of_year), money_digits) as budget_year,
        to_minor(fsum(to_date order by to_date), money_digits) as budget_to_date,
        to_minor(fsum(flexed - to_date order by flexed, to_date), money_digits) as volume,
        to_minor(fsum(allowance order by allowance), money_digits) as allowance
    from budgets, run
    group by cost_centre, money_digits
),

paid as (
    select cost_centre, to_minor(sum(amount) filter (why = 'planned'), money_digits) as planned_to_date,
        to_minor(sum(amount) filter (why = 'unplanned'), money_digits) as unplanned_to_date
    from paid_lines, years
    where done_on >= from_on
    group by cost_centre, money_digits
),

prices as (
    select cost_centre, to_minor(sum(paid - standard), money_digits) as price
    from price_gaps, years
    where done_on >= from_on
    group by cost_centre, money_digits
),

ahead as (
    select t.cost_centre, t.total, t.p10, t.p90
    from forecast_totals t, years
    where t.level = 'cost centre and year' and t.financial_year = name
),

centres as (
    select cost_centre from budgeted union select cost_centre from paid union select cost_centre from ahead
)

select cost_centre, name as financial_year, until_on as year_until, b.budget_year, b.budget_to_date,
    coalesce(p.planned_to_date, 0)::decimal(18, 4) as planned_to_date,
    coalesce(p.unplanned_to_date, 0)::decimal(18, 4) as unplanned_to_date,
    (coalesce(p.planned_to_date, 0) + coalesce(p.unplanned_to_date, 0))::decimal(18, 4) as paid_to_date,
    (coalesce(p.planned_to_date, 0) + coalesce(p.unplanned_to_date, 0) - b.budget_to_date)::decimal(18, 4) as variance_to_date,
    b.volume,
    case when b.budget_year is not null then coalesce(g.price, 0) end::decimal(18, 4) as price,
    (coalesce(p.unplanned_to_date, 0) - b.allowance)::decimal(18, 4) as unplanned_work,
    (coalesce(p.planned_to_date, 0) - b.budget_to_date - b.volume - coalesce(g.price, 0) + b.allowance)::decimal(18, 4) as timing,
    coalesce(a.total, 0)::decimal(18, 4) as forecast_rest,
    (coalesce(p.planned_to_date, 0) + coalesce(p.unplanned_to_date, 0) + coalesce(a.total, 0))::decimal(18, 4) as outcome,
    (coalesce(p.planned_to_date, 0) + coalesce(p.unplanned_to_date, 0) + coalesce(a.p10, 0))::decimal(18, 4) as outcome_p10,
    (coalesce(p.planned_to_date, 0) + coalesce(p.unplanned_to_date, 0) + coalesce(a.p90, 0))::decimal(18, 4) as outcome_p90,
    (coalesce(p.planned_to_date, 0) + coalesce(p.unplanned_to_date, 0) + coalesce(a.total, 0) - b.budget_year)::decimal(18, 4)
        as variance_year,
    forecast_until(as_of, months_ahead) >= until_on as is_whole, currency
from centres
left join budgeted b using (cost_centre)
left join paid p using (cost_centre)
left join prices g using (cost_centre)
left join ahead a using (cost_centre), years
order by cost_centre
