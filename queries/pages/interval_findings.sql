-- The findings of every class and vehicle with what they say of the interval, as a workbook shows them.
--
-- one row: scope, name, duty, task
-- reads:   interval_advice, finding_counts
-- gives:   scope, name, duty, task, title
--          advice
--          findings, clean, serviceable, soiled, contaminated, failed   counts
--          soiled_low_pct, soiled_high_pct, bad_low_pct, bad_high_pct   per cent, 95 % interval by Clopper and Pearson
--          now, maker, proposed   interval in words; null: none, not known, no proposal
--          latest_on              day of the latest finding

with joined as (
    select c.*, a.advice, a.soiled_low, a.soiled_high, a.bad_low, a.bad_high, a.proposed_distance, a.proposed_hours,
        a.proposed_months
    from interval_advice a
    join finding_counts c using (scope, name, duty, task)
)

select scope, name, duty, task, title, advice, findings, clean, serviceable, soiled, contaminated, failed,
    round(100 * soiled_low, 1)::decimal(4, 1) as soiled_low_pct, round(100 * soiled_high, 1)::decimal(4, 1) as soiled_high_pct,
    round(100 * bad_low, 1)::decimal(4, 1) as bad_low_pct, round(100 * bad_high, 1)::decimal(4, 1) as bad_high_pct,
    nullif(concat_ws(', ', every_distance::bigint || ' ' || distance_unit, every_hours::bigint || ' h', every_months || ' months'), '')
        as now,
    nullif(concat_ws(', ', maker_distance::bigint || ' ' || distance_unit, maker_hours::bigint || ' h', maker_months || ' months'), '')
        as maker,
    nullif(concat_ws(', ', proposed_distance::bigint || ' ' || distance_unit, proposed_hours::bigint || ' h',
        proposed_months || ' months'), '') as proposed, latest_on
from joined
order by advice, scope, name, duty, task
