"""Find the files of a fleet folder and turn each into rows of text that know their line.

A reader gives SQL that selects a `line` and one text column for each column of the file. Files that keep to RFC 4180
go straight through DuckDB's parallel reader (`plain_rows`). A file that does not (ragged rows, line breaks
in quotes, blank lines, bytes that are no UTF-8) is first written out anew, row by row, beside the store
(`careful_rows`), so that each row keeps its physical line and a row that cannot be read is set aside alone.

A new format joins by an entry in `READERS`. Nothing here knows what a column means.
"""

import codecs
import csv
import itertools
from collections import deque
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import BinaryIO, NamedTuple

from fleetreport.problem import CannotReadOrWrite, Problem
from fleetreport.tables import BY_NAME

LONGEST_RECORD = 1_000_000
MOST_LINES_IN_A_RECORD = 200
BLOCK = 1 << 22
# Formats of the contract that have no reader yet; named so that such a file is refused, not overlooked.
NOT_READ_YET = (".xlsx", ".parquet", ".jsonl", ".gz")


class InputFile(NamedTuple):
    """A file of a fleet folder, the table it belongs to, and its name as people are told it."""

    table: str
    path: Path
    name: str


class TextRows(NamedTuple):
    """A file's rows: SQL that selects `line` (physical, 1 is the first) and `columns`, all text.

    `refused` are rows that could not be told apart into columns; they are not among those of `sql`. `counts_lines` says
    that `line` is right only if the file has a line for each row and one for the header.
    """

    sql: str
    columns: tuple[str, ...]
    refused: list[Problem]
    counts_lines: bool = False


Reader = Callable[[InputFile, Path], Iterator[TextRows]]


def find_files(fleet: Path) -> tuple[list[InputFile], list[str]]:
    """The input files of a fleet folder in the order of their names, and the names of data files that are no table.

    Raises CannotReadOrWrite where the folder cannot be read or holds a format that has no reader.
    """
    if not fleet.is_dir():
        raise CannotReadOrWrite(f"{fleet}: found no such folder, expected a fleet folder")
    found, strangers = [], []
    try:
        for path in sorted(fleet.rglob("*")):
            name = path.relative_to(fleet).as_posix()
            if any(part.startswith(".") for part in Path(name).parts) or path.is_dir():
                continue
            table = Path(name).parts[0].split(".")[0]
            suffix = path.suffix.lower()
            if table in BY_NAME and len(Path(name).parts) <= 2 and suffix in (*READERS, *NOT_READ_YET):
                found.append(InputFile(table, path, name))
            elif suffix in READERS:
                strangers.append(name)
    except OSError as error:
        raise CannotReadOrWrite(f"{error.filename}: {error.strerror}") from None
    unread = [f"{file.name}: found a {file.path.suffix} file, expected .csv or .tsv" for file in found
              if file.path.suffix.lower() not in READERS]  # fmt: skip
    if unread:
        raise CannotReadOrWrite(*unread)
    return found, strangers


def ways_to_read(file: InputFile, spare: Path) -> Iterator[TextRows]:
    """The ways to read a file, the quick one first; `spare` is a folder for files written on the way.

    Raises CannotReadOrWrite where the file cannot be opened.
    """
    return READERS[file.path.suffix.lower()](file, spare)


def quoted(text: str) -> str:
    """Text as an SQL literal."""
    return "'" + text.replace("'", "''") + "'"


def lines_in(path: Path) -> int:
    """How many physical lines a file has, without blank ones at its end."""
    count, last, tail = 0, b"", b""
    with path.open("rb") as file:
        while block := file.read(BLOCK):
            count += block.count(b"\n")
            tail = (last + block)[-BLOCK:]
            last = block
    kept = tail.rstrip(b"\r\n")
    return count - tail[len(kept) :].count(b"\n") + (1 if kept else 0)


def _csv(delimiter: str) -> Reader:
    """The reader of delimited text with a header line, UTF-8 with or without a byte order mark."""

    def read(file: InputFile, spare: Path) -> Iterator[TextRows]:
        try:
            columns = _header(file, delimiter)
            if columns:
                yield plain_rows(file.path, columns, delimiter)
            yield careful_rows(file, columns, delimiter, spare)
        except OSError as error:
            raise CannotReadOrWrite(f"{file.name}: {error.strerror}") from None

    return read


READERS: dict[str, Reader] = {".csv": _csv(","), ".tsv": _csv("\t")}


def _header(file: InputFile, delimiter: str) -> tuple[str, ...]:
    """The column names of the file's first record, blanks around them taken off, in small letters."""
    for first in records(file.path, delimiter):
        if first.error:
            raise CannotReadOrWrite(f"{file.name}:{first.line}: {first.error}")
        names = tuple(name.strip().lower() for name in first.cells)
        twice = [name for at, name in enumerate(names) if name and name in names[:at]]
        if twice:
            raise CannotReadOrWrite(
                f"{file.name}:{first.line}: {twice[0]}: found two columns of this name, expected one"
            )
        # A column without a name still has to be told from its neighbours.
        return tuple(name or f"column {at}" for at, name in enumerate(names, 1))
    return ()


