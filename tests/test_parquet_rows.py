"""Parquet read by SQL at once and record by record: the same rows, or the file is left to the second way."""

from pathlib import Path
from typing import Any

import duckdb
import pytest
from conftest import WriteFleet
from test_load import TASKS, VEHICLES, Loaded

from fleetreport.problem import CannotReadOrWrite
from fleetreport.reading.number_text import number_text, number_text_sql
from fleetreport.reading.rows import InputFile, ways_to_read
from fleetreport.settings.sources import Source

NUMBERS = (
    "12.345", "1234.567", "-12.345", "0.5", "100000.0", "12.3450", "999.999", "012.345", "-0.0", "7", "inf", "nan", "",
    "1.234.567",
)  # fmt: skip


def written(folder: Path, select: str) -> Path:
    path = folder / "readings.parquet"
    with duckdb.connect() as db:
        db.sql(select).write_parquet(str(path))
    return path


def ways(path: Path, source: Source | None = None) -> list[Any]:
    """What each way of reading gives: our columns, those not used, and the rows in order of their lines; or `fault`."""
    found: list[Any] = []
    for way in ways_to_read(InputFile("readings", path, path.name, source), path.parent):
        try:
            rows = duckdb.connect().execute(way.sql).fetchall()
            told = sorted((line, *(cell or "" for cell in cells)) for line, *cells in rows)
            found.append((way.columns, way.unused, told))
        except duckdb.InvalidInputException:
            found.append("fault")
    return found


@pytest.mark.parametrize("decimal", ["", ".", ",", "\u066b"])
def test_a_number_is_written_alike_by_sql_and_by_python(decimal: str) -> None:
    db = duckdb.connect()
    for text in NUMBERS:
        said = db.execute(f"select {number_text_sql('x', decimal)} from (select ? as x)", [text]).fetchone()
        assert said == (number_text(text, decimal) if text[-1:].isdigit() else text,), text
    exponent = db.execute(f"select {number_text_sql('x', decimal)} from (select '1e+20' as x)").fetchone()
    assert exponent == (None,)
    assert number_text("1e+20", decimal) == "1" + "0" * 20


