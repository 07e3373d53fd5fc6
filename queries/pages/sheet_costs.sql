-- What each vehicle cost in each of its last six financial years on record, as money paid without tax.
--
-- one row: vehicle_id, financial_year
-- per:     vehicle
-- reads:   paid_lines, vehicles, run
-- gives:   vehicle_id
--          financial_year  such as 2026, or 2026/27
--          begins_on       its first day
--          is_running      the as-of date lies in it
--          planned, unplanned, paid   money

select p.vehicle_id, year_name(p.done_on, financial_year_starts) as financial_year,
    year_from(p.done_on, financial_year_starts) as begins_on,
    begins_on = year_from(as_of, financial_year_starts) as is_running,
    coalesce(sum(p.amount) filter (p.why = 'planned'), 0)::decimal(18, 4) as planned,
    coalesce(sum(p.amount) filter (p.why = 'unplanned'), 0)::decimal(18, 4) as unplanned,
    sum(p.amount)::decimal(18, 4) as paid
from paid_lines p
semi join vehicles v on v.vehicle_id = p.vehicle_id, run
where p.done_on >= add_months(year_from(as_of, financial_year_starts), -60) and p.done_on <= as_of
group by all
order by p.vehicle_id, begins_on
