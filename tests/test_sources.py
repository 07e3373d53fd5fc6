"""Files of any format and dialect through `[[source]]` sections into the store: nothing lost, nothing guessed."""

import csv
import gzip
import io
import json
import random
import zipfile
from collections.abc import Callable
from contextlib import closing
from datetime import date, datetime
from pathlib import Path

import duckdb
import openpyxl
import pytest
from conftest import WriteFleet
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from test_load import TASKS, VEHICLES, Loaded

from fleetreport.problem import CannotReadOrWrite
from fleetreport.reading import records, spreadsheet
from fleetreport.reading.files import find_files
from fleetreport.settings.fleet_toml import read_settings
from fleetreport.storing.loading import keep, stage

FUEL = """
    [[source]]
    files = "fuel.csv"
    table = "readings"
    encoding = "cp1252"
    dates = "dmy"
    decimal = ","
    thousands = "."
    unit = "km"
    columns = { vehicle_id = "Kennzeichen", read_at = ["Datum", "Uhrzeit"], reading = "km-Stand" }
"""


def fleet_with(write_fleet: WriteFleet, toml: str, **files: bytes) -> Path:
    """A fleet with these settings; a file's name has `__` for its last point."""
    fleet = write_fleet(vehicles=VEHICLES, tasks=TASKS, settings=toml)
    for name, data in files.items():
        (fleet / name.replace("__", ".")).write_bytes(data)
    return fleet


def readings(loaded: "Loaded") -> list[tuple[object, ...]]:
    return loaded.rows("select line, vehicle_id, read_at::varchar, reading::varchar, unit from readings order by line")


def test_a_german_fuel_card_export(write_fleet: WriteFleet) -> None:
    """Title lines, cp1252, semicolons, thousands points, a total, a slip: rows keep the line they stand in."""
    text = ("Tankkarten Süd;;;\r\n;;;\r\nKennzeichen;Datum;Uhrzeit;km-Stand\r\nV1;05.01.2026;07:16;12.345\r\n"
            "V1;06.01.2026;;12.3456\r\nV1;07.01.2026;22:05;12.400,5\r\nSumme;;;24.745\r\n")  # fmt: skip
    loaded = Loaded(fleet_with(write_fleet, FUEL, fuel__csv=text.encode("cp1252")))
    assert readings(loaded) == [
        (4, "V1", "2026-01-05 07:16:00", "12345.0000000", "km"),
        (6, "V1", "2026-01-07 22:05:00", "12400.5000000", "km"),
    ]  # fmt: skip
    assert loaded.rows("select line, value, reason from quarantine order by line") == [
        (5, "12.3456", "expected a number such as 84.120,5 in km, not blank"),
        (7, "", "expected a date as day, month, year such as 25/11/2026, not blank"),
    ]
    assert loaded.counts("fuel.csv") == (4, 2, 0, 2)


def test_rows_that_a_section_leaves_out_are_counted_apart(write_fleet: WriteFleet) -> None:
    """They are not read, so not set aside: the list of what is to be mended stays short."""
    toml = (
        FUEL
        + '    leave_out = { "Kennzeichen" = "/^(?i:summe|total)/", "Art" = ["Maut", "Wäsche"] }\n'
        + '    keep_only = { "Land" = "DE" }\n'
    )
    text = ("Kennzeichen;Datum;Uhrzeit;km-Stand;Art;Land\nV1;05.01.2026;;100;Diesel;DE\nV1;05.01.2026;;100;Maut;DE\n"
            "V1;06.01.2026;;200;Diesel;AT\nV1;07.01.2026;;x;Diesel;DE\nSumme;;\n")  # fmt: skip
    loaded = Loaded(fleet_with(write_fleet, toml, fuel__csv=text.encode("cp1252")))
    assert loaded.counts("fuel.csv") == (2, 1, 0, 1)
    assert loaded.rows("select rows_left_out, columns_ignored from loads where file = 'fuel.csv'") == [(3, "")]


