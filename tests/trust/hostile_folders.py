"""Fleet folders with something hostile in them, each loaded with a bound on memory and on time.

    PYTHONPATH=tests/trust python tests/trust/hostile_folders.py [--check] [CASE …]

Prints a JSON line for each case: what stopped the run, or the rows of each file as they were accounted for; seconds, and
the peak of memory in MiB (Linux). With `--check` the command `check` is run on each as well. A case that takes longer
than LONGEST ends the program with a traceback. The limits of what a packed file may unpack to are lowered, as they are
to be reached and the disk is not to be filled.
"""

# ruff: noqa: E501 - a case stands on a line.

import contextlib
import faulthandler
import gzip
import io
import json
import os
import re
import resource
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import duckdb
from fuzz_seeds import workbook_of

from fleetreport import cli
from fleetreport.problem import StopRun
from fleetreport.reading import records, spreadsheet
from fleetreport.reading.rows import find_files
from fleetreport.settings.fleet_toml import Settings, read_settings
from fleetreport.storing.loading import keep, stage
from fleetreport.storing.store import one_transaction, passing_store

MOST_MEMORY = 4 << 30
LONGEST = 120
AS_OF = "2026-11-25"
FLEET = {
    "vehicles.csv": "vehicle_id,class,in_service_on\nV1,van,2020-01-01\nV2,van,2020-01-01\n",
    "tasks.csv": "class,task,every_months,every_distance\nvan,oil,12,10000\n",
}
READINGS = "vehicle_id,read_at,reading\n"


def readings(*rows: str) -> str:
    return READINGS + "".join(f"{row}\n" for row in rows)


def write(fleet: Path, name: str, data: str | bytes) -> None:
    path = fleet / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data if isinstance(data, bytes) else data.encode("utf-8", "surrogatepass"))


def packed_zeros(mib: int) -> bytes:
    """A gzip file of zeros: a thousandth of what it unpacks to."""
    out = io.BytesIO()
    with gzip.GzipFile(fileobj=out, mode="wb", mtime=0) as packed:
        for _ in range(mib):
            packed.write(bytes(1 << 20))
    return out.getvalue()


def zip_of(parts: dict[str, bytes], most: int = 0) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file:
        for name, data in parts.items():
            with file.open(name, "w") as part:
                for _ in range(max(1, most)):
                    part.write(data)
    return out.getvalue()


def sheet_of(cells: str) -> bytes:
    return workbook_of(
        f"""<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>
        {cells}</sheetData></worksheet>""".encode()
    )


def text_cell(place: str, text: str) -> str:
    return f'<c r="{place}" t="inlineStr"><is><t>{text}</t></is></c>'


HEAD_CELLS = '<row r="1">' + "".join(
    text_cell(f"{letter}1", name) for letter, name in zip("ABC", ("vehicle_id", "read_at", "reading"), strict=True)
) + "</row>"  # fmt: skip


def number_row(number: int, value: str) -> str:
    return (f'<row r="{number}">{text_cell(f"A{number}", "V1")}{text_cell(f"B{number}", f"2026-01-{number:02}")}'
            f'<c r="C{number}"><v>{value}</v></c></row>')  # fmt: skip


def parquet_of(fleet: Path, select: str) -> None:
    duckdb.execute(f"copy ({select}) to '{fleet / 'readings.parquet'}' (format parquet)")


def source(files: str, more: str = "") -> str:
    return (f"[[source]]\nfiles = {json.dumps(files)}\ntable = 'readings'\n{more}\n[source.columns]\n"
            "vehicle_id = 'Unit'\nread_at = 'Day'\nreading = 'km'\n")  # fmt: skip


def linked(fleet: Path, name: str, to: str) -> None:
    (fleet / name).parent.mkdir(parents=True, exist_ok=True)
    (fleet / name).symlink_to(to)


WIDE = [f"c{at}" for at in range(100_000)]
LONG = "x" * (10 << 20)
DEEP = 100_000


def wide_json(fleet: Path) -> None:
    write(fleet, "readings.jsonl", json.dumps(dict.fromkeys(WIDE, 1)) + "\n")


