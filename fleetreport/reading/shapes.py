"""A file of any format the program reads to records of text: a header record, then rows that know their line.

Delimited text, workbooks, Parquet and JSON Lines, the texts also packed with gzip. A number that is a number in its
file (a workbook's cell, say) is written with the decimal mark that the source declares, and so that it cannot be taken
for thousands; a real date is written in ISO form. So the rules for text hold for it too. Nothing here knows a table.
"""

import json
import re
from collections import Counter
from collections.abc import Collection, Iterable, Iterator
from itertools import islice
from pathlib import Path
from typing import NamedTuple

from fleetreport.problem import CannotReadOrWrite
from fleetreport.reading.number_text import number_text
from fleetreport.reading.parquet import parquet_records
from fleetreport.reading.records import (
    MOST_COLUMNS,
    PACKED,
    Record,
    as_utf8,
    bounded,
    records,
    text_lines,
    too_wide,
    unpacked,
)
from fleetreport.reading.spreadsheet import WORKBOOKS, sheet_rows

TEXTS = (".csv", ".tsv", ".txt", ".tab", ".dat", ".md")
PARQUET = (".parquet", ".pq")
JSON_LINES = (".jsonl", ".ndjson")
MARKS = (",", ";", "\t", "|")
# Titles, addresses and dates of a report stand above its header; further down a header is not looked for.
LOOKED_AT = 40
HALVES = re.compile("[\ud800-\udfff]")


class Shape(NamedTuple):
    """How a file is to be read, as far as it was declared; `wanted` are headers to know the header row by."""

    encoding: str | None = None
    delimiter: str | None = None
    sheet: str = ""
    header_row: int | None = None
    decimal: str = ""
    wanted: frozenset[str] = frozenset()

    def wants(self, name: str) -> bool:
        """Whether a column of this name may be asked for. Of several alike, a number is behind the name asked for; one
        without a name is asked for by its place.
        """
        told = told_as(name)
        return not told or not self.wanted or any(told == one or one.startswith(f"{told} (") for one in self.wanted)


def kind_of(name: str) -> tuple[str, bool]:
    """What a file of this name is (`text`, `workbook`, `parquet`, `json lines`, or ``), and whether it is packed."""
    lower = name.lower()
    packed = lower.endswith(PACKED)
    suffix = Path(lower.removesuffix(PACKED)).suffix
    for kind, suffixes in (("text", TEXTS), ("workbook", WORKBOOKS), ("parquet", PARQUET), ("json lines", JSON_LINES)):
        if suffix in suffixes and not (packed and kind in ("workbook", "parquet")):
            return kind, packed
    return "", packed


class Opened(NamedTuple):
    """A file's records, the header first, and the mark between the cells of a text (empty for other formats)."""

    records: Iterator[Record]
    mark: str = ""


def told_as(name: str) -> str:
    """A header as it is compared: blanks evened out, small letters."""
    return " ".join(name.replace("\ufeff", "").split()).casefold()


def open_records(path: Path, name: str, spare: Path, shape: Shape) -> Opened:
    """The file's records from the header on; the first one is the header.

    An empty file gives none. Raises CannotReadOrWrite where the file cannot be read at all.
    """
    kind, packed = kind_of(path.name)
    usual = usual_delimiter(path.name)
    try:
        if packed:
            path = unpacked(path, name, spare)
        if kind == "workbook":
            return Opened(from_header(_workbook(path, name, spare, shape), shape))
        if kind == "parquet":
            return Opened(parquet_records(path, name, shape.decimal, shape.wants))
        if kind == "json lines":
            return Opened(_json_lines(as_utf8(path, name, shape.encoding, spare), name, shape))
        text = as_utf8(path, name, shape.encoding, spare)
        mark = shape.delimiter or likely_delimiter(text, shape.wanted, usual)
        return Opened(from_header(records(text, mark, shape.encoding or "UTF-8"), shape), mark)
    except OSError as error:
        raise CannotReadOrWrite(f"{name}: {error.strerror or error}") from None


def numbered(names: Iterable[str]) -> Iterator[str]:
    """Names as a section calls them: with a number behind where one comes again."""
    seen: Counter[str] = Counter()
    for name in names:
        again = seen[told_as(name)]
        given = f"{name} ({again + 1})" if again else name
        seen[told_as(re.sub(r" \(\d+\)$", "", given))] += 1
        yield given


def usual_delimiter(name: str) -> str:
    """The mark between cells that a file's name promises."""
    return "\t" if name.lower().removesuffix(PACKED).endswith((".tsv", ".tab")) else ","


