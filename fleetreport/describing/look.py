"""A first look at a strange file: how its text is written, which mark parts its cells, where its header stands.

`look_at` gives the header's names and rows of that width, for `describe` to profile. Nothing here judges a column.
"""

import codecs
import re
import tempfile
from collections import Counter
from collections.abc import Sequence
from itertools import islice
from pathlib import Path
from typing import NamedTuple

from fleetreport.describing.header_words import WORDS, header_score
from fleetreport.problem import CannotReadOrWrite, WrongCall
from fleetreport.reading.records import MOST_COLUMNS, Record, as_utf8, too_wide, unpacked
from fleetreport.reading.shapes import (
    Shape,
    kind_of,
    likely_delimiter,
    numbered,
    open_records,
    usual_delimiter,
)
from fleetreport.reading.spreadsheet import FIRST_ROWS, sheet_rows
from fleetreport.tables import TABLES

# So many rows say what a column is; the run reads them all.
MOST_ROWS = 100_000
HEADER_WITHIN = 40
MOST_NULS = 0.002  # of the bytes of a text: a broken export has a few, a program's own file many
ALL_WORDS = frozenset(
    {word for words in WORDS.values() for word in words} | {c.name for t in TABLES for c in t.columns}
)
# Before the first figure no figure may stand, or a long cell is tried in as many ways as it has figures.
DATA = re.compile(r"[-+(]?[.,' ]*\d[\d.,:/' -]*\)?|\d{4}-\d\d-\d\d.*")


class Look(NamedTuple):
    """What a file looks like. `encoding` is empty for UTF-8 and UTF-16 with a mark; `other_encodings` could be meant.

    `header_line` is 0 where the columns have no names; `first_line` is the first line that is not blank. `ragged` rows
    have another width than the header.
    """

    kind: str
    names: list[str]
    rows: list[list[str]]
    encoding: str = ""
    other_encodings: tuple[str, ...] = ()
    delimiter: str = ""
    sheets: tuple[str, ...] = ()
    other_sheets: tuple[str, ...] = ()
    header_line: int = 1
    first_line: int = 1
    ragged: int = 0
    unreadable: int = 0
    is_cut: bool = False


def look_at(path: Path, sheet: str = "") -> Look:
    """Look at a file. Raises CannotReadOrWrite where it cannot be read, WrongCall for a sheet that it does not have."""
    kind, packed = kind_of(path.name)
    if not path.is_file():
        there = "a folder" if path.is_dir() else "no such file"
        raise CannotReadOrWrite(f"{path}: found {there}, expected a file of rows")
    if not kind:
        kind = "text"
    with tempfile.TemporaryDirectory(prefix="fleetreport-") as folder:
        spare = Path(folder)
        if kind == "workbook":
            return _look_at_workbook(path, spare, sheet)
        if sheet:
            raise WrongCall(f"--sheet: found {sheet}, expected it for a workbook only")
        if kind != "text":
            return _looked(
                path.name, kind, list(islice(open_records(path, path.name, spare, Shape()).records, MOST_ROWS + 2))
            )
        plain = unpacked(path, path.name, spare) if packed else path
        encoding, others = encoding_of(plain)
        _see_that_it_is_text(plain, path.name, encoding)
        text = as_utf8(plain, path.name, encoding or None, spare)
        mark = likely_delimiter(text, ALL_WORDS, usual_delimiter(path.name))
        shape = Shape(encoding or None, mark, header_row=1)
        (spare / "again").mkdir()
        records = list(islice(open_records(plain, plain.name, spare / "again", shape).records, MOST_ROWS + 2))
        is_usual = mark == usual_delimiter(path.name)
        return _looked(path.name, kind, records)._replace(
            encoding=encoding, other_encodings=others, delimiter="" if is_usual else mark
        )


def _see_that_it_is_text(path: Path, name: str, encoding: str) -> None:
    """Raises CannotReadOrWrite for a picture, say: text has a NUL byte here and there at most, but in UTF-16."""
    with path.open("rb") as file:
        data = file.read(1 << 16)
    nuls = data.count(0)
    is_utf_16 = encoding.startswith("utf-16") or data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    if nuls > MOST_NULS * len(data) and not is_utf_16:
        raise CannotReadOrWrite(
            f"{name}: found {nuls} NUL bytes in the first {len(data)}, expected a text, a workbook or another table"
        )


