-- Everything of the input that was set aside, and why.
--
-- one row: file, line, column, value, reason
-- reads:   problems, unknown_references, refused_readings
-- gives:   file       within the fleet folder
--          line       physical line, 1 is the first
--          table, column   what it is; column blank: the whole row
--          value      as written
--          reason     what it contradicts, or what was expected
--          scope      row: not loaded; value: the cell is left blank, the row loaded; reading: loaded, not believed in this run

select file, line, "table", "column", value, reason, scope from problems
union all
select file, line, "table", "column", value, reason, 'value' from unknown_references
union all
select file, line, "table", "column", value, reason, 'reading' from refused_readings
order by file, line, "column", value, reason