CASES: dict[str, Callable[[Path], Any]] = {
    "100,000 columns": lambda fleet: write(fleet, "readings.csv", ",".join(["vehicle_id", "read_at", "reading", *WIDE]) + "\n"),
    "100,000 cells in a row": lambda fleet: write(fleet, "readings.csv", readings("V1,2026-01-05,100" + ",1" * 100_000, "V1,2026-01-06,200")),
    "100,000 columns of one name": lambda fleet: write(fleet, "readings.csv", ",".join(["vehicle_id", "read_at", "reading", *["x"] * 100_000]) + "\n"),
    "100,000 columns in a source": lambda fleet: (write(fleet, "x.csv", ",".join(["Unit", "Day", "km", *["x"] * 100_000]) + "\nV1,2026-01-05,5\n"), write(fleet, "fleet.toml", source("x.csv"))),
    "100,000 keys": wide_json,
    "100,000 keys over lines": lambda fleet: write(fleet, "readings.jsonl", "".join(f'{{"k{at}": 1}}\n' for at in range(100_000))),
    "5,000 columns of parquet": lambda fleet: parquet_of(fleet, "select " + ", ".join(f"1 as c{at}" for at in range(5000))),
    "16,384 columns of a sheet": lambda fleet: write(fleet, "readings.xlsx", sheet_of('<row r="1">' + text_cell("A1", "vehicle_id") + text_cell("XFD1", "x") + "</row>")),
    "a cell of 10 MB": lambda fleet: write(fleet, "readings.csv", readings(f"V1,2026-01-05,{LONG}", "V1,2026-01-06,200")),
    "a quoted cell of 10 MB in many lines": lambda fleet: write(fleet, "readings.csv", readings('V1,2026-01-05,"' + ("x" * 1000 + "\n") * 10_000 + '"', "V1,2026-01-06,200")),
    "a header of 10 MB": lambda fleet: write(fleet, "readings.csv", f"vehicle_id,read_at,{LONG}\nV1,2026-01-05,100\n"),
    "a JSON value of 10 MB": lambda fleet: write(fleet, "readings.jsonl", f'{{"vehicle_id": "V1", "read_at": "{LONG}", "reading": 1}}\n{{"vehicle_id": "V1", "read_at": "2026-01-05", "reading": 1}}\n'),
    "a cell of 10 MB in a sheet": lambda fleet: write(fleet, "readings.xlsx", sheet_of(HEAD_CELLS + f'<row r="2">{text_cell("A2", LONG)}</row>' + number_row(3, "5"))),
    "a cell of 10 MB in parquet": lambda fleet: parquet_of(fleet, "select 'V1' as vehicle_id, '2026-01-05' as read_at, repeat('9', 10000000) as reading union all select 'V1', '2026-01-05', '5'"),
    "a gzip bomb": lambda fleet: write(fleet, "readings.csv.gz", packed_zeros(256)),
    "a zip bomb": lambda fleet: write(fleet, "readings.xlsx", zip_of({"xl/worksheets/sheet1.xml": bytes(1 << 20)}, 256)),
    "a workbook that says it has the last row": lambda fleet: write(fleet, "readings.xlsx", sheet_of(HEAD_CELLS + '<row r="1048576">' + text_cell("XFD1048576", "x") + "</row>")),
    "entities that grow": lambda fleet: write(fleet, "readings.xlsx", workbook_of(b'<!DOCTYPE w [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>&c;</t></is></c></row></sheetData></worksheet>')),
    "an entity that names a file": lambda fleet: write(fleet, "readings.xlsx", workbook_of(b'<!DOCTYPE w [<!ENTITY a SYSTEM "file:///etc/passwd">]><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>&a;</t></is></c></row></sheetData></worksheet>')),
    "deep JSON": lambda fleet: write(fleet, "readings.jsonl", "[" * DEEP + "]" * DEEP + "\n" + '{"a":' * DEEP + "1" + "}" * DEEP + '\n{"vehicle_id": "V1", "read_at": "2026-01-05", "reading": 1}\n'),
    "JSON as deep as it goes": lambda fleet: write(fleet, "readings.jsonl", "".join('{"vehicle_id": "V1", "read_at": "2026-01-05", "reading": ' + "[" * n + "]" * n + "}\n" for n in range(700, 1000))),
    "numbers with huge exponents": lambda fleet: write(fleet, "readings.jsonl", "".join(f'{{"vehicle_id": "V1", "read_at": "2026-01-05", "reading": {n}}}\n' for n in ("1e999999999", "1e-999999999", "-1E+400", "1e99999999999999999999", "NaN", "Infinity", "-Infinity", "1" * 10_000, "1e2"))),
    "halves of characters": lambda fleet: write(fleet, "readings.jsonl", '{"vehicle_id": "\\ud800", "read_at": "2026-01-05", "reading": 1, "\\udfff": 2}\n{"vehicle_id": "V1", "read_at": "2026-01-05", "reading": 1}\n'),
    "numbers of a sheet that are none": lambda fleet: write(fleet, "readings.xlsx", sheet_of(HEAD_CELLS + "".join(number_row(at + 2, n) for at, n in enumerate(("NaN", "inf", "-inf", "1e308", "1e-320", "5"))))),
    "numbers of parquet that are none": lambda fleet: parquet_of(fleet, "select 'V1' as vehicle_id, '2026-01-0' || i as read_at, x::double as reading from (values (1, 'nan'), (2, 'inf'), (3, '-inf'), (4, '1e308'), (5, '7')) t(i, x)"),
    "strange values": lambda fleet: write(fleet, "readings.csv", readings(
        "V1,2026-01-05,NaN", "V1,2026-01-06,inf", "V1,2026-01-07,-Infinity", f"V1,2026-01-08,{'9' * 400}", "V1,2026-01-09,1e400",
        "V1,0000-01-01,1", "V1,9999-12-31,1", "V1,-9999-01-01,1", "V1,99999999-01-01,1", "V1,infinity,1", "V1,epoch,1",
        "V1,2026-02-30,1", "V1,2026-01-10T24:00:01,1", "V1,2026-01-10T10:00+99:99,1", "V1,2026-01-11,\u0665", "V1,2026-01-12,0x10", "V1,2026-01-13,1_000",
        "v1,2026-01-14,100", "V1 ,2026-01-15,100", "V 1,2026-01-16,100", "V1\u00a0,2026-01-17,200", "V\u200b1,2026-01-18,100", "\u202eV1,2026-01-19,100", "V1\0,2026-01-20,100", "V1,2026-01-21,300",
    )),
    "ids that differ in case or blanks": lambda fleet: write(fleet, "vehicles.csv", "vehicle_id,class,in_service_on\nV1,van,2020-01-01\nv1,van,2020-01-01\n V1,van,2020-01-01\nV 1,van,2020-01-01\nV  1,van,2020-01-01\nV\u200b1,van,2020-01-01\n"),
    "NULs": lambda fleet: write(fleet, "readings.csv", readings("V1,2026-01-05,100", "\0V1,2026-01-06,200", "V1,2026-01\0-07,300", "\0\0\0", "V1,2026-01-08,4\x0000")),
    "NULs alone": lambda fleet: write(fleet, "readings.csv", bytes(5000)),
    "a source above the folder": lambda fleet: (write(fleet.parent, "secret.csv", "Unit,Day,km\nV1,2026-01-05,5\n"), write(fleet, "fleet.toml", source("../secret.csv"))),
    "a source above the folder, by a way round": lambda fleet: (write(fleet.parent, "secret.csv", "Unit,Day,km\nV1,2026-01-05,5\n"), write(fleet, "fuel/a.csv", "Unit,Day,km\nV1,2026-01-05,5\n"), write(fleet, "fleet.toml", source("fuel/../../secret.csv"))),
    "a source of the root": lambda fleet: write(fleet, "fleet.toml", source("/etc/passwd")),
    "a link out of the folder": lambda fleet: (write(fleet.parent, "secret.csv", "Unit,Day,km\nV1,2026-01-05,5\n"), linked(fleet, "fuel/a.csv", "../../secret.csv"), write(fleet, "fleet.toml", source("fuel/*.csv"))),
    "a link to itself": lambda fleet: (linked(fleet, "readings.csv", "readings.csv"), linked(fleet, "history", "."), linked(fleet, "loop/a", "..")),
    "a source of links in a ring": lambda fleet: (linked(fleet, "fuel/a", ".."), write(fleet, "fuel/x.csv", "Unit,Day,km\nV1,2026-01-05,5\n"), write(fleet, "fleet.toml", source("**/x.csv"))),
    "a link to nothing": lambda fleet: linked(fleet, "readings.csv", "nowhere.csv"),
    "a device": lambda fleet: linked(fleet, "readings.csv", "/dev/zero"),
    "a pipe": lambda fleet: os.mkfifo(fleet / "readings.csv"),
    "a folder with a table's file name": lambda fleet: (fleet / "readings.csv").mkdir(),
    "names that are no UTF-8": lambda fleet: write(fleet, os.fsdecode(b"readings/\xff\xfe.csv"), readings("V1,2026-01-05,100")),
    "names that steer": lambda fleet: write(fleet, "readings/\x1b[2J'\"<b>\n;.csv", readings("V1,2026-01-05,100", "V1,x,1")),
    "a name that is a pattern": lambda fleet: (write(fleet, "readings/a[1]*?.csv", readings("V1,2026-01-05,100")), write(fleet, "readings/a1.csv", readings("V1,2026-01-06,200"))),
    "settings of 10 MB": lambda fleet: write(fleet, "fleet.toml", f"[fleet]\nname = '{LONG}'\n"),
    "deep settings": lambda fleet: write(fleet, "fleet.toml", "a = " + "[" * DEEP + "]" * DEEP + "\n"),
    "deep keys of settings": lambda fleet: write(fleet, "fleet.toml", ".".join("a" * DEEP) + " = 1\n"),
    "numbers of settings that are none": lambda fleet: write(fleet, "fleet.toml", "[workshop]\nlabour_rate = nan\ntax_rate = inf\n[week]\nhorizon_days = 99999999999999999999\n"),
    "a pattern that could take for ever": lambda fleet: (write(fleet, "x.csv", "Unit,Day,km\n" + "a" * 4000 + "!,2026-01-05,5\nV1,2026-01-05,5\naa,2026-01-05,5\n"), write(fleet, "fleet.toml", source("x.csv") + "[source.leave_out]\nUnit = '/^(a+)+$/'\n")),
    "marks that open on every line": lambda fleet: write(fleet, "readings.csv", readings(*['V1,2026-01-05,"12'] * 3000)),
    "rows of quotation marks": lambda fleet: write(fleet, "readings.csv", readings(*['"'] * 3000)),
    "a mark unlike any line": lambda fleet: write(fleet, "readings.csv", readings("V1,2026-01-05,100").replace("\n", "\u2028")),
}  # fmt: skip


