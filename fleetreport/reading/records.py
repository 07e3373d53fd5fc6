"""Delimited text to records that know their line: any encoding, quoted line breaks, and what is left of broken rows.

`as_utf8` gives a file as plain UTF-8 text, unpacked and written out anew where it is not; `records` tells its
records apart. A line that cannot be read carries its error and costs nothing else. Nothing here knows what a column is.
"""

import codecs
import csv
import gzip
import zlib
from collections import deque
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO, NamedTuple

from fleetreport.problem import CannotReadOrWrite

LONGEST_RECORD = 1_000_000
# A wider file is no table; each column costs time and memory, whatever stands in it.
MOST_COLUMNS = 2000
MOST_LINES_IN_A_RECORD = 200
BLOCK = 1 << 22
# What a packed file may unpack to; more is taken for a file made to fill the disk.
MOST_UNPACKED = 4 << 30


PACKED = ".gz"


def as_utf8(path: Path, name: str, encoding: str | None, spare: Path) -> Path:
    """The same text as UTF-8: the file itself, or written out anew into `spare`.

    A byte that the encoding does not have stays what it is, so that it costs its line only. UTF-16 is known by its byte
    order mark. Raises CannotReadOrWrite where the file cannot be decoded at all.
    """
    with path.open("rb") as file:
        mark = file.read(2)
    if mark in (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE) and encoding in (None, "utf-16"):
        encoding = "utf-16"
    if encoding in (None, "utf-8"):
        return path
    written = spare / "utf8.txt"
    try:
        with (
            path.open("r", encoding=encoding, errors="surrogateescape", newline="") as text,
            written.open("w", encoding="utf-8", errors="surrogateescape", newline="") as out,
        ):
            while block := text.read(BLOCK):
                out.write(block)
    except (UnicodeError, LookupError) as error:
        raise CannotReadOrWrite(f"{name}: found bytes that are no {encoding} text: {error}") from None
    return written


def unpacked(path: Path, name: str, spare: Path) -> Path:
    """A gzip file unpacked into `spare`. Raises CannotReadOrWrite where it is broken or too large."""
    # In a folder of its own: a file may be called like one that is written into `spare` later.
    inner = spare / "unpacked" / path.name[: -len(PACKED)]
    inner.parent.mkdir(exist_ok=True)
    size = 0
    try:
        with gzip.open(path) as packed, inner.open("wb") as out:
            while block := packed.read(BLOCK):
                size += len(block)
                if size > MOST_UNPACKED:
                    raise CannotReadOrWrite(
                        f"{name}: found a file that unpacks to more than {MOST_UNPACKED} bytes, expected less"
                    )
                out.write(block)
    except (gzip.BadGzipFile, EOFError, zlib.error) as error:
        raise CannotReadOrWrite(f"{name}: found a broken gzip file ({error})", help="copy the file again") from None
    return inner


class Record(NamedTuple):
    """A record of a delimited file: the physical line it starts in, its cells, its text, and why it cannot be read."""

    line: int
    cells: list[str]
    text: str
    error: str = ""


def records(path: Path, delimiter: str, encoding: str = "UTF-8") -> Iterator[Record]:
    """The records of a delimited file, blank lines left out.

    A record goes on while a quotation mark is open. One that is not closed within MOST_LINES_IN_A_RECORD is given up
    after its first line, so that it does not swallow what follows.
    """
    with path.open("rb") as file:
        lines = _lines(file, encoding)
        waiting: deque[Record] = deque()
        while first := waiting.popleft() if waiting else next(lines, None):
            if first.error:
                yield first
                continue
            taken = [first]
            row = None
            # Where a mark is badly closed no further line can help, and to try them all would take for ever.
            with suppress(csv.Error):
                while (row := cells_of([line.text for line in taken], delimiter)) is None:
                    more = waiting.popleft() if waiting else next(lines, None)
                    if more is None or more.error or len(taken) == MOST_LINES_IN_A_RECORD:
                        waiting.extendleft([more] if more else [])
                        break
                    taken.append(more)
            if row is None:
                waiting.extendleft(reversed(taken[1:]))
                yield first._replace(error="found a quotation mark that is not closed, expected a pair")
            elif any(line.text.strip("\r\n") for line in taken):
                yield bounded(Record(first.line, row, "".join(line.text for line in taken).rstrip("\r\n")))


def bounded(record: Record) -> Record:
    """The record, or what is said of one that is longer than a table's."""
    if len(record.text) <= LONGEST_RECORD:
        return record
    error = f"found a row of {len(record.text)} characters, expected fewer than {LONGEST_RECORD}"
    return Record(record.line, [], record.text[:200], error)


def too_wide(where: str, found: str) -> CannotReadOrWrite:
    """What is said of a file that has more columns than a table has."""
    return CannotReadOrWrite(f"{where}: found {found}, expected {MOST_COLUMNS} columns at most")


def cells_of(lines: list[str], delimiter: str) -> list[str] | None:
    """The cells of a record that stands in these lines; None while a quotation mark is open.

    Raises csv.Error where one of several lines has a mark that is badly closed.
    """
    csv.field_size_limit(LONGEST_RECORD * MOST_LINES_IN_A_RECORD)
    try:
        return next(csv.reader(lines, delimiter=delimiter, strict=True), [])
    except csv.Error as error:
        if "unexpected end of data" in str(error):
            return None
        if len(lines) > 1:
            raise
        # Text after a closing quotation mark, say: not RFC 4180, but the cells can still be told apart.
        return lines[0].rstrip("\r\n").split(delimiter)


def text_lines(path: Path, encoding: str = "UTF-8") -> Iterator[Record]:
    """The physical lines of a file, none of them told apart into cells."""
    with path.open("rb") as file:
        yield from _lines(file, encoding)


def _lines(file: BinaryIO, encoding: str) -> Iterator[Record]:
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
            error = f"found a byte that is not {encoding} (byte {fault.start + 1} of the line), expected {encoding}"
            yield Record(number, [], _shown(line), error)


def _shown(line: bytes) -> str:
    return line.decode("utf-8", "backslashreplace").rstrip("\r\n")


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