def encoding_of(path: Path) -> tuple[str, tuple[str, ...]]:
    """The encoding that has to be declared (empty: none has to), and others that could be meant."""
    with path.open("rb") as file:
        data = file.read(1 << 24)
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "", ()
    if data[1:400:2].count(0) > data[:400].count(b"\n"[0]) + len(data[:400]) // 4:
        return "utf-16-le", ()
    if data[0:400:2].count(0) > len(data[:400]) // 4:
        return "utf-16-be", ()
    try:
        codecs.getincrementaldecoder("utf-8-sig")().decode(data)
    except UnicodeDecodeError as fault:
        # One broken byte in a file of UTF-8 does not make it another encoding.
        high = sum(byte >= 0x80 for byte in data)
        if fault.start > 1000 and high and len(data.decode("utf-8", "ignore").encode()) > len(data) - high // 20:
            return "", ()
    else:
        return "", ()
    # Letters of DOS and old Mac files are quotation marks and controls in Windows ones.
    low = len(re.findall(rb"[A-Za-z][\x80-\x9f](?=[A-Za-z])", data))
    high_letters = len(re.findall(rb"[A-Za-z][\xc0-\xff](?=[A-Za-z])", data))
    if low > high_letters:
        return "cp850", ("mac_roman", "cp437", "cp852")
    return "cp1252", ("cp1250", "iso-8859-15")


def _look_at_workbook(path: Path, spare: Path, sheet: str) -> Look:
    first: dict[str, list[Record]] = {}
    for row in sheet_rows(path, path.name, spare, most_rows=FIRST_ROWS):
        of_sheet = first.setdefault(row.sheet, [])
        if row.number:
            of_sheet.append(Record(row.number, [cell[1:] for cell in row.cells], ""))
    if sheet and sheet not in first:
        raise WrongCall(f'--sheet: found "{sheet}", expected one of {", ".join(first)}')
    if not first:
        raise CannotReadOrWrite(f"{path.name}: found a workbook without sheets")
    headers = {name: _header(rows) for name, rows in first.items()}
    chosen = sheet or max(first, key=lambda name: (headers[name][1], len(first[name])))
    named = first[chosen][headers[chosen][0]].cells if first[chosen] else []
    alike = tuple(name for name, (at, _) in headers.items() if first[name] and first[name][at].cells[:3] == named[:3])
    meant = (sheet,) if sheet else alike or (chosen,)
    others = tuple(name for name in first if name not in meant and first[name])
    found = list(islice(open_records(path, path.name, spare, Shape(sheet=chosen, header_row=1)).records, MOST_ROWS + 2))
    return _looked(path.name, "workbook", found)._replace(sheets=meant, other_sheets=others)


def _looked(where: str, kind: str, found: list[Record]) -> Look:
    """Split what was found into the header and rows of its width. Raises CannotReadOrWrite for one that is too wide."""
    readable = [record for record in found if not record.error]
    if not readable:
        return Look(kind, [], [], unreadable=len(found))
    at, score = (0, 1) if kind in ("parquet", "json lines") else _header(readable[:HEADER_WITHIN])
    width = len(readable[at].cells)
    if not score:
        widths = Counter(len(record.cells) for record in readable[:HEADER_WITHIN])
        width = max(widths, key=lambda size: (widths[size], size))
    if width > MOST_COLUMNS:
        raise too_wide(where, f"{width} columns")
    names = [cell.strip() for cell in readable[at].cells] if score else [""] * width
    body = [record.cells for record in readable[at + (1 if score else 0) :]]
    rows = [[*row[: width - 1], ", ".join(row[width - 1 :]), *[""] * width][:width] for row in body]
    ragged = sum(len(row) != width and any(cell.strip() for cell in row[width:] or ["x"]) for row in body)
    return Look(
        kind, _distinct(names), rows[:MOST_ROWS], header_line=readable[at].line if score else 0,
        first_line=readable[0].line, ragged=ragged, unreadable=len(found) - len(readable), is_cut=len(rows) > MOST_ROWS,
    )  # fmt: skip


def _distinct(names: Sequence[str]) -> list[str]:
    """Names as a section has to call them: by their place where blank, with a number where they come again."""
    shown = (" ".join(name.replace("\ufeff", "").split()) for name in names)
    return list(numbered(name or f"column {at}" for at, name in enumerate(shown, 1)))


def _header(rows: Sequence[Record]) -> tuple[int, int]:
    """Which of the first rows is the header, and how sure that is: 0 where the columns have no names."""
    best, score = 0, 0
    for at, record in enumerate(rows):
        filled = [cell for cell in record.cells if cell.strip()]
        if len(filled) < 2 or any(DATA.fullmatch(cell.strip()) for cell in filled):
            continue
        hits = sum(any(header_score(thing, cell) for thing in WORDS) for cell in filled)
        if hits > score:
            best, score = at, hits
    if score:
        return best, score
    filled = [cell.strip() for cell in rows[0].cells if cell.strip()] if rows else []
    is_text = bool(filled) and not any(DATA.fullmatch(cell) for cell in filled)
    return 0, int(is_text)
