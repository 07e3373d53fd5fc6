"""A program of its own: the cells of a workbook's sheets as a CSV file, for spreadsheet.py.

It runs in another process with a bound on its memory, because a workbook of a few kilobytes can ask for any amount
of it. A row of the outcome is: sheet, row of the sheet, then the cells, each with a letter for its type in front (`n` a
number, `d` a date or time, `t` text). Formulas come as the value stored with them; a cell with an error such as #N/A
comes as blank.
"""

import csv
import math
import sys
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path

import python_calamine

MOST_MEMORY = 6 << 30


def cell_text(value: object) -> str:
    """The type's letter and the value: ISO dates, h:mm:ss durations, numbers with a point and no exponent."""
    if isinstance(value, str):
        return f"t{value}" if value else ""
    if isinstance(value, bool):
        return f"t{str(value).lower()}"
    if isinstance(value, float) and not math.isfinite(value):
        return f"t{value}"
    if isinstance(value, int | float):
        return f"n{int(value) if value == int(value) else format(Decimal(repr(value)), 'f')}"
    if isinstance(value, datetime):
        whole_day = value.time() == time()
        return f"d{value.date().isoformat() if whole_day else value.isoformat(timespec='seconds')}"
    if isinstance(value, timedelta):
        seconds = round(value.total_seconds())
        return f"d{seconds // 3600}:{seconds // 60 % 60:02}:{seconds % 60:02}"
    if isinstance(value, date | time):
        return f"d{value.isoformat()}"
    return f"t{value}"


def write_rows(workbook: Path, out: Path, sheets: list[str], most_rows: int) -> None:
    """Write the rows of these sheets (none named: of all) into `out`; of each no more than `most_rows`, 0 is all."""
    with (
        python_calamine.CalamineWorkbook.from_path(workbook) as book,
        out.open("w", encoding="utf-8", newline="") as file,
    ):
        write = csv.writer(file, quoting=csv.QUOTE_ALL)
        for name in sheets or book.sheet_names:
            write.writerow([name, 0])
            sheet = book.get_sheet_by_name(name)
            for number, row in enumerate(sheet.to_python(skip_empty_area=False, nrows=most_rows or None), 1):
                cells = [cell_text(value) for value in row]
                if any(cells):
                    write.writerow([name, number, *cells])


def main() -> None:
    """`workbook_rows.py WORKBOOK OUT MOST_ROWS [SHEET …]`."""
    try:
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    except (ImportError, ValueError, OSError):
        # No such bound on this system.
        pass
    workbook, out, most_rows, *sheets = sys.argv[1:]
    write_rows(Path(workbook), Path(out), sheets, int(most_rows))


if __name__ == "__main__":
    main()
