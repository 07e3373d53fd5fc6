"""The workbook: typed values, text that stays text, the same bytes each time, and files other programs open.

Checked from outside by two other readers: calamine through Polars, and LibreOffice where it is installed.
"""

import csv
import random
import re
import shutil
import subprocess
import sys
import zipfile
from datetime import date
from pathlib import Path
from xml.etree import ElementTree

import duckdb
import openpyxl
import polars
import pytest
from openpyxl.utils import get_column_letter
from openpyxl.workbook import Workbook
from report_fixture import DEPOTS, TABLES, empty_tables, report_tables

from fleetreport.languages.catalogues import ENGLISH
from fleetreport.report.cautions import cautions
from fleetreport.report.report_rows import DueRow, read_rows
from fleetreport.report.sentences import why_due
from fleetreport.workbooks.sheet_cells import as_cell_text, lines_of
from fleetreport.workbooks.workbook import DUE_COLUMNS, write_workbook
from fleetreport.workbooks.workshop_sheets import SHEETS as WORKSHOP_SHEETS

SHEETS = [
    "Cover", "Due", "All tasks", "Order", "Order totals", "Items needed", "Weeks ahead", "Litres by week",
    "Not judged", "Meters to read", "Set aside",
    "Words not read", "Loads", "On time", *(sheet.title for sheet in WORKSHOP_SHEETS),
]  # fmt: skip
TABLE_OF_SHEET = {
    "Due": "due_list", "All tasks": "due", "Order": "order_offers", "Items needed": "order_items",
    "Not judged": "not_judged", "Meters to read": "stale_meters",
    "Set aside": "quarantine", "Words not read": "unmatched", "Loads": "loads", "On time": "on_time",
    **{sheet.title: sheet.table for sheet in WORKSHOP_SHEETS},
}  # fmt: skip
# The contract's columns of due.csv, in its order.
DUE_CSV = [
    "vehicle_id",
    "task",
    "title",
    "status",
    "governed_by",
    "due_on",
    "days_left",
    "due_odometer",
    "distance_left",
    "due_hours",
    "hours_left",
    "distance_unit",
    "last_done_on",
    "last_done_odometer",
    "odometer_now",
    "odometer_read_on",
    "rate_per_day",
    "due_on_early",
    "due_on_late",
    "late_by_pct",
]
MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
HOSTILE = [
    "=1+1", "=HYPERLINK(\"http://x.example\",\"click\")", "=cmd|'/c calc'!A1", "+1", "-1", "@SUM(1)", "\t=1",
    "\r=1",
    "#N/A", "#REF!", "=", "TRUE", "00123", "1e5", "2026-11-25", "_x000A_", "a_x0041_b", "bell\x07", "\ufffe",
    "null\x00",
    "' quoted", "<c r=\"A1\"/>&amp;", "\u202eabc", "line\nline", "\U0001f69a",
]  # fmt: skip


@pytest.fixture(scope="module")
def forty() -> duckdb.DuckDBPyConnection:
    return report_tables(40)