def test_one_file_gives_readings_and_costs(write_fleet: WriteFleet) -> None:
    toml = """
        [[source]]
        files = "log.csv"
        table = "readings"
        unit = "mi"
        columns = { vehicle_id = "unit", read_at = "date", reading = "odo" }

        [[source]]
        files = "log.csv"
        table = "history"
        currency = "$"
        columns = { vehicle_id = "unit", done_on = "date", description = "what", other_cost = "cost" }
        constants = { kind = "top_up" }
        blank = ["n/a"]
    """
    text = "unit,date,odo,what,cost\nV1,2026-01-05,100,fuel,$35.07\nV1,2026-01-06,200,fuel,n/a\nV1,x,300,fuel,1\n"
    loaded = Loaded(fleet_with(write_fleet, toml, log__csv=text.encode()))
    assert readings(loaded)[0] == (2, "V1", "2026-01-05 00:00:00", "100.0000000", "mi")
    assert loaded.rows("select line, other_cost::varchar, kind from history order by line") == [
        (2, "35.0700", "top_up"),
        (3, None, "top_up"),
    ]
    assert loaded.counts("log.csv (source 1)") == (3, 2, 0, 1)
    assert loaded.counts("log.csv (source 2)") == (3, 2, 0, 1)


def test_a_row_that_was_pieced_together_has_to_fit_whole(write_fleet: WriteFleet) -> None:
    """An unquoted 115,413 makes 115 of an odometer: the shifted cost gives the row away."""
    toml = """
        [[source]]
        files = "log.csv"
        table = "history"
        ragged = true
        unit = "mi"
        columns = { done_on = "date", odometer = "mileage", other_cost = "cost", note = "notes" }
        constants = { vehicle_id = "V1" }
    """
    text = "date,mileage,cost,notes\n2026-01-05,100 mi,5,filter, oil\n2026-01-06,115,413 mi,5,oil\n2026-01-07,300\n"
    loaded = Loaded(fleet_with(write_fleet, toml, log__csv=text.encode()))
    found = loaded.rows("select line, odometer::int, note from history order by line")
    assert found == [(2, 100, "filter, oil"), (4, 300, None)]
    assert loaded.problems == [("log.csv", 3, "other_cost", "413 mi", "row")]


HEADER = ["vehicle_id", "read_at", "reading"]
ROWS = [["V1", "2026-01-05", "100"], ["V1", "2026-01-06T10:30", "200.5"], ["V1", "2026-01-07", "300.125"]]
READ = [("V1", "2026-01-05 00:00:00", "100.0000000"), ("V1", "2026-01-06 10:30:00", "200.5000000"),
        ("V1", "2026-01-07 00:00:00", "300.1250000")]  # fmt: skip


def delimited(mark: str, encoding: str = "utf-8") -> Callable[[], bytes]:
    return lambda: "\r\n".join(mark.join(row) for row in [HEADER, *ROWS[:2]]).encode(encoding)


def workbook() -> bytes:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    rows = [
        ["Odometers"],
        [],
        HEADER,
        ["V1", date(2026, 1, 5), "100"],
        ["V1", datetime(2026, 1, 6, 10, 30), 200.5],
        ["V1", "2026-01-07", 300.125],
    ]
    for row in rows:
        sheet.append(row)
    book.create_sheet("Notes").append(["only text"])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def parquet() -> bytes:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "x.parquet"
        duckdb.sql("select vehicle_id, read_at::timestamp as read_at, reading::double as reading from (values "
                   + ", ".join(f"('{a}', '{b}', {c})" for a, b, c in ROWS) + ") t(vehicle_id, read_at, reading)"
                   ).write_parquet(str(path))  # fmt: skip
        return path.read_bytes()


def json_lines() -> bytes:
    return b"\n".join(json.dumps({"vehicle_id": a, "read_at": b, "reading": float(c)}).encode() for a, b, c in ROWS)


def test_a_packed_file_keeps_all_its_rows_whatever_it_is_called(write_fleet: WriteFleet) -> None:
    """Two names that the reader's own spare files have."""
    rows = [("V1", f"2026-01-{day:02}", str(1000 + day)) for day in range(1, 29)]
    text = "\n".join(["vehicle_id,read_at,reading", *(",".join(row) for row in rows)]).encode()
    for name in ("readings/clean.csv.gz", "readings/utf8.txt.gz"):
        fleet = fleet_with(write_fleet, "")
        (fleet / "readings").mkdir(exist_ok=True)
        for old in (fleet / "readings").iterdir():
            old.unlink()
        (fleet / name).write_bytes(gzip.compress(text + b"\n" + b'V1,"2026-02-01"x,2000\n'))
        loaded = Loaded(fleet)
        assert loaded.rows("select count(*) from readings") == [(28,)], name


