"""Whole fleet folders with hostile or damaged files: no traceback, no hang, bounded memory, every row accounted for.

The named cases are in hostile_folders.py, which is run once in a process of its own with a bound on its memory and on
the time of each case. `HOSTILE_EXAMPLES=500 pytest -n 0 tests/trust/test_hostile_folders.py` damages as many folders at
random.
"""

import gzip
import json
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import duckdb
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from test_incremental_load import ROWS

sys.path.insert(0, str(Path(__file__).parent))
import hostile_folders

HERE = Path(__file__).parent
# A week of a fleet this small takes some 200 MiB, most of it the libraries'.
MOST_MIB = 700
TOO_WIDE = r"^readings\.\w+(:1)?: found 1?\d+ columns, expected 2000 columns at most$"
OUTSIDE = r"^/fleet/fleet.toml:\d+: source 1: files: found .*expected a file of the fleet folder"
NO_TABLE = "^readings.csv: this file belongs to no table and was not read$"
# What stops the run (a pattern), or rows read, loaded, repeated, set aside of the file meant and a reason or remark.
EXPECTED: dict[str, str | tuple[str, tuple[int, int, int, int], str]] = {
    "100,000 columns": TOO_WIDE,
    "100,000 cells in a row": ("readings.csv", (2, 1, 0, 1), "^found 100003 cells, expected 3 as in the header$"),
    "100,000 columns of one name": TOO_WIDE,
    "100,000 columns in a source": r"^x\.csv:1: found 100003 columns, expected 2000 columns at most$",
    "100,000 keys": r"^readings\.jsonl:1: found a line of 1288891 bytes, expected fewer than 1000000$",
    "100,000 keys over lines": "^readings.jsonl: found more than 2000 different keys",
    "5,000 columns of parquet": TOO_WIDE,
    "16,384 columns of a sheet": TOO_WIDE,
    "a cell of 10 MB": ("readings.csv", (2, 1, 0, 1), "^found a line of 10485775 bytes, expected fewer than 1000000$"),
    "a quoted cell of 10 MB in many lines": ("readings.csv", (10_002, 1, 0, 10_001), "mark that is not closed"),
    "a header of 10 MB": "^readings.csv:1: found a line of 10485780 bytes",
    "a JSON value of 10 MB": ("readings.jsonl", (2, 1, 0, 1), "^found a line of 10485810 bytes"),
    "a cell of 10 MB in a sheet": ("readings.xlsx", (2, 1, 0, 1), "^found a row of 10485762 characters"),
    "a cell of 10 MB in parquet": ("readings.parquet", (2, 1, 0, 1), "^found a row of 10000014 characters"),
    "a gzip bomb": "^readings.csv.gz: found a file that unpacks to more than 67108864 bytes",
    "a zip bomb": "^readings.xlsx: found a workbook that unpacks to over 67108864 bytes",
    "a workbook that says it has the last row": "^readings.xlsx: found a workbook that needs more memory",
    "entities that grow": "^readings.xlsx: found a file that cannot be read as a workbook .*unrecognized entity",
    "an entity that names a file": "^readings.xlsx: found a file that cannot be read as a workbook .*unrecognized",
    "deep JSON": ("readings.jsonl", (3, 1, 0, 2), "^found JSON that is nested too deep"),
    "JSON as deep as it goes": ("readings.jsonl", (300, 0, 0, 300), "^expected a number"),
    "numbers with huge exponents": ("readings.jsonl", (9, 1, 0, 8), "^expected a number"),
    "halves of characters": ("readings.jsonl", (2, 1, 0, 1), "^expected one that stands in vehicles$"),
    "numbers of a sheet that are none": ("readings.xlsx", (6, 2, 0, 4), "^expected a number"),
    "numbers of parquet that are none": ("readings.parquet", (5, 1, 0, 4), "^expected a number"),
    "strange values": ("readings.csv", (25, 3, 0, 22), "^expected a date or a time"),
    "ids that differ in case or blanks": ("vehicles.csv", (6, 5, 1, 0), ""),
    "NULs": ("readings.csv", (5, 1, 0, 4), "^expected a date"),
    "NULs alone": "^readings.csv:1: vehicle_id: found no column of this name",
    "a source above the folder": OUTSIDE,
    "a source above the folder, by a way round": OUTSIDE,
    "a source of the root": OUTSIDE,
    "a link out of the folder": "found a link out of the fleet folder, expected a file in it$",
    "a link to itself": "^history/tasks.csv:1: vehicle_id: found no column of this name",
    "a source of links in a ring": ("fuel/x.csv", (1, 1, 0, 0), ""),
    "a link to nothing": ("vehicles.csv", (2, 2, 0, 0), NO_TABLE),
    "a device": ("vehicles.csv", (2, 2, 0, 0), NO_TABLE),
    "a pipe": ("vehicles.csv", (2, 2, 0, 0), NO_TABLE),
    "a folder with a table's file name": ("vehicles.csv", (2, 2, 0, 0), NO_TABLE),
    "names that are no UTF-8": r"^readings/\\xff\\xfe\.csv: found a name that is no UTF-8",
    "names that steer": ("readings/\x1b[2J'\"<b>\n;.csv", (2, 1, 0, 1), "^expected a date"),
    "a name that is a pattern": ("readings/a[1]*?.csv", (1, 1, 0, 0), ""),
    "settings of 10 MB": ("vehicles.csv", (2, 2, 0, 0), ""),
    "deep settings": "^/fleet/fleet.toml: found brackets that are nested too deep",
    "deep keys of settings": "^/fleet/fleet.toml:1: found more than 1000 points in a line",
    "numbers of settings that are none": "week.horizon_days: found 99999999999999999999, expected less than",
    "a pattern that could take for ever": ("x.csv", (2, 1, 0, 1), "^expected one that stands in vehicles$"),
    "marks that open on every line": ("readings.csv", (3000, 0, 0, 3000), "mark that is not closed"),
    "rows of quotation marks": ("readings.csv", (1500, 0, 0, 1500), "^found 1 cell, expected 3 as in the header$"),
    "a mark unlike any line": "^readings.csv:1: reading: found no column of this name",
}