def taken(db: duckdb.DuckDBPyConnection, fleet: Path) -> dict[str, Any]:
    """What loading a folder comes to: the rows of each file read, loaded, repeated, set aside; or what stopped it."""
    try:
        settings = read_settings(fleet)
        files, remarks = find_files(fleet, settings.source)
        changes = stage(db, files, settings)
        with one_transaction(db):
            keep(db, changes)
    except StopRun as stop:
        return {"stopped": [*stop.messages, stop.help]}
    rows = "select file, rows_read, rows_loaded, rows_repeated, rows_quarantined from file_counts order by file"
    why = "select file, line, reason from problems where scope = 'row' order by all limit 20"
    return {"accounts": db.execute(rows).fetchall(), "why": db.execute(why).fetchall(), "remarks": remarks}


def peak_mib() -> int:
    """The peak of this process's memory since it was last asked; 0 where the system does not tell."""
    with contextlib.suppress(OSError):
        found = re.search(r"VmHWM:\s+(\d+) kB", Path("/proc/self/status").read_text())
        Path("/proc/self/clear_refs").write_text("5")
        return int(found[1]) >> 10 if found else 0
    return 0


def take(call: list[str]) -> tuple[int, str, str]:
    """The exit code of a command, and what it told on stdout and stderr."""
    out, told = io.StringIO(), io.StringIO()
    before, sys.argv = sys.argv, ["fleetreport", *call]
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(told):
            code = cli._run()
    finally:
        sys.argv = before
    return code, out.getvalue(), told.getvalue()


def checked(fleet: Path) -> dict[str, Any]:
    """The exit code of `check`, and what it told."""
    code, out, told = take(["check", str(fleet), "--as-of", AS_OF, "--out", str(fleet.parent / "out")])
    return {"code": code, "out": out, "told": told}


def main() -> None:
    asked = [name for name in sys.argv[1:] if name != "--check"]
    with_check = "--check" in sys.argv
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    records.MOST_UNPACKED = spreadsheet.MOST_UNPACKED = 64 << 20
    with passing_store(Settings()) as db:
        for name in asked or CASES:
            with tempfile.TemporaryDirectory(prefix="hostile-") as folder:
                fleet = Path(folder) / "fleet"
                for file, text in FLEET.items():
                    write(fleet, file, text)
                CASES[name](fleet)
                peak_mib()
                faulthandler.dump_traceback_later(LONGEST, exit=True)
                begun = time.monotonic()
                found = {"case": name} | taken(db, fleet) | (checked(fleet) if with_check else {})
                found |= {"seconds": round(time.monotonic() - begun, 1), "peak": peak_mib()}
                faulthandler.cancel_dump_traceback_later()
                print(json.dumps(found).replace(folder, ""), flush=True)


if __name__ == "__main__":
    main()