@pytest.mark.parametrize(
    ("name", "make", "rows"),
    [
        ("readings.csv", delimited(","), 2), ("readings.csv", delimited(";"), 2), ("readings.csv", delimited("\t"), 2),
        ("readings.csv", delimited("|"), 2), ("readings.tsv", delimited("\t"), 2),
        ("readings.csv", delimited(";", "utf-16"), 2), ("readings.csv", delimited(",", "utf-8-sig"), 2),
        ("readings.csv.gz", lambda: gzip.compress(delimited(";")()), 2),
        ("readings.xlsx", workbook, 3), ("readings.parquet", parquet, 3), ("readings.jsonl", json_lines, 3),
        ("readings.jsonl.gz", lambda: gzip.compress(json_lines()), 3),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)  # fmt: skip
def test_every_format_with_our_column_names_loads_alike(
    write_fleet: WriteFleet, name: str, make: Callable[[], bytes], rows: int
) -> None:
    """Written by the standard library, openpyxl, DuckDB and json; no section is needed."""
    fleet = fleet_with(write_fleet, "", **{name.replace(".", "__"): make()})
    loaded = Loaded(fleet)
    assert (
        loaded.rows("select vehicle_id, read_at::varchar, reading::varchar from readings order by line") == READ[:rows]
    )
    assert loaded.problems == []
    if name.endswith(".xlsx"):
        assert loaded.rows("select file, line from readings order by line") == [
            ("readings.xlsx [Sheet]", n) for n in (4, 5, 6)
        ]
        assert find_files(fleet)[1] == ["readings.xlsx [Notes]: this file belongs to no table and was not read"]


def test_thousands_are_not_taken_for_decimals_where_nothing_was_declared(write_fleet: WriteFleet) -> None:
    """The silent 1000-fold error: a German export with our names, 12.345 km is twelve thousand."""
    fleet = fleet_with(
        write_fleet, "", readings__csv=b"vehicle_id;read_at;reading\nV1;2026-01-05;12.345\nV1;2026-01-06;12345\n"
    )
    loaded = Loaded(fleet)
    assert loaded.problems == [("readings.csv", 2, "reading", "12.345", "row")]
    assert "which mark means thousands has to be said" in str(loaded.rows("select reason from quarantine")[0][0])


def test_two_readers_agree_on_a_clean_file(write_fleet: WriteFleet) -> None:
    """DuckDB's CSV reader with its own sniffer as the second reader."""
    rng = random.Random(4)
    rows = [f'V1;2026-{m:02}-{d:02};{rng.randint(1, 10**6)};"x\ny"' for m in range(1, 13) for d in range(1, 28)]
    fleet = fleet_with(
        write_fleet, "", readings__csv=("vehicle_id;read_at;reading;source\n" + "\n".join(rows)).encode()
    )
    loaded = Loaded(fleet)
    second = duckdb.sql(
        f"select vehicle_id, read_at::timestamp, reading::double from read_csv('{fleet}/readings.csv')"
    ).fetchall()
    assert loaded.rows("select vehicle_id, read_at, reading::double from readings order by line") == second
    assert len(second) == len(rows)


DIALECTS = [(";", "cp1252", ",", "."), ("\t", "utf-16", ".", ","), ("|", "utf-8", ".", "'"), (",", "cp1250", ".", "")]


@given(st.integers(0, 10**6), st.sampled_from(DIALECTS))
@settings(
    max_examples=25, deadline=None, phases=[Phase.generate], suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_every_row_is_accounted_for_in_any_dialect(
    write_fleet: WriteFleet, seed: int, dialect: tuple[str, str, str, str]
) -> None:
    """Conservation: rows_read = rows_loaded + rows_repeated + rows_quarantined, whatever is done to the bytes."""
    mark, encoding, decimal, thousands = dialect
    rng = random.Random(seed)
    out = io.StringIO()
    write = csv.writer(out, delimiter=mark, lineterminator=rng.choice(["\n", "\r\n"]))
    write.writerow(["Größe" if encoding == "cp1252" else "x", "plate", "day", "odo"])
    for n in range(30):
        odo = f"{rng.randint(0, 99999):,}".replace(",", thousands or "")
        write.writerow(
            [
                "a\nb" if rng.random() < 0.1 else "é",
                "V1",
                f"{n % 28 + 1}.1.2026",
                rng.choice([odo, odo, odo + decimal + "5", "x", ""]),
            ]
        )
    data = bytearray(out.getvalue().encode(encoding, "replace"))
    for _ in range(rng.randint(0, 6)):
        at = rng.randrange(60, len(data))
        data[at : at + rng.randint(0, 3)] = bytes(rng.choice(b'";,|\t\n\x81\xffx') for _ in range(rng.randint(0, 2)))
    toml = f'''
        [[source]]
        files = "x.csv"
        table = "readings"
        encoding = "{encoding}"
        delimiter = "{"tab" if mark == chr(9) else mark}"
        decimal = "{decimal}"
        thousands = {json.dumps([thousands] if thousands else [])}
        dates = "dmy"
        ragged = {rng.choice(["true", "false"])}
        columns = {{ vehicle_id = "plate", read_at = "day", reading = "odo" }}
    '''
    fleet = fleet_with(write_fleet, toml, x__csv=bytes(data))
    found = read_settings(fleet)
    with closing(duckdb.connect()) as db:
        try:
            changes = stage(db, find_files(fleet, found.source)[0], found)
        except CannotReadOrWrite as stop:
            # The header itself was hit.
            assert all(message.startswith("x.csv") for message in stop.messages)  # noqa: PT017
            return
        keep(db, changes)
        counted = (
            "select rows_read, rows_loaded + rows_repeated + rows_quarantined from file_counts where file = 'x.csv'"
        )
        [(read, told)] = db.execute(counted).fetchall()
        assert read == told
        listed = db.execute("select count(*) from problems where file = 'x.csv' and scope = 'row'").fetchall()
        assert listed == db.execute("select rows_quarantined from file_counts where file = 'x.csv'").fetchall()


@pytest.mark.parametrize("pattern", ["/etc/passwd", "../x.csv", "a/../../x.csv", "C:\\\\x.csv", ""])
def test_no_source_reads_outside_the_fleet_folder(write_fleet: WriteFleet, pattern: str) -> None:
    toml = f'[[source]]\nfiles = "{pattern}"\ntable = "readings"\ncolumns = {{ vehicle_id = "a", read_at = "b" }}\n'
    with pytest.raises(Exception, match=r"source 1: files: found .*, expected a file of the fleet folder"):
        read_settings(fleet_with(write_fleet, toml))


def test_no_link_leads_a_source_outside(write_fleet: WriteFleet, tmp_path: Path) -> None:
    fleet = fleet_with(write_fleet, FUEL)
    (tmp_path / "secret.csv").write_text("Kennzeichen;Datum;Uhrzeit;km-Stand\n")
    (fleet / "fuel.csv").symlink_to(tmp_path / "secret.csv")
    with pytest.raises(CannotReadOrWrite, match="found a link out of the fleet folder"):
        find_files(fleet, read_settings(fleet).source)


def test_files_made_to_unpack_without_end_are_refused(write_fleet: WriteFleet, monkeypatch: pytest.MonkeyPatch) -> None:
    """The bounds lowered, so that the test needs no bomb of its own."""
    monkeypatch.setattr(records, "MOST_UNPACKED", 1 << 20)
    monkeypatch.setattr(spreadsheet, "MOST_UNPACKED", 1 << 20)
    bomb = io.BytesIO()
    with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr("xl/worksheets/sheet1.xml", b" " * (3 << 20))
    for name, data in (("readings__csv__gz", gzip.compress(b" " * (3 << 20))), ("readings__xlsx", bomb.getvalue())):
        fleet = fleet_with(write_fleet, "", **{name: data})
        with pytest.raises(CannotReadOrWrite, match="unpacks to"):
            Loaded(fleet)
        (fleet / name.replace("__", ".")).unlink()


def test_a_workbook_that_asks_for_all_memory_is_refused(write_fleet: WriteFleet) -> None:
    """A cell in the last row and column: a reader that keeps all between has 17 thousand million cells."""
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet["A1"], sheet["XFD1048576"] = "vehicle_id", "x"
    fleet = fleet_with(write_fleet, "")
    book.save(fleet / "readings.xlsx")
    with pytest.raises(CannotReadOrWrite, match=r"readings\.xlsx: found a workbook"):
        Loaded(fleet)


def test_json_that_is_nested_or_broken_costs_its_line(write_fleet: WriteFleet) -> None:
    lines = [
        '{"vehicle_id": "V1", "read_at": "2026-01-05", "reading": 100}',
        "[" * 100_000,
        "{",
        "[1]",
        '{"reading": 1, "reading": 2}',
    ]
    loaded = Loaded(fleet_with(write_fleet, "", readings__jsonl="\n".join(lines).encode()))
    assert loaded.counts("readings.jsonl") == (5, 1, 0, 4)
    assert [line for _, line, *_ in loaded.problems] == [2, 3, 4, 5]


def test_a_section_has_a_fingerprint_of_what_it_says(write_fleet: WriteFleet) -> None:
    one, two = (
        read_settings(fleet_with(write_fleet, text)).source[0].fingerprint()
        for text in (FUEL, FUEL + "    # a remark\n")
    )
    other = read_settings(fleet_with(write_fleet, FUEL.replace('"dmy"', '"mdy"'))).source[0].fingerprint()
    assert one == two != other
