-- What became of every row of every input file: read = loaded + repeated + quarantined.
--
-- one row: file
-- reads:   file_counts
-- gives:   file             within the fleet folder
--          table            the table it belongs to
--          rows_read        rows under the header
--          rows_loaded      of these, loaded
--          rows_repeated    of these, already there, word for word
--          rows_quarantined of these, refused
--          columns_ignored  columns the table has no use for, commas between
--          rows_left_out    rows that a [[source]] section leaves out; not among those read

select file, "table", rows_read, rows_loaded, rows_repeated, rows_quarantined, ignored as columns_ignored, rows_left_out
from file_counts
order by file
