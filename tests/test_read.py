"""Files to rows of text that know their line: RFC 4180, and what is left of a file that does not keep to it."""

import csv
from pathlib import Path

import duckdb
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fleetreport.problem import CannotReadOrWrite
from fleetreport.reading.records import cells_of, records
from fleetreport.reading.rows import InputFile, find_files, lines_in, ways_to_read


def rows_of(path: Path, way: int) -> tuple[list[tuple[object, ...]], list[tuple[int, str]]]:
    """The rows a way of reading gives, and the lines it refuses with the reason."""
    found = list(ways_to_read(InputFile("readings", path, path.name), path.parent))[way]
    return duckdb.connect().execute(found.sql).fetchall(), [(p.line, p.reason) for p in found.refused]


def careful(tmp_path: Path, data: str | bytes) -> tuple[list[tuple[object, ...]], list[tuple[int, str]]]:
    path = tmp_path / "in.csv"
    path.write_bytes(data.encode() if isinstance(data, str) else data)
    return rows_of(path, -1)


def test_a_row_knows_its_physical_line(tmp_path: Path) -> None:
    """Blank lines and line breaks in quotes count as lines of the file."""
    rows, _ = careful(tmp_path, 'vehicle_id,source\n1,"x\ny"\n\n2,z\n')
    assert rows == [(2, "1", "x\ny"), (5, "2", "z")]


def test_rows_that_have_no_shape_are_refused_alone(tmp_path: Path) -> None:
    rows, refused = careful(tmp_path, "vehicle_id,source\n1,2\n3\n4,5,6\n7,8,,\n9,10\n")
    assert rows == [(2, "1", "2"), (5, "7", "8"), (6, "9", "10")]
    assert refused == [
        (3, "found 1 cell, expected 2 as in the header"),
        (4, "found 3 cells, expected 2 as in the header"),
    ]


def test_a_quotation_mark_that_is_never_closed_swallows_nothing(tmp_path: Path) -> None:
    rows, refused = careful(tmp_path, 'vehicle_id,source\n1,"open\n2,x\n3,y\n')
    assert rows == [(3, "2", "x"), (4, "3", "y")]
    assert refused == [(2, "found a quotation mark that is not closed, expected a pair")]


def test_inch_marks_inside_a_cell_are_text(tmp_path: Path) -> None:
    rows, refused = careful(tmp_path, 'vehicle_id,source\n1,pipe 5" long\n2,hose 3" wide\n')
    assert rows == [(2, "1", 'pipe 5" long'), (3, "2", 'hose 3" wide')]
    assert refused == []


def test_bytes_that_are_no_utf8_cost_one_row(tmp_path: Path) -> None:
    rows, refused = careful(tmp_path, b"vehicle_id,source\n1,caf\xe9\n2,caf\xc3\xa9\n")
    assert rows == [(3, "2", "café")]
    assert refused == [(2, "found a byte that is not UTF-8 (byte 6 of the line), expected UTF-8")]


def test_an_endless_line_costs_one_row(tmp_path: Path) -> None:
    rows, refused = careful(tmp_path, "vehicle_id,source\n1," + "x" * 3_000_000 + "\n2,y\n")
    assert rows == [(3, "2", "y")]
    assert refused == [(2, "found a line of 3000003 bytes, expected fewer than 1000000")]


def test_byte_order_mark_and_blanks_around_names_are_taken_off(tmp_path: Path) -> None:
    path = tmp_path / "in.csv"
    path.write_bytes(b"\xef\xbb\xbf Vehicle_ID ,READING\nV1,5\n")
    quick = next(ways_to_read(InputFile("readings", path, "in.csv"), tmp_path))
    assert quick.columns == ("vehicle_id", "reading")
    assert duckdb.connect().execute(quick.sql).fetchall() == [(2, "V1", "5")]


def test_an_empty_file_has_no_rows(tmp_path: Path) -> None:
    path = tmp_path / "in.csv"
    path.write_bytes(b"")
    assert [way.columns for way in ways_to_read(InputFile("readings", path, "in.csv"), tmp_path)] == [()]


def test_tabs_part_the_cells_of_tsv(tmp_path: Path) -> None:
    path = tmp_path / "in.tsv"
    path.write_text("vehicle_id\tsource\n1,5\t2\n")
    assert rows_of(path, 0)[0] == [(2, "1,5", "2")]


