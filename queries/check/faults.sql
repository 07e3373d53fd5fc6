-- What is wrong with the input, each thing once with how often it is: the worst first, then the most frequent.
--
-- one row: turn
-- reads:   check_places
-- gives:   turn      1 is the worst
--          kind, is_to_mend, table, column, reason   as in check_places
--          places    how many
--          files     in how many files

select row_number() over (order by severity, count(*) desc, "table", "column", reason) as turn,
    kind, is_to_mend, "table", "column", reason, count(*) as places, count(distinct file) as files
from check_places
group by severity, kind, is_to_mend, "table", "column", reason
order by turn
