"""Find the files of a fleet folder and turn each into rows of text that know their line.

A reader gives SQL that selects a `line` and a text column for each column that the table knows. A file with one line
for each row goes straight through DuckDB's reader (`plain_rows`). Any other (line breaks in quotes, blank lines, ragged
rows, bytes that are no UTF-8) is first written out anew, row by row, into a temporary folder (`careful_rows`), so that
each row keeps its physical line and a row that cannot be read is set aside alone.

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
from fleetreport.sql import identifier, literal, one_path
from fleetreport.tables import BY_NAME

LONGEST_RECORD = 1_000_000
MOST_LINES_IN_A_RECORD = 200
BLOCK = 1 << 22
# Formats of the contract that have no reader yet; named so that such a file is refused, not overlooked.
NOT_READ_YET = (".xlsx", ".xls", ".parquet", ".jsonl", ".json", ".gz")


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


def find_files(fleet: Path, unreadable: list[str] | None = None) -> tuple[list[InputFile], list[str]]:
    """The input files of a fleet folder in the order of their names, and the names of files that are no table.

    A table is a file or a folder of its name; links are followed. Raises CannotReadOrWrite where a folder cannot be
    read or a file has a format without a reader; given a list, what is wrong with such a file is added there instead.
    """
    if not fleet.is_dir():
        raise CannotReadOrWrite(f"{fleet}: found no such folder, expected a fleet folder")
    found: list[InputFile] = []
    strangers: list[str] = []
    for path in _entries(fleet):
        if path.is_dir():
            if path.name in BY_NAME:
                for inside in _entries(path):
                    _sort_out(path.name, inside, f"{path.name}/{inside.name}", found, strangers)
        else:
            _sort_out(path.name.split(".")[0], path, path.name, found, strangers)
    unread = [f"{file.name}: found a {file.path.suffix} file, expected .csv or .tsv"
              for file in found if file.path.suffix.lower() in NOT_READ_YET]  # fmt: skip
    if unreadable is not None:
        unreadable += unread
        found = [file for file in found if file.path.suffix.lower() not in NOT_READ_YET]
    elif unread:
        raise CannotReadOrWrite(*unread)
    return sorted(found, key=lambda file: file.name), sorted(strangers)


def _entries(folder: Path) -> list[Path]:
    """What stands in a folder, hidden things left out."""
    try:
        return [path for path in sorted(folder.iterdir()) if not path.name.startswith(".")]
    except OSError as error:
        raise CannotReadOrWrite(f"{folder}: {error.strerror}") from None


def _sort_out(table: str, path: Path, name: str, found: list[InputFile], strangers: list[str]) -> None:
    suffix = path.suffix.lower()
    if path.is_file() and table in BY_NAME and suffix in (*READERS, *NOT_READ_YET):
        found.append(InputFile(table, path, name))
    elif "/" in name or table in BY_NAME or suffix in READERS:
        # Beside the tables people keep notes and pictures; in a table's folder every file is meant to be read.
        strangers.append(name)


def ways_to_read(file: InputFile, spare: Path) -> Iterator[TextRows]:
    """The ways to read a file, the quick one first; `spare` is a folder for files written on the way.

    Raises CannotReadOrWrite where the file cannot be opened.
    """
    return READERS[file.path.suffix.lower()](file, spare)


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
                yield plain_rows(file, columns, delimiter)
            yield careful_rows(file, columns, delimiter, spare)
        except OSError as error:
            raise CannotReadOrWrite(f"{file.name}: {error.strerror}") from None

    return read


READERS: dict[str, Reader] = {".csv": _csv(","), ".tsv": _csv("\t")}


def _header(file: InputFile, delimiter: str) -> tuple[str, ...]:
    """The column names of the file's first record, blanks around them taken off, in small letters."""
    first = next(records(file.path, delimiter), None)
    if first is None:
        return ()
    where = f"{file.name}:{first.line}"
    with file.path.open("rb") as opened:
        if opened.read(2) in (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE):
            raise CannotReadOrWrite(f"{where}: found UTF-16, expected UTF-8", help="save the file as CSV UTF-8")
    if first.error:
        raise CannotReadOrWrite(f"{where}: {first.error}")
    if "\r" in first.text:
        raise CannotReadOrWrite(f"{where}: found lines that end in a carriage return alone, expected a line feed")
    names = tuple(name.strip().lower() for name in first.cells)
    other = next((mark for mark in (";", "\t", ",", "|") if len(names) == 1 and mark in names[0]), None)
    if other:
        raise CannotReadOrWrite(
            f'{where}: found cells separated by "{other}", expected "{delimiter}"',
            help=f'save the file again as CSV with "{delimiter}" between the cells and decimal points',
        )
    twice = [name for at, name in enumerate(names) if name and name in names[:at]]
    if twice:
        raise CannotReadOrWrite(f"{where}: {twice[0]}: found two columns of this name, expected one")
    return names


def plain_rows(file: InputFile, columns: tuple[str, ...], delimiter: str) -> TextRows:
    """Rows of a file in which every record is one line: the n-th record stands in line n + 1."""
    return _text_rows(file, file.path, columns, delimiter, line="row_number() over () + 1", counts_lines=True)


def careful_rows(file: InputFile, columns: tuple[str, ...], delimiter: str, spare: Path) -> TextRows:
    """Rows of any delimited file, written out anew with their lines into `spare`; what has no shape is refused."""
    refused: list[Problem] = []
    clean = spare / "clean.csv"
    with clean.open("w", encoding="utf-8", newline="") as out:
        write = csv.writer(out)
        write.writerow([*columns, "line"])
        for record in itertools.islice(records(file.path, delimiter), 1, None):
            row, error = record.cells, record.error
            if not error and not any(cell.strip() for cell in row[len(columns) :]):
                row = row[: len(columns)]
            if not error and len(row) != len(columns):
                cells = "1 cell" if len(row) == 1 else f"{len(row)} cells"
                error = f"found {cells}, expected {len(columns)} as in the header"
            if error:
                refused.append(Problem(file.name, record.line, file.table, "", record.text, error, "row"))
            else:
                write.writerow([*row, record.line])
    line = f'"{len(columns) + 1}"::bigint'
    rows = _text_rows(file, clean, (*columns, ""), ",", line=line, counts_lines=False)
    return rows._replace(columns=columns, refused=refused)


def _text_rows(
    file: InputFile, path: Path, columns: tuple[str, ...], delimiter: str, line: str, counts_lines: bool
) -> TextRows:
    """Columns are read by their place and named only where the table knows them: a header may say anything."""
    known = {column.name for column in BY_NAME[file.table].columns}
    shape = ", ".join(f"'{at}': 'VARCHAR'" for at in range(1, len(columns) + 1))
    named = "".join(f', "{at}" as {identifier(name)}' for at, name in enumerate(columns, 1) if name in known)
    return TextRows(
        f"select {line} as line{named} from read_csv({one_path(path)}, delim={literal(delimiter)}, quote='\"', "
        f"escape='\"', header=true, auto_detect=false, hive_partitioning=false, "
        f"max_line_size={4 * LONGEST_RECORD}, columns={{{shape}}})",
        columns,
        [],
        counts_lines,
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
                text = "".join(line.text for line in taken).rstrip("\r\n")
                if len(text) > LONGEST_RECORD:
                    error = f"found a row of {len(text)} characters, expected fewer than {LONGEST_RECORD}"
                    yield Record(first.line, [], text[:200], error)
                else:
                    yield Record(first.line, row, text)


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