@pytest.fixture(scope="module")
def outcomes() -> dict[str, dict[str, Any]]:
    """What each case came to, by its name."""
    done = subprocess.run(
        [sys.executable, HERE / "hostile_folders.py"], capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": os.pathsep.join([*sys.path, str(HERE)])},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return {found["case"]: found for found in map(json.loads, done.stdout.splitlines())}


@pytest.mark.skipif(sys.platform == "win32", reason="POSIX limits, links and names")
@pytest.mark.parametrize("case", hostile_folders.CASES)
def test_a_hostile_folder_is_told_in_words_or_does_no_harm(outcomes: dict[str, dict[str, Any]], case: str) -> None:
    found, expected = outcomes[case], EXPECTED[case]
    assert found["peak"] <= MOST_MIB
    if isinstance(expected, str):
        assert any(re.search(expected, said) for said in found["stopped"]), found
        return
    file, rows, reason = expected
    assert [file, *rows] in found["accounts"], found
    said = [*(why for _, _, why in found["why"]), *found["remarks"]]
    assert not reason or any(re.search(reason, one) for one in said), found


def test_a_value_is_read_as_it_stands_or_not_at_all(outcomes: dict[str, dict[str, Any]]) -> None:
    """Of the strange ones only ids with a blank around them are; nothing becomes another day or figure."""
    refused = {line for file, line, _ in outcomes["strange values"]["why"] if file == "readings.csv"}
    assert len(refused) == 20  # the first ones of 22 are told
    assert not refused & {20, 22, 26}


NASTY = ("\0", "\u202e", "\u2066", "\u200b", "\u2060", "\ufeff", "\x1b[2J", "\x85", "\u2028", "\U0001f69b", "\ufffe")
VALUES = (
    "", "NaN", "inf", "-0", "1e308", "9" * 60, "0000-01-01", "9999-12-31", "2026-02-30", "1900-01-01", "2199-12-31",
    "v1", "V1 ", " V1", "V\u00a01", "*", "=1+1", "null", "true", "{}", "x" * 5000,
)  # fmt: skip


@st.composite
def damaged_files(draw: st.DrawFn) -> tuple[dict[str, bytes], dict[str, int]]:
    """The files of a small fleet with something done to them; and how many rows each has, where that is still sure."""
    files: dict[str, bytes] = {}
    sure: dict[str, int] = {}
    hurt = draw(st.sets(st.sampled_from(sorted(ROWS)), min_size=1, max_size=4))
    for table, (head, *all_rows) in ROWS.items():
        # A line break in a cell is one of the rows to draw from: rows cannot then be counted by lines.
        rows = [row for row in all_rows if "\n" not in row]
        header = head.split(",")
        if table in hurt:
            rows = (
                draw(st.lists(st.sampled_from(rows), max_size=8))
                if draw(st.booleans())
                else draw(st.permutations(rows))
            )
            for _ in range(draw(st.integers(0, 3))):
                if rows:
                    at, cells = draw(st.integers(0, len(rows) - 1)), rows[0].split(",")
                    cells[draw(st.integers(0, len(cells) - 1))] = draw(st.sampled_from((*VALUES, *NASTY)))
                    rows = [*rows[:at], ",".join(cells), *rows[at:]]
            if draw(st.integers(0, 4)) == 0:
                header[draw(st.integers(0, len(header) - 1))] = draw(st.sampled_from((*VALUES, *NASTY, header[0])))
        sure[f"{table}.csv"] = len(rows)
        data = "\n".join([",".join(header), *rows, ""]).encode()
        if table in hurt and draw(st.integers(0, 2)) == 0:
            data = draw(hurt_bytes(data))
            del sure[f"{table}.csv"]
        packed = table in hurt and draw(st.integers(0, 5)) == 0
        files[f"{table}.csv" + (".gz" if packed else "")] = gzip.compress(data, mtime=0) if packed else data
    return files, sure


@st.composite
def hurt_bytes(draw: st.DrawFn, data: bytes) -> bytes:
    """The bytes cut, with others put in, written in another encoding, or said twice."""
    at = draw(st.integers(0, len(data)))
    how = draw(st.sampled_from(("cut", "put in", "utf-16", "latin-1", "twice", "lines", "quoted")))
    if how == "cut":
        return data[:at]
    if how == "put in":
        return data[:at] + draw(st.one_of(st.binary(max_size=20), st.sampled_from(NASTY).map(str.encode))) + data[at:]
    if how in ("utf-16", "latin-1"):
        return data.decode("utf-8").encode(how, "replace")
    if how == "twice":
        return data + data
    return data.replace(b"\n", b"\r") if how == "lines" else data[:at] + b'"' + data[at:]


@pytest.fixture(scope="module")
def database() -> Iterator[duckdb.DuckDBPyConnection]:
    with hostile_folders.passing_store(hostile_folders.Settings()) as db:
        yield db


def damaged(folder: Path, files: dict[str, bytes]) -> Path:
    for name, data in files.items():
        hostile_folders.write(folder, name, data)
    return folder


@settings(
    deadline=None, max_examples=int(os.environ.get("HOSTILE_EXAMPLES", 12)),
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)  # fmt: skip
@given(damaged_files())
def test_every_row_of_a_damaged_folder_is_accounted_for(
    database: duckdb.DuckDBPyConnection, damage: tuple[dict[str, bytes], dict[str, int]]
) -> None:
    files, sure = damage
    with tempfile.TemporaryDirectory() as folder:
        found = hostile_folders.taken(database, damaged(Path(folder), files))
    if "stopped" in found:
        assert all(re.match(r"[\w./-]+(:\d+)?: ", said) for said in found["stopped"][:-1]), found
        return
    for file, read, loaded, repeated, refused in found["accounts"]:
        assert read == loaded + repeated + refused, file
        assert read == sure.get(file, read), (file, files[file])


@settings(deadline=None, max_examples=max(2, int(os.environ.get("HOSTILE_EXAMPLES", 0)) // 10))
@given(damaged_files())
def test_check_looks_through_a_damaged_folder_to_its_end(damage: tuple[dict[str, bytes], dict[str, int]]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        found = hostile_folders.checked(damaged(Path(folder) / "fleet", damage[0]))
    assert found["code"] in (0, 1), found
    assert "unforeseen" not in found["told"]
