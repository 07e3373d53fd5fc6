"""Workbooks (XLSX, and what the same reader reads) to rows of cells that know their sheet row.

The reading itself is done by workbook_rows.py in a process with a bound on its memory. Before that a workbook's parts
are unpacked once without keeping them, so that one made to unpack without end is refused, and one with a broken part.
"""

import csv
import subprocess
import sys
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from fleetreport.problem import CannotReadOrWrite
from fleetreport.reading import workbook_rows

WORKBOOKS = (".xlsx", ".xlsm", ".xls", ".ods")
MOST_UNPACKED = 2 << 30
LONGEST_READ = 900
ALL_ROWS, FIRST_ROWS = 0, 40


class SheetRow(NamedTuple):
    """A row of a sheet: its number in the sheet (1 is the first) and its cells, each with the letter of its type."""

    sheet: str
    number: int
    cells: list[str]


def sheet_rows(path: Path, name: str, spare: Path, sheet: str = "", most_rows: int = ALL_ROWS) -> Iterator[SheetRow]:
    """The rows of a sheet, or of all; a row of number 0 stands before those of each sheet.

    Raises CannotReadOrWrite where the file is no workbook, is broken, lacks the sheet or is too large.
    """
    _check_size(path, name)
    out = spare / "cells.csv"
    sheets = [sheet] if sheet else []
    try:
        done = subprocess.run(  # noqa: S603 - our own program
            [sys.executable, "-P", workbook_rows.__file__, str(path), str(out), str(most_rows), *sheets],
            capture_output=True, text=True, check=False, timeout=LONGEST_READ,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        raise CannotReadOrWrite(f"{name}: found a workbook that takes longer than {LONGEST_READ} s to read") from None
    if done.returncode:
        raise CannotReadOrWrite(_why(name, sheet, done.stderr))
    csv.field_size_limit(1 << 30)
    with out.open(encoding="utf-8", newline="") as file:
        for row in csv.reader(file):
            yield SheetRow(row[0], int(row[1]), row[2:])


def _why(name: str, sheet: str, told: str) -> str:
    last = (told.strip().splitlines() or ["no reason given"])[-1]
    if "memory" in told.lower() or "capacity overflow" in told.lower():
        return f"{name}: found a workbook that needs more memory than {workbook_rows.MOST_MEMORY >> 30} GiB to read"
    if "WorksheetNotFound" in last:
        return f"{name}: found no sheet of this name, expected {sheet}"
    return f"{name}: found a file that cannot be read as a workbook ({last.split(': ', 1)[-1]})"


def _check_size(path: Path, name: str) -> None:
    """Unpack all parts without keeping them: the size is what comes out, not what the file says of itself."""
    if path.suffix.lower() == ".xls":
        return
    size = 0
    try:
        with zipfile.ZipFile(path) as parts:
            for part in parts.infolist():
                with parts.open(part) as opened:
                    while block := opened.read(1 << 20):
                        size += len(block)
                        if size > MOST_UNPACKED:
                            raise CannotReadOrWrite(
                                f"{name}: found a workbook that unpacks to over {MOST_UNPACKED} bytes, expected less"
                            )
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError) as error:
        raise CannotReadOrWrite(
            f"{name}: found a file that is no workbook, or a broken or locked one ({error})",
            help="open it in a spreadsheet and save it again as .xlsx without a password",
        ) from None
    except OSError as error:
        raise CannotReadOrWrite(f"{name}: {error.strerror or error}") from None