def likely_delimiter(path: Path, wanted: Collection[str], usual: str) -> str:
    """The mark under which a record holds most of the wanted headers; without any, the one that gives even rows."""

    def score(mark: str) -> tuple[float, float, bool]:
        first = [record.cells for record in islice(records(path, mark), LOOKED_AT) if not record.error]
        hits = max((len({told_as(cell) for cell in cells} & set(wanted)) for cells in first), default=0)
        lengths = Counter(len(cells) for cells in first if len(cells) > 1)
        width, count = max(lengths.items(), key=lambda item: (item[1], item[0]), default=(0, 0))
        even = count / len(first) * (1 - 1 / width) if first and width else 0
        return hits, even, mark == usual

    return max(MARKS, key=score)


def from_header(found: Iterable[Record], shape: Shape) -> Iterator[Record]:
    """The records from the header on: the row named, else the one of the first LOOKED_AT that holds
    most of the wanted headers, else the first.

    With header row 0 the columns have no names and a header `column 1`, `column 2` … is put in front.
    """
    found = iter(found)
    if shape.header_row:
        yield from (record for record in found if record.line >= shape.header_row)
        return
    first = list(islice(found, LOOKED_AT))
    if shape.header_row == 0:
        lengths = Counter(len(record.cells) for record in first if not record.error)
        width = max(lengths, key=lambda length: (lengths[length], length), default=0)
        if width:
            yield Record(0, [f"column {at}" for at in range(1, width + 1)], "")
        yield from first
    else:
        at = header_at(first, shape.wanted)
        yield from first[at:]
    yield from found


def header_at(first: list[Record], wanted: Collection[str]) -> int:
    """Which of the first records holds most of the wanted headers; the first record where none does."""
    hits = [len({told_as(cell) for cell in record.cells} & set(wanted)) for record in first]
    return hits.index(max(hits)) if hits and max(hits) > 0 else 0


def _workbook(path: Path, name: str, spare: Path, shape: Shape) -> Iterator[Record]:
    sheet = ""
    for row in sheet_rows(path, name, spare, shape.sheet):
        if row.number == 0:
            if sheet:
                return
            sheet = row.sheet
            continue
        cells = [number_text(c[1:], shape.decimal) if c[:1] == "n" else c[1:] for c in row.cells]
        yield bounded(Record(row.number, cells, "\t".join(cells)))


def _json_lines(path: Path, name: str, shape: Shape) -> Iterator[Record]:
    """One object a line; the columns are all keys that occur, in the order in which they first do."""
    keys: dict[str, None] = {}
    for found, _ in _objects(path, shape):
        keys.update(dict.fromkeys(found))
        if len(keys) > MOST_COLUMNS:
            raise too_wide(name, f"more than {MOST_COLUMNS} different keys")
    if keys:
        yield Record(0, list(keys), "")
    for found, record in _objects(path, shape):
        yield record._replace(cells=[found.get(key, "") for key in keys])


def _objects(path: Path, shape: Shape) -> Iterator[tuple[dict[str, str], Record]]:
    def number(text: str) -> str:
        return number_text(text, shape.decimal)

    for record in text_lines(path):
        text = record.text.strip()
        if not text and not record.error:
            continue
        try:
            found = {} if record.error else json.loads(
                text, parse_float=number, parse_int=str, object_pairs_hook=_pairs
            )  # fmt: skip
            error = record.error or ("" if isinstance(found, dict) else "found no JSON object, expected one")
            told = {} if error else {_no_halves(key): _value_text(value) for key, value in found.items()}
        except RecursionError:
            told, error = {}, "found JSON that is nested too deep, expected one object of plain values"
        except ValueError as fault:
            told, error = {}, f"found a line that is no JSON object ({fault}), expected one"
        if len(told) > MOST_COLUMNS:
            told, error = {}, f"found {len(told)} keys, expected {MOST_COLUMNS} at most"
        yield told, record._replace(text=text[:1000], error=error)


def _pairs(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise ValueError("a key stands twice")
    return found


def _no_halves(text: str) -> str:
    """Halves of characters, which JSON can write and UTF-8 cannot, as the sign for what is no character."""
    return text.encode("utf-16", "surrogatepass").decode("utf-16", "replace") if HALVES.search(text) else text


def _value_text(value: object) -> str:
    if value is None or isinstance(value, str):
        return _no_halves(value or "")
    return str(value).lower() if isinstance(value, bool) else json.dumps(value, ensure_ascii=False)
