"""Find the files of a fleet folder: those named like a table, and those that `[[source]]` sections name.

A workbook with several sheets is a file for each sheet that is meant. Nothing here reads rows, but for the first ones
of such a workbook.
"""

import os
import tempfile
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from fleetreport.problem import CannotReadOrWrite
from fleetreport.reading.shapes import kind_of, told_as
from fleetreport.reading.spreadsheet import FIRST_ROWS, sheet_rows
from fleetreport.settings.sources import Source
from fleetreport.tables import BY_NAME

READ = ".csv, .tsv, .xlsx, .parquet, .jsonl, or .csv.gz"
# Formats that tables come in and that have no reader: such a file is refused, not overlooked.
NOT_READ = (".json", ".xlsb", ".zip", ".gz", ".7z", ".bz2", ".zst", ".db", ".sqlite", ".mdb", ".xml", ".numbers")


class InputFile(NamedTuple):
    """A file of a fleet folder, the table it belongs to, and its name as people are told it.

    `source` is the section of fleet.toml that says how it is read (none: it has our columns), `sheet` the sheet of a
    workbook with several. A file that several sections name is several InputFiles with different names.
    """

    table: str
    path: Path
    name: str
    source: Source | None = None
    sheet: str = ""


def find_files(
    fleet: Path, sources: Sequence[Source] = (), unreadable: list[str] | None = None
) -> tuple[list[InputFile], list[str]]:
    """The input files of a fleet folder in the order of their names, and remarks on files and sources not used.

    A table is a file or a folder of its name; links are followed. A file that a source names is read as the source
    says, whatever it is called. Raises CannotReadOrWrite where a folder cannot be read, a file has a format without a
    reader, or a source names one outside the folder; given the list `unreadable`, what is wrong with files
    and sources is added there instead and the rest is found.
    """
    faults: list[str] = []
    if not fleet.is_dir():
        raise CannotReadOrWrite(f"{fleet}: found no such folder, expected a fleet folder")
    remarks: list[str] = []
    named = _named_by_sources(fleet, sources, faults, remarks)
    found: list[InputFile] = []
    strangers: list[str] = []
    for path in _entries(fleet):
        if path.is_dir():
            if path.name in BY_NAME:
                for inside in _entries(path):
                    _sort_out(path.name, inside, f"{path.name}/{inside.name}", found, strangers)
            elif path.name.split(".")[0] in BY_NAME and kind_of(path.name)[0]:
                strangers.append(path.name)
        else:
            _sort_out(path.name.split(".")[0], path, path.name, found, strangers)
    taken = {_real(path) for path, _, _ in named}
    found = [file for file in found if _real(file.path) not in taken]
    strangers = [name for name in strangers if _real(fleet / name) not in taken]
    times_named = Counter(path for path, _, _ in named)
    for path, number, source in named:
        name = path.relative_to(fleet).as_posix()
        shown = f"{name} (source {number})" if times_named[path] > 1 else name
        found.append(InputFile(source.table, path, shown, source))
    faults += [f"{utf8(file.name)}: found a name that is no UTF-8, expected one to call the file by"
               for file in found if utf8(file.name) != file.name]  # fmt: skip
    found = [file for file in found if utf8(file.name) == file.name]
    faults += [f"{file.name}: found a {file.path.suffix} file, expected {READ}"
               for file in found if not kind_of(file.path.name)[0]]  # fmt: skip
    sheets: list[InputFile] = []
    helps: list[str] = []
    for file in found:
        if kind_of(file.path.name)[0]:
            try:
                sheets += _by_sheet(file, strangers)
            except CannotReadOrWrite as error:
                faults += error.messages
                helps += [error.help] if error.help else []
    if unreadable is not None:
        unreadable += faults
    elif faults:
        raise CannotReadOrWrite(*faults, help=next(iter(helps), ""))
    remarks += [f"{utf8(name)}: this file belongs to no table and was not read" for name in sorted(strangers)]
    return sorted(sheets, key=lambda file: file.name), remarks


def utf8(name: str) -> str:
    """A file's name as text that can be written: bytes that are no UTF-8 (POSIX allows any) as their codes."""
    return os.fsencode(name).decode("utf-8", "backslashreplace")


