-- Everything of the input that was set aside, and why.
--
-- one row: file, line, column, value, reason
-- reads:   problems, unknown_references, refused_readings, diagnoses
-- gives:   file       within the fleet folder
--          line       physical line, 1 is the first
--          table, column   what it is; column blank: the whole row
--          value      as written
--          reason     what it contradicts, or what was expected
--          scope      row: not loaded; value: the cell is left blank, the row loaded; reading: loaded, not believed in this run
--          diagnosis  what probably went wrong with a reading, in words; null for other scopes
--          suggested_value    what would fit instead, never applied; null where nothing simple does
--          suggested_column   the column of that row that it would stand in: the reading, vehicle_id or the date

select file, line, "table", "column", value, reason, scope,
    null as diagnosis, null as suggested_value, null as suggested_column
from problems
union all
select file, line, "table", "column", value, reason, 'value', null, null, null from unknown_references
union all
select r.file, r.line, r."table", r."column", r.value, r.reason, 'reading', d.words, d.suggestion, d.suggestion_for
from refused_readings r
left join diagnoses d on d.file = r.file and d.line = r.line and d."column" = r."column"
order by file, line, "column", value, reason
