-- The work on each vehicle that a record has to show: of the last 15 months, the longest that any of the rules quoted asks for.
--
-- one row: vehicle_id, done_on, nature, kind
-- per:     vehicle
-- reads:   work_record, run
-- gives:   vehicle_id, done_on, nature, kind, condition, invoices, done_by, verified_by, keep_until, keep_report_until, keep_15_months_until

select vehicle_id, done_on, nature, kind, condition, invoices, done_by, verified_by, keep_until, keep_report_until, keep_15_months_until
from work_record, run
where keep_15_months_until >= as_of
order by vehicle_id, done_on desc, nature, kind
