"""Find the files of a fleet folder and turn each into rows of text that know their line.

A file is one that is named like a table and has our column names, or one that a `[[source]]` section names; the section
says then which of its columns is which of ours. Reading gives SQL that selects a `line` and a text column for each
column that the table knows. A CSV file with one line for each row goes straight through DuckDB's reader
(`plain_rows`), and so does Parquet (`parquet.py`). Any other (a workbook, line breaks in quotes, blank lines, ragged
rows, bytes that are no UTF-8) is first written out anew, row by row, into a temporary folder (`careful_rows`), so that
each row keeps its line and a row that cannot be read is set aside alone.

A new format joins in shapes.py. Nothing here knows what a column means.
"""

import csv
from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from fleetreport.kinds import DATE
from fleetreport.problem import CannotReadOrWrite, Problem
from fleetreport.reading.files import InputFile, find_files
from fleetreport.reading.mapping import Evened, mapped, rules_of
from fleetreport.reading.parquet import ParquetColumn, parquet_columns, parquet_texts
from fleetreport.reading.records import LONGEST_RECORD, MOST_COLUMNS, Record, lines_in, records, too_wide
from fleetreport.reading.shapes import (
    Shape,
    kind_of,
    likely_delimiter,
    numbered,
    open_records,
    told_as,
    usual_delimiter,
)
from fleetreport.settings.formats import CellRule, Format, cell_rule
from fleetreport.settings.sources import DELIMITERS
from fleetreport.sql import identifier, literal, one_path
from fleetreport.tables import BY_NAME, Table

__all__ = ["InputFile", "TextRows", "careful_rows", "find_files", "lines_in", "plain_rows", "ways_to_read"]


class TextRows(NamedTuple):
    """A file's rows: SQL that selects `line` (physical, 1 is the first) and `columns`, all text.

    `refused` are rows that could not be told apart into columns; they are not among those of `sql`. `counts_lines` says
    that `line` is right only if the file has a line for each row and one for the header. `rules` say how the cells of a
    column are written where it is not the contract's way. `unused` are columns of the file that nothing asks for.
    `left_out` rows are in neither: their section leaves them out. With `pieced`, SQL has a column of that name: true
    for a row whose cells had to be pieced together. `has_another` says that another way follows, which tells what is
    wrong with a file that this one cannot read.
    """

    sql: str
    columns: tuple[str, ...]
    refused: list[Problem]
    counts_lines: bool = False
    rules: Mapping[str, CellRule] = {}
    unused: tuple[str, ...] = ()
    left_out: int = 0
    pieced: bool = False
    has_another: bool = False


def ways_to_read(file: InputFile, spare: Path) -> Iterator[TextRows]:
    """The ways to read a file, the quick one first; `spare` is a folder for files written on the way.

    Raises CannotReadOrWrite where the file cannot be opened, or lacks a column that its section names.
    """
    try:
        kind = kind_of(file.path.name)
        if file.source is None and kind == ("text", False):
            yield from _plain_way(file)
        elif kind == ("parquet", False):
            yield from _parquet_way(file)
        yield careful_rows(file, spare)
    except OSError as error:
        raise CannotReadOrWrite(f"{file.name}: {error.strerror or error}") from None


def _plain_way(file: InputFile) -> Iterator[TextRows]:
    mark = likely_delimiter(file.path, _our_names(file.table), usual_delimiter(file.path.name))
    header = next(records(file.path, mark), None)
    if header and not header.error and _our_names(file.table) & {told_as(cell) for cell in header.cells}:
        yield plain_rows(file, _names(file, header), mark)


def _parquet_way(file: InputFile) -> Iterator[TextRows]:
    """Nothing where the section looks into cells, or a cell that is asked for has no text that is always the same."""
    source = file.source
    if source and (source.leave_out or source.keep_only or source.ragged):
        return
    found = parquet_columns(file.path, file.name)
    if not found:
        return
    header = Record(0, [column.name for column in found], "")
    asked = _asked(file, _names(file, header), header.line, mark="")
    wanted = [at for at, name in enumerate(asked.names, 1) if name in asked.taken]
    texts = parquet_texts(file.path, found, wanted, _shape(file).decimal) if wanted else None
    if texts:
        chosen = "".join(f", {sql} as {identifier(name)}" for name, sql in asked.chosen.items())
        yield TextRows(f"select line{chosen} from ({texts})", tuple(asked.chosen), [],
                       rules=_rules_of_parquet(file, asked, found), unused=asked.unused, has_another=True)  # fmt: skip


def _rules_of_parquet(file: InputFile, asked: "Asked", found: Sequence[ParquetColumn]) -> dict[str, CellRule]:
    """The rules of a file that has numbers: one that is a number there is no text that could mean something else."""
    numbers = {name for name, column in zip(asked.names, found, strict=True) if column.is_number}
    return {name: rule for name, rule in asked.rules.items() if file.source or name not in numbers}


def _our_names(table: str) -> frozenset[str]:
    return frozenset(column.name for column in BY_NAME[table].columns)


def _names(file: InputFile, header: Record) -> tuple[str, ...]:
    """The columns' names as they are compared. Raises CannotReadOrWrite for a header that names none, or one twice."""
    where = f"{file.name}:{header.line}" if header.line else file.name
    if header.error:
        raise CannotReadOrWrite(f"{where}: {header.error}")
    if "\r" in header.text and kind_of(file.path.name)[0] == "text":
        raise CannotReadOrWrite(f"{where}: found lines that end in a carriage return alone, expected a line feed")
    if len(header.cells) > MOST_COLUMNS:
        raise too_wide(where, f"{len(header.cells)} columns")
    names = [told_as(cell) for cell in header.cells]
    if file.source:
        return tuple(numbered(name or f"column {at}" for at, name in enumerate(names, 1)))
    twice = next((name for name, count in Counter(names).items() if name and count > 1), "")
    if twice:
        raise CannotReadOrWrite(f"{where}: {twice}: found two columns of this name, expected one")
    return tuple(names)