@pytest.mark.parametrize(
    ("data", "lines"),
    [(b"", 0), (b"a", 1), (b"a\n", 1), (b"a\nb", 2), (b"a\nb\n\n\r\n", 2), (b"\n\n", 0), (b"a\n\nb\n", 3)],
)
def test_lines_are_counted_without_blank_ones_at_the_end(tmp_path: Path, data: bytes, lines: int) -> None:
    path = tmp_path / "in.csv"
    path.write_bytes(data)
    assert lines_in(path) == lines


cell = st.text(st.sampled_from(list('ab,"\n\r \té;')), max_size=6)


@given(st.lists(st.lists(cell, min_size=3, max_size=3), max_size=8))
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_what_the_standard_library_writes_is_read_back(tmp_path: Path, table: list[list[str]]) -> None:
    """Python's csv module writes, every cell in quotation marks as RFC 4180 allows; all comes back."""
    path = tmp_path / "in.csv"
    with path.open("w", encoding="utf-8", newline="") as out:
        csv.writer(out, lineterminator="\n", quoting=csv.QUOTE_ALL).writerows([["x", "y", "z"], *table])
    found = [record.cells for record in records(path, ",") if not record.error][1:]
    assert found == table


@given(st.binary(max_size=120))
@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_every_line_of_any_file_is_a_record_or_refused(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "in.csv"
    path.write_bytes(data)
    found = list(records(path, ","))
    lines = data.removeprefix(b"\xef\xbb\xbf").split(b"\n")
    starts = [record.line for record in found]
    assert starts == sorted(set(starts))
    told = sum(record.text.count("\n") + 1 for record in found)
    blank = sum(not line.strip(b"\r") for line in lines)
    assert told >= len(lines) - blank


def test_files_of_the_fleet_folder(tmp_path: Path) -> None:
    (tmp_path / "readings").mkdir()
    (tmp_path / ".fleetreport").mkdir()
    for name in (
        "vehicles.csv",
        "readings/b.csv",
        "readings/a.csv",
        "reading.csv",
        "README.md",
        ".fleetreport/tasks.csv",
    ):
        (tmp_path / name).write_text("x\n")
    files, strangers = find_files(tmp_path)
    assert [(file.table, file.name) for file in files] == [
        ("readings", "readings/a.csv"), ("readings", "readings/b.csv"), ("vehicles", "vehicles.csv"),
    ]  # fmt: skip
    assert strangers == ["reading.csv: this file belongs to no table and was not read"]


def test_a_link_to_a_folder_of_files_is_followed_and_a_copy_put_aside_is_not(tmp_path: Path) -> None:
    fleet, elsewhere = tmp_path / "fleet", tmp_path / "elsewhere"
    for folder in (fleet / "readings.bak", elsewhere):
        folder.mkdir(parents=True)
        (folder / "a.csv").write_text("x\n")
    (fleet / "readings").symlink_to(elsewhere)
    (elsewhere / "notes.txt").write_text("x\n")
    files, strangers = find_files(fleet)
    assert [file.name for file in files] == ["readings/a.csv"]
    assert strangers == ["readings/notes.txt: this file belongs to no table and was not read"]


@pytest.mark.parametrize("name", ["a[12].csv", "a*.csv", "unit=mi/a.csv"])
def test_a_name_is_neither_a_pattern_nor_a_value(tmp_path: Path, name: str) -> None:
    """DuckDB takes * ? [ for patterns and unit=mi in a path for a column."""
    (tmp_path / "a1.csv").write_text("vehicle_id,unit\nother,h\n")
    path = tmp_path / name
    path.parent.mkdir(exist_ok=True)
    path.write_text("vehicle_id,unit\nV1,km\n")
    for way in (0, 1):
        assert rows_of(path, way)[0] == [(2, "V1", "km")]


def test_a_header_may_say_anything(tmp_path: Path) -> None:
    rows, _ = careful(tmp_path, "line,,column 2,vehicle_id\n1,2,3,V1\n\n4,5,6,V2\n")
    assert rows == [(2, "V1"), (4, "V2")]


def test_a_folder_that_is_not_there_is_said_to_be_missing(tmp_path: Path) -> None:
    with pytest.raises(CannotReadOrWrite, match="found no such folder"):
        find_files(tmp_path / "nowhere")


def test_cells_of_one_line() -> None:
    assert cells_of(["a,b"], ",") == ["a", "b"]
    assert cells_of(['a,"b'], ",") is None
    assert cells_of(['"a"x,b'], ",") == ['"a"x', "b"]