@pytest.mark.parametrize(
    ("kind", "values", "texts"),
    [
        ("DOUBLE", ("12.345", "1234.5", "100000", "NULL", "'nan'", "'inf'"),
         ("12.3450", "1234.5", "100000.0", "", "nan", "inf")),
        ("FLOAT", ("12.5", "98.125"), ("12.5", "98.1250")),
        ("DECIMAL(18, 3)", ("12.345", "1234.5"), ("12.3450", "1234.500")),
        ("INTEGER", ("12345", "-3"), ("12345", "-3")),
        ("BOOLEAN", ("true", "NULL"), ("true", "")),
        ("DATE", ("'2026-01-05'", "NULL"), ("2026-01-05", "")),
        ("TIMESTAMP", ("'2026-01-05 07:16:00.25'", "'2026-01-05'"), ("2026-01-05 07:16:00.25", "2026-01-05 00:00:00")),
        ("VARCHAR", ("' 12.345 '", "E'two\\nlines'", "''", "'\"'", "'caf\u00e9'"),
         (" 12.345 ", "two\nlines", "", '"', "caf\u00e9")),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)  # fmt: skip
def test_both_ways_give_the_same_text(
    tmp_path: Path, kind: str, values: tuple[str, ...], texts: tuple[str, ...]
) -> None:
    """The texts are those of the SQL standard's casts, a possible thousand with a place more."""
    rows = ", ".join(f"('V{at}', ({value})::{kind})" for at, value in enumerate(values, 1))
    path = written(tmp_path, f"select * from (values {rows}) t(vehicle_id, reading)")
    quick, careful = ways(path)
    assert quick == careful
    assert quick[-1] == [(at, f"V{at}", text) for at, text in enumerate(texts, 1)]


@pytest.mark.parametrize(
    ("value", "text"),
    [("1e20::double", "1" + "0" * 20), ("0.00001::double", "0.00001"), ("1e300::double", "1" + "0" * 300)],
)
def test_a_number_with_an_exponent_is_left_to_the_careful_way(tmp_path: Path, value: str, text: str) -> None:
    quick, careful = ways(written(tmp_path, f"select 'V1' as vehicle_id, {value} as reading"))
    assert quick == "fault"
    assert careful[-1] == [(1, "V1", text)]


def test_a_row_longer_than_a_tables_costs_itself_only(write_fleet: WriteFleet) -> None:
    fleet = write_fleet(vehicles=VEHICLES, tasks=TASKS)
    written(fleet, """select 'V1' as vehicle_id, '2026-01-0' || n as read_at, 1000.0 + n as reading,
        case n when 2 then repeat('x', 1000001) end as source from range(1, 4) t(n)""")  # fmt: skip
    loaded = Loaded(fleet)
    assert loaded.rows("select line, read_at::date::varchar from readings order by line") == [
        (1, "2026-01-01"), (3, "2026-01-03"),
    ]  # fmt: skip
    assert [(line, reason) for _, line, *_, reason, _ in loaded.rows("from problems")] == [
        (2, "found a row of 1000022 characters, expected fewer than 1000000")
    ]


def test_a_moment_with_a_zone_is_left_to_the_careful_way(tmp_path: Path) -> None:
    """Its text hangs on the zone that a connection is set to."""
    path = written(tmp_path, "select 'V1' as vehicle_id, '2026-01-05 07:16:00+00'::timestamptz as read_at")
    (careful,) = ways(path)
    assert careful[-1] == [(1, "V1", "2026-01-05 07:16:00+00")]


def test_a_section_takes_parquet_both_ways(tmp_path: Path) -> None:
    source = Source.model_validate({
        "files": "readings.parquet", "table": "readings", "decimal": ",", "unit": "km",
        "columns": {"vehicle_id": "Unit No", "read_at": ["Day", "Clock"], "reading": "Odo"},
    })  # fmt: skip
    path = written(tmp_path, """select 'x' as spare, 'V' || n as "Unit No", ('2026-01-0' || n)::date as "Day",
        case n when 2 then '' else '07:1' || n end as "Clock", 12.5 * n as "odo" from range(1, 4) t(n)""")  # fmt: skip
    quick, careful = ways(path, source)
    assert quick == careful
    assert quick[1] == ("spare",)
    assert [row[1:4] for row in quick[-1]] == [
        ("V1", "2026-01-01 07:11", "12,5"), ("V2", "2026-01-02", "25,0"), ("V3", "2026-01-03 07:13", "37,5"),
    ]  # fmt: skip


def test_a_section_that_looks_into_cells_is_read_record_by_record(tmp_path: Path) -> None:
    source = Source.model_validate({
        "files": "readings.parquet", "table": "readings", "keep_only": {"kind": "odo"},
        "columns": {"vehicle_id": "unit", "read_at": "day", "reading": "km"},
    })  # fmt: skip
    path = written(tmp_path, """select 'V' || n as unit, '2026-01-01' as day, n as km,
        case n when 1 then 'odo' else 'other' end as kind from range(1, 4) t(n)""")  # fmt: skip
    (careful,) = ways(path, source)
    assert [row[:2] for row in careful[-1]] == [(1, "V1")]


def test_no_columns_of_ours_and_no_rows(tmp_path: Path) -> None:
    assert [way[0] for way in ways(written(tmp_path, "select 1 as other"))] == [()]
    quick, careful = ways(written(tmp_path, "select 'V1' as vehicle_id, 1.0 as reading where false"))
    assert quick == careful
    assert quick[-1] == []


@pytest.mark.parametrize("hurt", ["cut", "bytes", "text", "empty"])
def test_a_broken_file_is_told_in_a_line(write_fleet: WriteFleet, hurt: str) -> None:
    """Cut short, overwritten where its rows begin, and no Parquet at all."""
    fleet = write_fleet(vehicles=VEHICLES, tasks=TASKS)
    path = written(fleet, """select 'V1' as vehicle_id, date '2026-01-01' + n::integer as read_at,
        (hash(n) % 1000000)::double / 7 as reading from range(20000) t(n)""")  # fmt: skip
    data = path.read_bytes()
    broken = {
        "cut": data[: len(data) // 2], "text": b"vehicle_id,read_at,reading\n", "empty": b"",
        "bytes": data[:4] + b"\xff" * 200 + data[204:],
    }  # fmt: skip
    path.write_bytes(broken[hurt])
    with pytest.raises(CannotReadOrWrite, match=r"^readings.parquet: found a file that cannot be read as Parquet"):
        Loaded(fleet)


def test_only_a_text_may_be_a_number_in_another_way_of_writing(write_fleet: WriteFleet) -> None:
    """12.345 that is a number is one; the text may mean twelve thousand."""
    for kind, loaded, reason in (("double", [("12.3450000",)], []), ("varchar", [], ["12.345"])):
        fleet = write_fleet(vehicles=VEHICLES, tasks=TASKS)
        written(fleet, f"select 'V1' as vehicle_id, '2026-01-05' as read_at, 12.345::{kind} as reading")
        found = Loaded(fleet)
        assert found.rows("select reading::varchar from readings") == loaded
        assert [value for _, _, _, value, _ in found.problems] == reason
        found.db.close()


def test_a_column_that_nothing_asks_for_costs_no_row_either_way(tmp_path: Path) -> None:
    quick, careful = ways(written(tmp_path, "select 'V1' as vehicle_id, 5 as reading, repeat('x', 1000001) as long"))
    assert quick == careful
    assert quick[1:] == (("long",), [(1, "V1", "5")])


def test_what_is_wrong_with_a_number_is_said_alike_either_way(write_fleet: WriteFleet) -> None:
    """One number with an exponent, and the whole file is read record by record."""
    said = []
    for last in ("7.5", "1e-7"):
        fleet = write_fleet(vehicles=VEHICLES, tasks=TASKS)
        written(fleet, f"""select 'V1' as vehicle_id, '2026-01-0' || n as read_at, r::double as reading
            from (values (1, '-12.345'), (2, 'nan'), (3, null), (4, '{last}')) t(n, r)""")  # fmt: skip
        found = Loaded(fleet)
        said.append(found.rows("select line, value, reason from quarantine order by line"))
        found.db.close()
        (fleet / "store.duckdb").unlink()
    assert said[0] == said[1]
    assert [row[0] for row in said[0]] == [1, 2, 3]
