"""What a `[[source]]` section makes of a file's records: which rows count, and which of its columns is which of ours.

`Evened` gives each record the header's width, leaves out what the section leaves out, and collects what has no shape;
`mapped` gives SQL for each of our columns. Nothing here reads a file or a cell.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

import duckdb

from fleetreport.alike import did_you_mean
from fleetreport.problem import CannotReadOrWrite, Problem
from fleetreport.reading.files import InputFile
from fleetreport.reading.records import Record
from fleetreport.reading.shapes import told_as
from fleetreport.settings.formats import CellRule, cell_rule
from fleetreport.settings.sources import Source, is_pattern
from fleetreport.sql import NO_EXTENSIONS, identifier, literal

# Records that are looked at together, and their characters.
MOST_IN_BLOCK, LARGEST_BLOCK = 20_000, 1 << 24


def mapped(file: InputFile, source: Source, names: Sequence[str], header_line: int) -> tuple[dict[str, str], set[str]]:
    """SQL for each of our columns over the file's columns by place, and the file's columns that are used."""
    asked = [(f"columns.{ours}", name) for ours, column in source.columns.items() for name in column.header]
    asked += [(key, name) for key in ("leave_out", "keep_only") for name in getattr(source, key)]
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


class Test(NamedTuple):
    """What is looked for in a column, by its place: whole cells, and regular expressions of which one must fit."""

    at: int
    texts: frozenset[str]
    patterns: Sequence[str]


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
        self._db: duckdb.DuckDBPyConnection | None = None

    def rows(self, found: Iterator[Record]) -> Iterator[Sequence[object]]:
        """Rows of the header's width with the line and whether they were pieced together."""
        for block in _blocks(found):
            left_out = self._left_out(block)
            self.left_out += len(left_out)
            yield from self._rows(record for at, record in enumerate(block) if at not in left_out)

    def _rows(self, found: Iterable[Record]) -> Iterator[Sequence[object]]:
        width = len(self._names)
        for record in found:
            row, error, is_pieced = record.cells, record.error, False
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

    def _left_out(self, block: Sequence[Record]) -> set[int]:
        """The places in the block of records that the section leaves out."""
        if not self._out and not self._in:
            return set()
        readable = {at: record.cells for at, record in enumerate(block) if not record.error}
        out = set[int]().union(*(self._holding(test, readable) for test in self._out))
        for test in self._in:
            out |= readable.keys() - self._holding(test, readable)
        return out

    def _holding(self, test: Test, rows: Mapping[int, list[str]]) -> set[int]:
        cells = {at: row[test.at].strip() if test.at < len(row) else "" for at, row in rows.items()}
        fitting = test.texts | self._fitting(set(cells.values()), test.patterns)
        return {at for at, cell in cells.items() if cell in fitting}

    def _fitting(self, cells: Iterable[str], patterns: Sequence[str]) -> set[str]:
        """Cells that a pattern fits, as RE2 looks for it: there is no text that makes it slow."""
        if not patterns:
            return set()
        self._db = self._db or duckdb.connect(config=NO_EXTENSIONS)
        found = " or ".join(["regexp_matches(cell, ?)"] * len(patterns))
        rows = self._db.execute(f"select cell from (select unnest(?::varchar[]) as cell) where {found}",
                                [list(cells), *patterns]).fetchall()  # fmt: skip
        return {cell for (cell,) in rows}


def _blocks(found: Iterator[Record]) -> Iterator[list[Record]]:
    """Records in lists that are worth a query and stay small."""
    block, size = list[Record](), 0
    for record in found:
        block.append(record)
        size += len(record.text)
        if len(block) >= MOST_IN_BLOCK or size >= LARGEST_BLOCK:
            yield block
            block, size = [], 0
    yield block


def _tests(asked: Mapping[str, Sequence[str]], names: tuple[str, ...]) -> list[Test]:
    """What is looked for in each column asked for: a text means the whole cell, one between slashes a pattern."""
    tests: list[Test] = []
    for name, texts in asked.items():
        if told_as(name) in names:
            patterns = [text[1:-1] for text in texts if is_pattern(text)]
            whole = frozenset(text for text in texts if not is_pattern(text))
            tests.append(Test(names.index(told_as(name)), whole, patterns))
    return tests
