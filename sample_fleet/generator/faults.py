"""Plant the faults, and write down where each one stands and what ought to become of it.

`Planter` changes or adds rows of the finished sheets; the list of what was planted gives planted_faults.csv
and the table in the README. Scope `row`: the row is not loaded; `value`: the cell is left blank, the row is
loaded; `reading`: loaded, and refused by the rule of believable readings from the day it is dated on.
"""

from typing import NamedTuple

from generator.fault_list import ADDED, REPEATED, SPOILT, TYPED_WRONG, Added, Spoilt, TypedWrong
from generator.sheets import Row, Sheet

PLANTED_COLUMNS = ("file", "line", "table", "column", "value", "scope", "as_of_from", "what")


class Planted(NamedTuple):
    """One planted fault; its line is known once everything is planted."""

    sheet: Sheet
    row: Row
    column: str
    value: str
    scope: str
    as_of_from: str
    what: str

    def cells(self) -> dict[str, str]:
        """The fault as a row of planted_faults.csv."""
        line = str(self.sheet.line_of(self.row))
        return dict(
            zip(
                PLANTED_COLUMNS,
                (
                    self.sheet.path,
                    line,
                    self.sheet.table,
                    self.column,
                    self.value,
                    self.scope,
                    self.as_of_from,
                    self.what,
                ),
                strict=True,
            )
        )


class Planter:
    """Finds rows by what they say and spoils them."""

    def __init__(self, sheets: list[Sheet]) -> None:
        self.sheets = {sheet.path: sheet for sheet in sheets}
        self.planted: list[Planted] = []
        self.spoilt: set[int] = set()

    def find(self, path: str, where: dict[str, str], since: str = "") -> Row:
        """The first row of a file with these cells, dated on or after `since`, not yet spoilt.

        A wanted cell `*` means: filled. Raises LookupError when there is none.
        """
        for row in self.sheets[path].rows:
            day = row.cells.get("read_at") or row.cells.get("done_on") or ""
            fits = all(
                (row.cells.get(k, "") != "") if v == "*" else row.cells.get(k, "") == v for k, v in where.items()
            )
            if fits and day >= since and id(row) not in self.spoilt and row.raw is None:
                return row
        raise LookupError(f"{path}: no row with {where} since {since!r}")

    def _files_with(self, row: Row) -> list[Sheet]:
        return [sheet for path, sheet in sorted(self.sheets.items()) if any(each is row for each in sheet.rows)]

    def _note(self, sheet: Sheet, row: Row, column: str, scope: str, what: str, value: str, day: str = "") -> None:
        self.spoilt.add(id(row))
        row.refused = scope == "row"
        self.planted.append(Planted(sheet, row, column, value, scope, day, what))

    def spoil(self, fault: Spoilt) -> None:
        """Put a wrong cell into a row that stands in one file only."""
        row = self.find(fault.path, fault.where, fault.since)
        if len(self._files_with(row)) != 1:
            raise ValueError(f"{fault.path}: {fault.where} stands in more than one file")
        row.cells[fault.column] = fault.value
        self._note(self.sheets[fault.path], row, fault.column, fault.scope, fault.what, fault.value)

    def add(self, fault: Added) -> None:
        """Put a row that should not be there behind one that should."""
        sheet = self.sheets[fault.path]
        like = self.find(fault.path, fault.behind, fault.since)
        row = Row({**(like.cells if fault.like else {}), **fault.cells})
        row.raw = fault.raw
        at = next(n for n, each in enumerate(sheet.rows) if each is like)
        sheet.rows.insert(at + 1, row)
        value = "" if fault.raw is not None else row.cells.get(fault.column, "")
        self._note(sheet, row, fault.column, fault.scope, fault.what, value)

    def mistype(self, fault: TypedWrong) -> None:
        """Turn a reading, or the dial on a service line, into one the rule must refuse."""
        column = "reading" if fault.path.startswith("readings/") else "odometer"
        row = self.find(fault.path, {"vehicle_id": fault.vehicle, column: "*"}, fault.since)
        before = dict(row.cells)
        row.cells |= fault.change(before)
        changed = [name for name in row.cells if row.cells[name] != before[name]]
        if not changed:
            raise ValueError(f"{fault.path}: {fault.vehicle} {fault.since}: the fault changes nothing")
        sheet = self._files_with(row)[0]
        day = (row.cells.get("read_at") or row.cells["done_on"])[:10]
        self._note(sheet, row, column, "reading", fault.what, row.cells[column], day)

    def repeat(self, path: str, where: dict[str, str], since: str) -> None:
        """Write a row a second time, word for word, in the same file."""
        row = self.find(path, where, since)
        rows = self.sheets[path].rows
        at = next(n for n, each in enumerate(rows) if each is row)
        rows.insert(at + 2, Row(row.cells))
        self.spoilt.add(id(row))


def plant(sheets: list[Sheet]) -> list[Planted]:
    """Plant everything on the list; in order of file and line."""
    planter = Planter(sheets)
    note = planter.find("history/harrow_bore-2023-to-2026-10.csv", {"vehicle_id": "T01", "note": ""}, "2024-05-01")
    note.cells["note"] = "found on the road test:\nbrakes even, no pull"
    planter.spoilt.add(id(note))
    for repeat in REPEATED:
        planter.repeat(*repeat)
    for typed in TYPED_WRONG:
        planter.mistype(typed)
    for spoilt in SPOILT:
        planter.spoil(spoilt)
    for added in ADDED:
        planter.add(added)
    return sorted(planter.planted, key=lambda p: (p.sheet.path, p.sheet.line_of(p.row)))