def plain_rows(path: Path, columns: tuple[str, ...], delimiter: str) -> TextRows:
    """Rows of a file in which every record is one line: the n-th record stands in line n + 1."""
    source = _read_csv(path, columns, delimiter)
    return TextRows(f"select row_number() over () + 1 as line, * from {source}", columns, [], counts_lines=True)


def careful_rows(file: InputFile, columns: tuple[str, ...], delimiter: str, spare: Path) -> TextRows:
    """Rows of any delimited file, written out anew with their lines into `spare`; what has no shape is refused."""
    refused: list[Problem] = []
    clean = spare / f"{file.table}.csv"
    with clean.open("w", encoding="utf-8", newline="") as out:
        write = csv.writer(out)
        write.writerow(["line", *columns])
        for record in itertools.islice(records(file.path, delimiter), 1, None):
            row, error = record.cells, record.error
            if not error and not any(cell.strip() for cell in row[len(columns) :]):
                row = row[: len(columns)]
            if not error and len(row) != len(columns):
                error = f"found {len(row)} cells, expected {len(columns)} as in the header"
            if error:
                refused.append(Problem(file.name, record.line, file.table, "", record.text, error, "row"))
            else:
                write.writerow([record.line, *row])
    source = _read_csv(clean, ("line", *columns), ",")
    return TextRows(f"select * replace (line::bigint as line) from {source}", columns, refused)


def _read_csv(path: Path, columns: tuple[str, ...], delimiter: str) -> str:
    shape = ", ".join(f"{quoted(name)}: 'VARCHAR'" for name in columns)
    return (
        f"read_csv({quoted(str(path))}, delim={quoted(delimiter)}, quote='\"', escape='\"', header=true, "
        f"auto_detect=false, max_line_size={4 * LONGEST_RECORD}, columns={{{shape}}})"
    )


class Record(NamedTuple):
    """A record of a delimited file: the physical line it starts in, its cells, its text, and why it cannot be read."""

    line: int
    cells: list[str]
    text: str
    error: str = ""


def records(path: Path, delimiter: str) -> Iterator[Record]:
    """The records of a delimited file, blank lines left out.

    A record goes on while a quotation mark is open. One that is not closed within MOST_LINES_IN_A_RECORD is given up
    after its first line, so that it does not swallow what follows.
    """
    with path.open("rb") as file:
        lines = _lines(file)
        waiting: deque[Record] = deque()
        while first := waiting.popleft() if waiting else next(lines, None):
            if first.error:
                yield first
                continue
            taken = [first]
            while (row := cells_of([line.text for line in taken], delimiter)) is None and len(
                taken
            ) < MOST_LINES_IN_A_RECORD:
                more = waiting.popleft() if waiting else next(lines, None)
                if more is None or more.error:
                    waiting.extendleft([more] if more else [])
                    break
                taken.append(more)
            if row is None:
                waiting.extendleft(reversed(taken[1:]))
                yield first._replace(error="found a quotation mark that is not closed, expected a pair")
            elif any(line.text.strip("\r\n") for line in taken):
                yield Record(first.line, row, "".join(line.text for line in taken).rstrip("\r\n"))


def cells_of(lines: list[str], delimiter: str) -> list[str] | None:
    """The cells of a record that stands in these lines; None while a quotation mark is open or badly closed."""
    csv.field_size_limit(LONGEST_RECORD * MOST_LINES_IN_A_RECORD)
    try:
        return next(csv.reader(lines, delimiter=delimiter, strict=True), [])
    except csv.Error as error:
        if "unexpected end of data" in str(error) or len(lines) > 1:
            return None
        # Text after a closing quotation mark, say: not RFC 4180, but the cells can still be told apart.
        return lines[0].rstrip("\r\n").split(delimiter)


def _lines(file: BinaryIO) -> Iterator[Record]:
    """The physical lines of a file; one that is too long or no UTF-8 carries its error."""
    number = 0
    while line := file.readline(LONGEST_RECORD):
        number += 1
        if number == 1:
            line = line.removeprefix(codecs.BOM_UTF8)
        error, length = "", len(line)
        while not line.endswith(b"\n") and (more := file.readline(LONGEST_RECORD)):
            length += len(more)
            error = f"found a line of {length} bytes, expected fewer than {LONGEST_RECORD}"
            if more.endswith(b"\n"):
                break
        try:
            yield Record(number, [], line.decode("utf-8") if not error else _shown(line[:200]), error)
        except UnicodeDecodeError as fault:
            error = f"found a byte that is not UTF-8 (byte {fault.start + 1} of the line), expected UTF-8"
            yield Record(number, [], _shown(line), error)


def _shown(line: bytes) -> str:
    return line.decode("utf-8", "backslashreplace").rstrip("\r\n")
