-- The day from which the fleet's repairs and costs are on record: as set, else that of the first line of any vehicle's history.
--
-- one row: -
-- reads:   history, run
-- gives:   first_on   null: nothing is on record

select coalesce(any_value(records_from), min(done_on)) as first_on
from run
left join history on done_on <= as_of