def plain_rows(file: InputFile, columns: tuple[str, ...], delimiter: str) -> TextRows:
    """Rows of a file in which every record is one line: the n-th record stands in line n + 1."""
    known = _our_names(file.table)
    chosen = _our_columns(file.table, columns)
    rows = _text_rows(file.path, len(columns), delimiter, "row_number() over () + 1", chosen)
    rules = _usual_rules(BY_NAME[file.table], columns, only_numbers=True) if delimiter in ";|" else {}
    return TextRows(
        rows, columns, [], counts_lines=True, rules=rules, unused=tuple(name for name in columns if name not in known)
    )


def _usual_rules(table: Table, columns: Sequence[str], only_numbers: bool) -> dict[str, CellRule]:
    """The rules of files that nothing was said of: our forms, and nothing that could mean thousands.

    Where a file comes from elsewhere (a spreadsheet, a country that writes `;` between cells), 12.345 may be twelve
    thousand. Tables of workbooks and databases have no days, only midnights.
    """
    rules = {column.name: cell_rule(column, Format()) for column in table.columns if column.name in columns
             and (column.kind is DATE or column.kind.sql_type.startswith(("DECIMAL", "INTEGER")))
             and not (only_numbers and column.kind is DATE)}  # fmt: skip
    return {name: rule for name, rule in rules.items() if rule}


def careful_rows(file: InputFile, spare: Path) -> TextRows:
    """Rows of any file, written out anew with their lines into `spare`; what has no shape is refused."""
    source = file.source
    found, mark = open_records(file.path, file.name, spare, _shape(file))
    header = next(found, None)
    if header is None:
        return TextRows("", (), [])
    names = _names(file, header)
    out = Evened(file, names, mark)
    clean = spare / "clean.csv"
    with clean.open("w", encoding="utf-8", newline="") as opened:
        write = csv.writer(opened)
        write.writerow([*names, "line", "pieced"])
        write.writerows(out.rows(found))
    width = len(names)
    asked = _asked(file, names, header.line, mark)
    rules = asked.rules
    if kind_of(file.path.name)[0] == "parquet":
        rules = _rules_of_parquet(file, asked, parquet_columns(file.path, file.name))
    chosen = dict(asked.chosen)
    can_be_pieced = source is not None and source.ragged
    if can_be_pieced:
        chosen["pieced"] = f'"{width + 2}"::boolean'
    sql = _text_rows(clean, width + 2, ",", f'"{width + 1}"::bigint', chosen)
    return TextRows(sql, tuple(asked.chosen), out.refused, rules=rules, unused=asked.unused,
                    left_out=out.left_out, pieced=can_be_pieced)  # fmt: skip


class Asked(NamedTuple):
    """What is asked of a file's columns: their names, SQL of each of ours over them by place, those that are used, how
    the cells of ours are written where it is not the contract's way, and those that nothing asks for.
    """

    names: tuple[str, ...]
    chosen: Mapping[str, str]
    taken: Collection[str]
    rules: Mapping[str, CellRule]

    @property
    def unused(self) -> tuple[str, ...]:
        """The columns of the file that nothing asks for."""
        return tuple(name for name in self.names if name not in self.taken)


def _asked(file: InputFile, names: tuple[str, ...], header_line: int, mark: str) -> Asked:
    """`mark` stands between the cells of a text and is empty for other formats. Raises CannotReadOrWrite where the
    section names a column that the file lacks.
    """
    if file.source:
        return Asked(names, *mapped(file, file.source, names, header_line), rules_of(file.source))
    rules = {} if mark in (",", "\t") else _usual_rules(BY_NAME[file.table], names, only_numbers=bool(mark))
    return Asked(names, _our_columns(file.table, names), _our_names(file.table), rules)


def _our_columns(table: str, names: Sequence[str]) -> dict[str, str]:
    """SQL for each of our columns that a file has, over its columns by place."""
    known = _our_names(table)
    return {name: identifier(str(at)) for at, name in enumerate(names, 1) if name in known}


def _shape(file: InputFile) -> Shape:
    source = file.source
    if source is None:
        return Shape(sheet=file.sheet, wanted=_our_names(file.table))
    asked = [header for column in source.columns.values() for header in column.header]
    return Shape(
        source.encoding, DELIMITERS[source.delimiter] if source.delimiter else None, file.sheet, source.header_row,
        source.decimal or "", frozenset(map(told_as, (*asked, *source.leave_out, *source.keep_only))),
    )  # fmt: skip


def _text_rows(path: Path, width: int, delimiter: str, line: str, chosen: Mapping[str, str]) -> str:
    """Columns are read by their place and named only where something asks for them: a header may say anything."""
    shape = ", ".join(f"'{at}': 'VARCHAR'" for at in range(1, width + 1))
    named = "".join(f", {sql} as {identifier(name)}" for name, sql in chosen.items())
    return (
        f"select {line} as line{named} from read_csv({one_path(path)}, delim={literal(delimiter)}, quote='\"', "
        f"escape='\"', header=true, auto_detect=false, hive_partitioning=false, "
        f"max_line_size={4 * LONGEST_RECORD}, columns={{{shape}}})"
    )
