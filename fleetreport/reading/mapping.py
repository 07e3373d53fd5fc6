"""What a `[[source]]` section makes of a file's records: which rows count, and which of its columns is which of ours.

`Evened` gives each record the header's width, leaves out what the section leaves out, and collects what has no shape;
`mapped` gives SQL for each of our columns. Nothing here reads a file or a cell.
"""

import re
from collections.abc import Iterator, Mapping, Sequence

from fleetreport.alike import did_you_mean
from fleetreport.problem import CannotReadOrWrite, Problem
from fleetreport.reading.files import InputFile
from fleetreport.reading.records import Record
from fleetreport.reading.shapes import told_as
from fleetreport.settings.formats import CellRule, cell_rule
from fleetreport.settings.sources import Source
from fleetreport.sql import identifier, literal


def mapped(file: InputFile, source: Source, names: Sequence[str], header_line: int) -> tuple[dict[str, str], set[str]]:
    """SQL for each of our columns over the file's columns by place, and the file's columns that are used."""
    asked = [(f"columns.{ours}", name) for ours, column in source.columns.items() for name in column.header]
    asked += [(f"{key}", name) for key in ("leave_out", "keep_only") for name in getattr(source, key)]
    missing = []
    for key, name in asked:
        if told_as(name) not in names:
            where = f"{file.name}:{header_line}" if header_line else file.name
            meant = did_you_mean(told_as(name), names) or f", only {', '.join(names)[:300]}"
            missing.append(f'{where}: found no column "{name}", which [[source]] {key} names{meant}')
    if missing:
        raise CannotReadOrWrite(*missing)
    place = {name: identifier(str(at)) for at, name in enumerate(names, 1)}
    chosen = {}
    for ours, column in source.columns.items():
        cells = [place[told_as(name)] for name in column.header]
        joined = ", ".join(f"nullif(trim({cell}), '')" for cell in cells)
        chosen[ours] = cells[0] if len(cells) == 1 else f"concat_ws(' ', {joined})"
    filled = {ours: literal(text) for ours, text in source.filled().items()}
    return chosen | filled, {told_as(name) for _, name in asked}


def rules_of(source: Source) -> dict[str, CellRule]:
    """How the cells of each of our columns are written in a source."""
    found = {name: cell_rule(source.our_table.column(name), source.form_of(name)) for name in source.columns}
    return {name: rule for name, rule in found.items() if rule}


# A column's place and the patterns that are looked for in its cells.
Test = tuple[int, list[re.Pattern[str]]]


class Evened:
    """Records to rows of one width: what has no shape is collected in `refused`, what is left out is counted."""

    def __init__(self, file: InputFile, names: tuple[str, ...], mark: str = ",") -> None:
        self.refused: list[Problem] = []
        self.left_out = 0
        self._file, self._names, self._mark = file, names, mark
        source = file.source
        self._ragged = bool(source and source.ragged)
        self._out = _tests(source.leave_out if source else {}, names)
        self._in = _tests(source.keep_only if source else {}, names)

    def rows(self, found: Iterator[Record]) -> Iterator[Sequence[object]]:
        """Rows of the header's width with the line and whether they were pieced together."""
        width = len(self._names)
        for record in found:
            row, error, is_pieced = record.cells, record.error, False
            if not error and self._is_left_out(row):
                self.left_out += 1
                continue
            if not error and not any(cell.strip() for cell in row[width:]):
                row = row[:width]
            if not error and len(row) != width:
                if self._ragged and len(row) > 1:
                    is_pieced = True
                    row = [*row[: width - 1], self._mark.join(row[width - 1 :]), *[""] * (width - len(row))][:width]
                else:
                    cells = "1 cell" if len(row) == 1 else f"{len(row)} cells"
                    error = f"found {cells}, expected {width} as in the header"
            if error:
                self.refused.append(
                    Problem(self._file.name, record.line, self._file.table, "", record.text, error, "row")
                )
            else:
                yield [*row, record.line, is_pieced]

    def _is_left_out(self, row: list[str]) -> bool:
        def holds(tests: Sequence[Test]) -> Iterator[bool]:
            cells = ((row[at].strip() if at < len(row) else "", patterns) for at, patterns in tests)
            return (any(pattern.search(cell) for pattern in patterns) for cell, patterns in cells)

        return any(holds(self._out)) or (bool(self._in) and not all(holds(self._in)))


def _tests(asked: Mapping[str, Sequence[str]], names: tuple[str, ...]) -> list[Test]:
    """For each column asked for its place, and the patterns of which one must fit; a text means the whole cell."""
    tests: list[Test] = []
    for name, texts in asked.items():
        if told_as(name) in names:
            patterns = [text[1:-1] if text[:1] == text[-1:] == "/" and len(text) > 1 else f"^{re.escape(text)}$"
                        for text in texts]  # fmt: skip
            # Each by itself: a pattern may begin with flags such as (?i).
            tests.append((names.index(told_as(name)), [re.compile(pattern) for pattern in patterns]))
    return tests
