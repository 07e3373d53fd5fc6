-- The first places of each thing that is wrong.
--
-- one row: turn, number
-- reads:   faults, check_places
-- gives:   turn     of the fault
--          number   1 is the first, 20 at most
--          file, line, value, note   as in check_places

select f.turn, row_number() over (partition by f.turn order by p.file, p.line, p.value, p.note) as number,
    p.file, p.line, p.value, p.note
from faults f
join check_places p using (kind, "table", "column", reason)
qualify number <= 20
order by f.turn, number
