"""CSV files in the making: rows that overlapping exports share, and the line each one ends up on."""

import csv
import io
from collections.abc import Iterable
from pathlib import Path
from typing import Any


class Row:
    """One row: its cells as text, or the raw line where a fault needs one no writer would write."""

    def __init__(self, cells: dict[str, Any]) -> None:
        self.cells = {name: "" if value is None else str(value) for name, value in cells.items()}
        self.raw: str | None = None
        self.refused = False

    def text(self, columns: tuple[str, ...]) -> str:
        """The line as it stands in the file, without its end."""
        if self.raw is not None:
            return self.raw
        out = io.StringIO()
        csv.writer(out, lineterminator="").writerow([self.cells.get(name, "") for name in columns])
        return out.getvalue()


class Sheet:
    """One file: path below the fleet folder, table, columns, rows; `windows` writes a BOM and CRLF."""

    def __init__(self, path: str, columns: tuple[str, ...], rows: Iterable[Row], windows: bool = False) -> None:
        self.path = path
        self.table = path.split("/")[0].removesuffix(".csv")
        self.columns = columns
        self.rows = list(rows)
        self.windows = windows

    def line_of(self, row: Row) -> int:
        """The physical line a row starts on; the header is line 1."""
        line = 2
        for each in self.rows:
            if each is row:
                return line
            line += 1 + each.text(self.columns).count("\n")
        raise LookupError(f"{self.path}: the row is not in this file")

    def write(self, folder: Path) -> None:
        """Write the file, making its folder."""
        target = folder / self.path
        target.parent.mkdir(parents=True, exist_ok=True)
        lines = [",".join(self.columns), *(row.text(self.columns) for row in self.rows)]
        end = "\r\n" if self.windows else "\n"
        text = ("\ufeff" if self.windows else "") + "".join(line + end for line in lines)
        target.write_bytes(text.encode("utf-8"))


def repeats(sheets: list[Sheet], contract_columns: dict[str, tuple[str, ...]]) -> dict[str, int]:
    """Rows per file that say the same as an earlier row of their table, files in name order."""
    seen: set[tuple[str, ...]] = set()
    found: dict[str, int] = {}
    for sheet in sorted(sheets, key=lambda s: s.path):
        found[sheet.path] = 0
        for row in sheet.rows:
            key = (sheet.table, *(row.cells.get(name, "") for name in contract_columns[sheet.table]))
            if row.raw is None and not row.refused:
                found[sheet.path] += key in seen
                seen.add(key)
    return found