def _real(path: Path) -> Path:
    """Where a path leads; one whose links go in a ring leads to itself, where resolve() raises an error."""
    return Path(os.path.realpath(path))


def _is_unread(path: Path) -> bool:
    return path.suffix.lower() in NOT_READ


def _named_by_sources(
    fleet: Path, sources: Sequence[Source], faults: list[str], remarks: list[str]
) -> list[tuple[Path, int, Source]]:
    """The files of each source with its number; one outside the folder is added to `faults`,
    a source without any to `remarks`.
    """
    home = _real(fleet)
    named: list[tuple[Path, int, Source]] = []
    for number, source in enumerate(sources, 1):
        key = f"{fleet / 'fleet.toml'}: source {number}: files"
        try:
            paths = sorted(path for path in fleet.glob(source.files) if path.is_file() and not _is_hidden(path, fleet))
        except (ValueError, OSError) as error:
            faults.append(f'{key}: found "{source.files}", expected a pattern such as fuel/*.csv ({error})')
            continue
        if not paths:
            remarks.append(f'fleet.toml: source {number}: no file fits "{source.files}" now, so it brings nothing')
        outside = [path for path in paths if home not in _real(path).parents]
        faults += [f"{key}: {path}: found a link out of the fleet folder, expected a file in it" for path in outside]
        named += [(path, number, source) for path in paths if path not in outside]
    return named


def _is_hidden(path: Path, fleet: Path) -> bool:
    # Spreadsheets keep a file that begins with ~$ beside each that is open.
    return any(part.startswith((".", "~$")) for part in path.relative_to(fleet).parts)


def _entries(folder: Path) -> list[Path]:
    """What stands in a folder, hidden things left out."""
    try:
        return [path for path in sorted(folder.iterdir()) if not path.name.startswith((".", "~$"))]
    except OSError as error:
        raise CannotReadOrWrite(f"{folder}: {error.strerror}") from None


def _sort_out(table: str, path: Path, name: str, found: list[InputFile], strangers: list[str]) -> None:
    # Notes stand beside tables; in a source they may hold a table's lines.
    is_table = bool(kind_of(path.name)[0]) and path.suffix.lower() not in (".txt", ".md", ".dat")
    if path.is_file() and table in BY_NAME and (is_table or _is_unread(path)):
        found.append(InputFile(table, path, name))
    elif "/" in name or table in BY_NAME or is_table:
        # Beside the tables people keep notes and pictures; in a table's folder every file is meant to be read.
        strangers.append(name)


def _by_sheet(file: InputFile, strangers: list[str]) -> list[InputFile]:
    """The file, or one for each of its sheets that is meant: those the source names, else those with the header."""
    if kind_of(file.path.name)[0] != "workbook":
        return [file]
    with tempfile.TemporaryDirectory(prefix="fleetreport-") as spare:
        first: dict[str, list[list[str]]] = {}
        for row in sheet_rows(file.path, file.name, Path(spare), most_rows=FIRST_ROWS):
            first.setdefault(row.sheet, []).append([told_as(cell[1:]) for cell in row.cells])
    asked = file.source.sheet if file.source else ()
    missing = [sheet for sheet in asked if sheet not in first]
    if missing:
        raise CannotReadOrWrite(
            f'{file.name}: found no sheet "{missing[0]}", which [[source]] sheet names, only {", ".join(first)}'
        )
    wanted = _wanted(file)
    fitting = [sheet for sheet, rows in first.items() if any(wanted <= set(row) for row in rows)]
    meant = list(asked) or fitting or list(first)[:1]
    filled = [sheet for sheet, rows in first.items() if any(rows)]
    if len(filled) > 1 or asked:
        strangers += [f"{file.name} [{sheet}]" for sheet in filled if sheet not in meant and not asked]
        return [file._replace(name=f"{file.name} [{sheet}]", sheet=sheet) for sheet in meant]
    return [file._replace(sheet=sheet) for sheet in meant]


def _wanted(file: InputFile) -> set[str]:
    """The headers without which a sheet is not what the file is read for."""
    if file.source:
        return {told_as(header) for column in file.source.columns.values() for header in column.header}
    return {c.name for c in BY_NAME[file.table].columns if c.needed and c.default is None}