@pytest.fixture(scope="module")
def book_path(forty: duckdb.DuckDBPyConnection, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("workbook") / "week.xlsx"
    write_workbook(forty, path)
    return path


@pytest.fixture(scope="module")
def book(book_path: Path) -> Workbook:
    return openpyxl.load_workbook(book_path)


def column(book: Workbook, sheet: str, heading: str) -> list[openpyxl.cell.Cell]:
    """The cells of one column, without its heading."""
    ws = book[sheet]
    at = next(cell.column for cell in ws[1] if cell.value == heading)
    return [row[at - 1] for row in ws.iter_rows(min_row=2)]


def test_sheets_are_those_of_the_tables_row_for_row(book: Workbook, forty: duckdb.DuckDBPyConnection) -> None:
    assert book.sheetnames == SHEETS
    for sheet, table in TABLE_OF_SHEET.items():
        ((rows,),) = forty.execute(f'select count(*) from "{table}"').fetchall()
        assert rows > 0
        assert book[sheet].max_row == rows + 1


def test_weeks_ahead_are_drawn_from_the_cells_of_their_table(book: Workbook, forty: duckdb.DuckDBPyConnection) -> None:
    """Each series of a native chart is a line of the table above it, its name a cell too: nothing is drawn twice."""
    ((hours,),) = forty.execute("select sum(labour_hours) from depot_weeks where is_full_plan").fetchall()
    assert sum(cell.value for cell in column(book, "Weeks ahead", "Sum")[: len(DEPOTS)]) == pytest.approx(float(hours))
    for name, lines in (("Weeks ahead", len(DEPOTS)), ("Litres by week", 2)):
        ws = book[name]
        assert len(ws.tables) == 1
        (chart,) = ws._charts
        assert [series.tx.strRef.f for series in chart.series] == [f"'{name}'!$A${at + 2}" for at in range(lines)]
        assert [series.val.numRef.f for series in chart.series] == [
            f"'{name}'!${'B'}${at + 2}:${get_column_letter(ws.max_column - 1)}${at + 2}" for at in range(lines)
        ]
        _, last = ws.print_area.replace("$", "").rsplit(":", 1)
        assert int(last.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")) >= lines + 20


def test_due_sheet_has_the_sentence_of_each_row(book: Workbook, forty: duckdb.DuckDBPyConnection) -> None:
    rows = read_rows(forty, DueRow, "due_list", ("due_on", "vehicle_id", "task"))
    assert [cell.value for cell in column(book, "Due", "Why")] == [why_due(r).replace("\u00a0", " ") for r in rows]
    assert [cell.value for cell in column(book, "Due", "Vehicle")] == [row.vehicle_id for row in rows]


def test_dates_are_dates_and_numbers_are_numbers_with_their_units(book: Workbook) -> None:
    for heading in ("Due on", "Earliest", "Odometer read on", "Last done on"):
        cells = [cell for cell in column(book, "Due", heading) if cell.value is not None]
        assert cells
        assert all(cell.is_date and cell.number_format == "yyyy\\-mm\\-dd" for cell in cells)
    for heading, form in (
        ("Odometer now", '#,##0 "km"'), ("Hours left", '#,##0.0 "h"'), ("Late by", '0.0" %"'), ("Days left",
        "#,##0_)"),
        ("Labour", '#,##0.0 "h"'),
    ):  # fmt: skip
        cells = [cell for cell in column(book, "Due", heading) if cell.value is not None]
        assert cells
        assert {cell.data_type for cell in cells} == {"n"}
        assert {cell.number_format for cell in cells} == {form}
    use = {
        (g.value == "hours", u.number_format)
        for g, u in zip(column(book, "Due", "Governed by"), column(book, "Due", "Use"), strict=True)
        if u.value is not None
    }
    assert use == {(True, '#,##0.0 "h a day"'), (False, '#,##0.0 "km a day"')}


def test_meters_are_as_the_dash_shows_them(book: Workbook, forty: duckdb.DuckDBPyConnection) -> None:
    shown = forty.execute(
        """select due_odometer - odometer_offset from due_list where due_odometer is not null
        order by due_on, vehicle_id, task"""
    ).fetchall()
    cells = [cell.value for cell in column(book, "Due", "Due at odometer") if cell.value is not None]
    assert cells == [float(value) for (value,) in shown]
    ((changed,),) = forty.execute("select count(*) from due_list where odometer_offset <> 0").fetchall()
    assert changed > 0


def test_all_tasks_has_the_contracts_columns_in_order_and_further_ones(tmp_path: Path) -> None:
    db = report_tables(3)
    assert [row[0] for row in db.execute('describe "due"').fetchall()] == DUE_CSV
    db.execute("alter table due add column noted_at timestamp default timestamp '2026-11-25 08:30:00'")
    write_workbook(db, tmp_path / "a.xlsx")
    ws = openpyxl.load_workbook(tmp_path / "a.xlsx")["All tasks"]
    heads = [cell.value for cell in ws[1]]
    assert heads == [name.replace("_", " ").capitalize() for name in [*DUE_CSV, "noted_at"]]
    assert ws.cell(2, len(heads)).value == "2026-11-25 08:30:00"


def test_each_sheet_is_a_named_table_set_up_to_read_and_to_print(book: Workbook) -> None:
    names = []
    for sheet in TABLE_OF_SHEET:
        ws = book[sheet]
        (table,) = ws.tables.values()
        names.append(table.displayName)
        assert table.ref == ws.dimensions
        assert table.autoFilter.ref == table.ref
        assert [c.name for c in table.tableColumns] == [cell.value for cell in ws[1]]
        assert ws.freeze_panes in ("A2", "C2")
        assert ws.print_title_rows == "$1:$1"
        assert (ws.page_setup.orientation, ws.page_setup.fitToHeight) == ("landscape", 0)
        assert ws.sheet_properties.pageSetUpPr.fitToPage
        assert ws.oddFooter.center.text == "Page &P of &N"
        for cell in ws[1]:
            assert ws.column_dimensions[cell.column_letter].width >= len(max(str(cell.value).split(), key=len))
    assert len(names) == len({name.lower() for name in names})
    assert all(re.fullmatch(r"[A-Za-z_]\w*", name) for name in names)
    assert book["Due"].print_area == f"'Due'!$A$1:$G${book['Due'].max_row}"


def test_dates_fit_their_columns(book: Workbook) -> None:
    """A date of ten characters shows as ### in a column that is narrower."""
    for sheet in TABLE_OF_SHEET:
        for cell in book[sheet][2]:
            if cell.is_date:
                assert book[sheet].column_dimensions[cell.column_letter].width >= 12


def test_a_status_is_a_word_with_a_mark_and_a_rule_for_its_colour(book: Workbook) -> None:
    marks = {"overdue": '"\u25c6 "@', "due": '"\u25d0 "@', "upcoming": '"\u25cb "@', "later": "General"}
    for sheet in ("Due", "All tasks"):
        cells = column(book, sheet, "Status")
        assert {"overdue", "due", "upcoming"} <= {cell.value for cell in cells}
        assert all(cell.number_format == marks[cell.value] for cell in cells)
        rules = {rule.formula[0]: str(area.sqref) for area in book[sheet].conditional_formatting for rule in area.rules}
        letter = cells[0].column_letter
        assert rules == dict.fromkeys(('"overdue"', '"due"'), f"{letter}2:{letter}{len(cells) + 1}")


def test_cover_says_whose_week_it_is_what_is_inside_and_the_cautions(book: Workbook) -> None:
    rows = [[cell.value for cell in row] for row in book["Cover"].iter_rows()]
    assert rows[0][0] == "Riverside Municipal Works"
    facts = {row[0]: row[1] for row in rows}
    assert facts["As of"].date() == date(2026, 11, 25)
    assert facts["Vehicles"] == 40
    assert all(facts[title] == text for title, text in cautions(ENGLISH, "week"))
    listed = {row[0]: row[2] for row in rows if row[0] in TABLE_OF_SHEET}
    assert listed == {sheet: book[sheet].max_row - 1 for sheet in TABLE_OF_SHEET}
    links = {cell.value: cell.hyperlink.location for (cell, *_) in book["Cover"].iter_rows() if cell.hyperlink}
    assert links == {sheet: f"'{sheet}'!A1" for sheet in SHEETS if sheet != "Cover"}


def hostile_tables() -> duckdb.DuckDBPyConnection:
    """Every hostile text in columns of text of every sheet, and in the fleet's name."""
    db = report_tables(1)
    db.execute("delete from quarantine")
    db.executemany(
        "insert into quarantine values (?, 1, ?, ?, ?, ?, 'row', ?, ?, ?)",
        [(text,) * 8 for text in HOSTILE],
    )
    db.executemany("insert into loads values (?, ?, 1, 1, 0, 0, ?)", [(text, text, text) for text in HOSTILE])
    db.execute("update due_list set vehicle_title = ?, depot = ?, caution = ?", ["=2+3", "@x", "-1+1"])
    db.execute("update due set title = '=2+3'")
    db.execute("update week_at_a_glance set fleet_name = '=1+1 &R&P &\"bad'")
    return db


def test_text_that_looks_like_a_formula_is_text(tmp_path: Path) -> None:
    write_workbook(hostile_tables(), tmp_path / "h.xlsx")
    with zipfile.ZipFile(tmp_path / "h.xlsx") as archive:
        sheets = [name for name in archive.namelist() if name.startswith("xl/worksheets/sheet")]
        assert len(sheets) == len(SHEETS)
        for name in archive.namelist():
            root = ElementTree.fromstring(archive.read(name))  # noqa: S314 our own file: each part must be XML
            if name in sheets:
                # `&` begins a code in a running head (ECMA-376 part 1, 18.3.1.46); twice, it is the sign
                # itself.
                assert root.findtext(f".//{MAIN}oddHeader") == '&L=1+1 &&R&&P &&"bad, 2026-W48&R&A'
                # The order's sums are formulas of our own; none holds a text of the input.
                formulas = [f.text or "" for f in root.findall(f".//{MAIN}c/{MAIN}f")]
                assert all(re.match(r"(ROUND|SUM|SUMPRODUCT)\(|C\d+-D\d+$", formula) for formula in formulas)
                assert not [formula for formula in formulas if "cmd" in formula or "HYPERLINK" in formula]
                assert {cell.get("t") for cell in root.iter(f"{MAIN}c")} <= {"n", "inlineStr", None}
    book = openpyxl.load_workbook(tmp_path / "h.xlsx")
    found = [cell.value for cell in column(book, "Set aside", "Found")]
    assert sorted(found) == sorted(as_cell_text(text) for text in HOSTILE)
    for cell in [
        *column(book, "Set aside", "Found"),
        *column(book, "Due", "Vehicle title"),
        book["Cover"]["A1"],
    ]:
        if cell.value.startswith(("=", "+", "-", "@", "\t", "\n")):
            assert cell.quotePrefix, cell.value


def test_same_rows_give_the_same_bytes_in_any_order(
    book_path: Path, forty: duckdb.DuckDBPyConnection, tmp_path: Path
) -> None:
    other = empty_tables()
    for table in TABLES:
        rows = forty.execute(f'from "{table}"').fetchall()
        random.Random(7).shuffle(rows)
        other.executemany(f'insert into "{table}" values ({", ".join("?" * len(rows[0]))})', rows)
    write_workbook(other, tmp_path / "again.xlsx")
    assert (tmp_path / "again.xlsx").read_bytes() == book_path.read_bytes()


def test_another_process_with_other_hashes_gives_the_same_bytes(tmp_path: Path) -> None:
    call = (
        "import sys; from pathlib import Path; from report_fixture import report_tables;"
        "from fleetreport.workbooks.workbook import write_workbook; from fleetreport.pages.page import week_page;"
        "db = report_tables(5); write_workbook(db, Path(sys.argv[1]));"
        "Path(sys.argv[1] + '.html').write_text(week_page(db), encoding='utf-8')"
    )
    tests = Path(__file__).parent
    for seed in ("1", "2"):
        path = f"{tests.parent}:{tests}"
        env = {"PYTHONHASHSEED": seed, "PYTHONPATH": path, "TZ": "UTC" if seed == "1" else "Asia/Tokyo"}
        subprocess.run([sys.executable, "-c", call, str(tmp_path / seed)], check=True, env=env)
    assert (tmp_path / "1").read_bytes() == (tmp_path / "2").read_bytes()
    assert (tmp_path / "1.html").read_bytes() == (tmp_path / "2.html").read_bytes()


def test_the_file_is_dated_by_the_week_not_by_the_clock(book_path: Path) -> None:
    with zipfile.ZipFile(book_path) as archive:
        core = archive.read("docProps/core.xml").decode()
        assert re.findall(r"<dcterms:(?:created|modified)[^>]*>([^<]*)", core) == ["2026-11-25T00:00:00Z"] * 2
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    assert openpyxl.LXML is False  # its bytes would be others


def test_more_rows_than_a_sheet_takes_go_on_in_the_next(forty: duckdb.DuckDBPyConnection, tmp_path: Path) -> None:
    write_workbook(forty, tmp_path / "split.xlsx", rows_a_sheet=50)
    book = openpyxl.load_workbook(tmp_path / "split.xlsx")
    ((rows,),) = forty.execute("select count(*) from due_list").fetchall()
    parts = [name for name in book.sheetnames if name.startswith("Due")]
    assert parts == ["Due", *(f"Due {n}" for n in range(2, len(parts) + 1))]
    assert [book[name].max_row - 1 for name in parts] == [50] * (rows // 50) + [rows % 50]
    ids = [cell.value for name in parts for cell in column(book, name, "Vehicle")]
    assert len(ids) == rows
    names = [table for ws in book for table in ws.tables]
    assert len(names) == len(set(names)) == len(book.sheetnames) - 1


def test_a_list_too_long_to_repeat_names_its_table_and_what_is_due_stands_in_full(
    forty: duckdb.DuckDBPyConnection, tmp_path: Path
) -> None:
    write_workbook(forty, tmp_path / "short.xlsx", longest_list=10)
    book = openpyxl.load_workbook(tmp_path / "short.xlsx")
    ((rows, due),) = forty.execute("select (select count(*) from due), (select count(*) from due_list)").fetchall()
    assert rows > 10
    assert [cell.value for cell in book["All tasks"]["A"][1:]] == [
        f"{rows:,} rows: more than are repeated here. They stand in data/due.csv."
    ]
    assert book["Due"].max_row == due + 1


def test_an_empty_fleet_has_a_workbook_with_empty_tables(tmp_path: Path) -> None:
    write_workbook(report_tables(0), tmp_path / "empty.xlsx")
    book = openpyxl.load_workbook(tmp_path / "empty.xlsx")
    assert book.sheetnames == SHEETS
    (table,) = book["Due"].tables.values()
    assert table.ref == f"A1:{openpyxl.utils.get_column_letter(len(DUE_COLUMNS))}2"


def test_wrapped_text_has_the_height_it_needs(book: Workbook) -> None:
    ws = book["Due"]
    for cell in column(book, "Due", "Why")[:30]:
        lines = lines_of(cell.value, 70)
        assert lines == 1 or ws.row_dimensions[cell.row].height >= 15 * lines


def test_another_reader_sees_the_same_types(book_path: Path, forty: duckdb.DuckDBPyConnection) -> None:
    """calamine, a reader that shares no code with the writer."""
    frame = polars.read_excel(book_path, sheet_name="Due")
    assert frame.schema["Due on"] == polars.Date
    assert frame.schema["Odometer now"].is_numeric()
    assert frame.schema["Why"] == polars.String
    ((earliest, latest),) = forty.execute("select min(due_on), max(due_on) from due_list").fetchall()
    assert (frame["Due on"].min(), frame["Due on"].max()) == (earliest, latest)


@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed")
def test_libreoffice_reads_hostile_text_as_it_was_typed(tmp_path: Path) -> None:
    """Its own reader and its own CSV writer, of the sheet `Set aside`. No cell became a formula."""
    write_workbook(hostile_tables(), tmp_path / "h.xlsx")
    sheet = SHEETS.index("Set aside") + 1
    options = f"csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,{sheet}"
    subprocess.run(
        ["soffice", f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}", "--headless", "--norestore",
         "--convert-to", options, "--outdir", str(tmp_path), str(tmp_path / "h.xlsx")],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    with (tmp_path / "h-Set aside.csv").open(encoding="utf-8", newline="") as file:
        found = sorted(row["Found"] for row in csv.DictReader(file))
    kept = [re.sub("[\x00\x07\ufffe]", "\ufffd", text.replace("\r", "\n")) for text in HOSTILE]
    assert found == sorted(kept)
