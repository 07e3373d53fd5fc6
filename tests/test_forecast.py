"""The forecast end to end on a fleet small enough to reckon by hand; its workbook recalculated; what-if."""

import csv
import re
import shutil
import subprocess
import zipfile
from datetime import date, datetime
from decimal import Decimal
from io import BytesIO
from pathlib import Path

import pytest
from conftest import WriteFleet
from openpyxl import load_workbook
from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from fleetreport.problem import WrongCall
from fleetreport.trials.changes import read_changes
from fleetreport.trials.what_if import make_what_if
from fleetreport.week import make_week
from fleetreport.workbooks import forecast_book, what_if_sheet
from fleetreport.workbooks.quick_sheet import QuickSheet

AS_OF = date(2026, 11, 25)
SETTINGS = """
    [fleet]
    currency = "EUR"
    financial_year_starts = 7
    [workshop]
    labour_rate = 60.0
    tax_rate = 0.2
    [money]
    inflation_per_year = 0.03
"""
VEHICLES = """
    vehicle_id,class,cost_centre,in_service_on,budget_per_year
    V1,van,north,2025-11-25,1000
    V2,van,,2025-11-25,
"""
# Every two months, 2 h and 3 L: V1 and V2 come up together, six times in the twelve months ahead.
TASKS = """
    class,task,every_months,labour_hours,category
    van,oil,2,2,oils
"""
ITEMS = """
    item,unit,kind,unit_cost
    oil,L,oils,8
"""
TASK_ITEMS = """
    class,task,item,quantity
    van,oil,oil,3
"""
READINGS = """
    vehicle_id,read_at,reading
    V1,2025-11-25,0
    V1,2026-11-25,36500
    V2,2025-11-25,0
    V2,2026-11-25,36500
"""
HISTORY = """
    vehicle_id,done_on,task,kind,parts_cost,labour_cost
    V1,2026-10-05,oil,,24,120
    V2,2026-10-05,oil,,24,120
"""


def small_fleet(write_fleet: WriteFleet, **other: str) -> Path:
    tables = {
        "settings": SETTINGS, "vehicles": VEHICLES, "tasks": TASKS, "items": ITEMS, "task_items": TASK_ITEMS,
        "readings": READINGS, "history": HISTORY,
    }  # fmt: skip
    return write_fleet(**(tables | other))


def rows_of(out: Path, table: str) -> list[dict[str, str]]:
    with (out / "data" / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_planned_work_is_the_contracts_arithmetic(write_fleet: WriteFleet, tmp_path: Path) -> None:
    """(3 L x 8 + 2 h x 60) x 1.03 ^ (days / 365.25) in the month of each day, without a band: nothing can move."""
    make_week(small_fleet(write_fleet), AS_OF, tmp_path / "out")
    rows = rows_of(tmp_path / "out", "forecast")
    assert list(rows[0])[:9] == [
        "month", "cost_centre", "category", "scheduled", "unscheduled", "total", "p10", "p90", "currency",
    ]  # fmt: skip
    days = [date(2026 + (m > 12), (m - 1) % 12 + 1, 5) for m in range(12, 24, 2)]
    expected = {f"{day:%Y-%m}": 144 * 1.03 ** ((day - AS_OF).days / 365.25) for day in days}
    for row in (row for row in rows if row["cost_centre"] == "north"):
        assert float(row["scheduled"]) == pytest.approx(expected.get(row["month"], 0.0), abs=0.01)
        assert row["total"] == row["scheduled"] == row["p10"] == row["p90"]
        assert (row["category"], row["unscheduled"], row["currency"]) == ("oils", "0.00", "EUR")
    # The vehicle without a cost centre has rows of its own, its cost centre blank.
    assert {row["cost_centre"] for row in rows} == {"north", ""}
    assert [row["month"] for row in rows if row["cost_centre"] == ""][0::12] == ["2026-11", "2027-11"]
    in_cents = {row["month"]: Decimal(0) for row in rows}
    for row in rows:
        in_cents[row["month"]] += Decimal(row["total"])
    exact = {month: round(2 * amount, 2) for month, amount in expected.items()}
    assert {month: float(amount) for month, amount in in_cents.items() if amount} == pytest.approx(exact, abs=0.001)


REPAIRED = HISTORY + "".join(
    f"    V1,2026-{month:02}-10,,repair,{100 + 10 * month},\n" for month in (1, 2, 3, 5, 6, 8, 9, 11)
)


@pytest.fixture(scope="module")
def repaired_week(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The reports of the fleet with eight repairs of V1 on record and none of V2."""
    folder = tmp_path_factory.mktemp("repaired")
    fleet = folder / "fleet"
    fleet.mkdir()
    texts = {"vehicles": VEHICLES, "tasks": TASKS, "items": ITEMS, "task_items": TASK_ITEMS, "readings": READINGS,
             "history": REPAIRED, "settings": SETTINGS}  # fmt: skip
    for name, text in texts.items():
        lines = "\n".join(line.strip() for line in text.strip("\n").splitlines())
        (fleet / ("fleet.toml" if name == "settings" else f"{name}.csv")).write_text(lines + "\n", encoding="utf-8")
    make_week(fleet, AS_OF, folder / "out")
    return folder / "out"


def test_repairs_are_told_apart_from_planned_work(repaired_week: Path) -> None:
    rows = rows_of(repaired_week, "forecast")
    assert {row["category"] for row in rows if row["unscheduled"] != "0.00"} == {"repairs"}
    assert {row["category"] for row in rows if row["scheduled"] != "0.00"} == {"oils"}
    year = next(row for row in rows_of(repaired_week, "forecast_totals") if row["level"] == "all")
    # Records begin with the first line, on 10 January, 319 days before: 8 repairs of 156.25 on average (158.5 at
    # today's prices) over two vehicles, for the 371 days ahead, dearer by half a year's growth.
    assert float(year["unscheduled"]) == pytest.approx(8 * 158.5 * 1.015 * 371 / 319, rel=0.01)
    assert float(year["p10"]) < float(year["total"]) < float(year["p90"])


def test_what_the_plan_does_not_date_is_forecast_from_the_record(write_fleet: WriteFleet, tmp_path: Path) -> None:
    """A top-up of 12 each month on record is one of 12 each month ahead, beside planned work and repairs."""
    top_ups = "".join(f"    V1,2026-{month:02}-10,,top_up,12,\n" for month in range(1, 12))
    make_week(small_fleet(write_fleet, history=REPAIRED + top_ups), AS_OF, tmp_path / "out")
    rows = rows_of(tmp_path / "out", "forecast")
    other = sum(float(row["unscheduled"]) for row in rows if row["category"] == "other")
    # 11 on record in 319 days, for the 371 ahead; half a year dearer on average at each end. Use on both sides is even.
    assert other == pytest.approx(11 * 12 * 1.015 * 371 / 319 * 1.013, rel=0.02)
    repairs = sum(float(row["unscheduled"]) for row in rows if row["category"] == "repairs")
    assert repairs == pytest.approx(8 * 158.5 * 1.015 * 371 / 319, rel=0.01)
    paid = sum(Decimal(row["paid_to_date"]) for row in rows_of(tmp_path / "out", "budget"))
    # Since July: repairs of 180, 190 and 210, services of 144 twice, top-ups of 12 five times.
    assert paid == Decimal("180") + 190 + 210 + 2 * 144 + 5 * 12


def test_the_parts_of_a_variance_add_up_to_it(repaired_week: Path) -> None:
    north = next(row for row in rows_of(repaired_week, "budget") if row["cost_centre"] == "north")
    parts = sum(Decimal(north[name]) for name in ("volume", "price", "unplanned_work", "timing"))
    assert parts == Decimal(north["variance_to_date"])
    # 148 days of 365 of 1,000; paid since July: repairs of 180, 190 and 210, and one service of 144.
    assert (north["budget_to_date"], north["paid_to_date"]) == ("405.48", "724.00")
    rest = sum(Decimal(row["total"]) for row in rows_of(repaired_week, "forecast")
               if row["cost_centre"] == "north" and row["financial_year"] == "2026/27")  # fmt: skip
    assert Decimal(north["outcome"]) == Decimal("724.00") + rest
    bare = next(row for row in rows_of(repaired_week, "budget") if row["cost_centre"] == "")
    assert bare["variance_to_date"] == ""


def test_totals_are_sums_of_what_is_printed(repaired_week: Path) -> None:
    rows, totals = rows_of(repaired_week, "forecast"), rows_of(repaired_week, "forecast_totals")
    for total in totals:
        chosen = [row for row in rows
                  if all(total[key] in ("", row[key]) for key in ("financial_year", "month", "category"))
                  and ("cost centre" not in total["level"] or row["cost_centre"] == total["cost_centre"])]  # fmt: skip
        for name in ("scheduled", "unscheduled", "total", "tax"):
            assert sum(Decimal(row[name]) for row in chosen) == Decimal(total[name])


def compared_by_libreoffice(out: Path, folder: Path) -> dict[str, int]:
    """How many formulas of a week's forecast.xlsx by sheet were worked out without their cached value, and the same."""
    bare = folder / "bare.xlsx"
    with zipfile.ZipFile(out / "forecast.xlsx") as old, zipfile.ZipFile(bare, "w") as new:
        for name in old.namelist():
            content = old.read(name)
            new.writestr(name, re.sub(rb"(</f>)<v>[^<]*</v>", rb"\1", content) if "worksheets" in name else content)
    subprocess.run(
        ["soffice", f"-env:UserInstallation=file://{folder}/profile", "--headless", "--norestore", "--convert-to",
         "xlsx:Calc MS Excel 2007 XML", "--outdir", str(folder / "out"), str(bare)],
        check=True, capture_output=True, timeout=180,
    )  # fmt: skip
    formulas = load_workbook(out / "forecast.xlsx")
    cached = load_workbook(out / "forecast.xlsx", data_only=True)
    recalculated = load_workbook(folder / "out" / "bare.xlsx", data_only=True)
    compared = {sheet.title: 0 for sheet in formulas}
    for sheet in formulas:
        for cell in (cell for row in sheet.iter_rows() for cell in row):
            if isinstance(cell.value, str) and cell.value.startswith("=") and cell.data_type == "f":
                own, again = (book[sheet.title][cell.coordinate].value for book in (cached, recalculated))
                assert again == pytest.approx(own, abs=0.0001), f"{sheet.title}!{cell.coordinate} {cell.value}"
                compared[sheet.title] += 1
    return compared


@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed")
def test_the_workbook_recalculated_is_the_workbook(repaired_week: Path, tmp_path: Path) -> None:
    """LibreOffice works out every formula, its cached value taken out, to the cent; blank cost centres included."""
    assert sum(compared_by_libreoffice(repaired_week, tmp_path).values()) > 60


# Names that a spreadsheet's comparisons take for one another, for a pattern, or for a condition.
CONFUSED = ("North", "north", "N*", "N?rth", "~north", "*", ">5", "=", "<>", "=north", "2026-12", "", "n" * 300)


@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed")
def test_sums_of_names_that_a_spreadsheet_confuses(write_fleet: WriteFleet, tmp_path: Path) -> None:
    """Cost centres, categories and classes that differ only in case, hold wildcards, or look like conditions."""
    vehicles, tasks, history = VEHICLES.splitlines()[1] + "\n", "class,task,every_months,labour_hours,category\n", ""
    for number, name in enumerate(CONFUSED, 1):
        vehicles += f"V{number},{name or 'none'},{name},2025-11-25,{1000 * number}\n"
        tasks += f"{name or 'none'},oil{number},2,{number},{name}\n"
        history += f"    V{number},2026-10-05,oil{number},,,{60 * number}\n"
    fleet = small_fleet(
        write_fleet, vehicles=vehicles, tasks=tasks, history=HISTORY.splitlines()[1] + "\n" + history,
        items="item,unit\n", task_items="class,task,item,quantity\n", readings="vehicle_id,read_at,reading\n",
    )  # fmt: skip
    make_week(fleet, AS_OF, tmp_path / "week", tmp_path / "store.duckdb")
    compared = compared_by_libreoffice(tmp_path / "week", tmp_path)
    assert {"Months", "Cost centres", "Categories", "Budget", "What-if"} <= {one for one, n in compared.items() if n}


def test_the_same_fleet_gives_the_same_bytes(
    repaired_week: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # And so does the library's own worksheet.
    for module in (forecast_book, what_if_sheet):
        monkeypatch.setattr(module, "QuickSheet", Worksheet)
    make_week(repaired_week.parent / "fleet", AS_OF, tmp_path / "again", tmp_path / "store.duckdb")
    for name in ("forecast.html", "forecast.xlsx", "data/forecast.csv", "data/forecast_totals.csv"):
        assert (tmp_path / "again" / name).read_bytes() == (repaired_week / name).read_bytes()


@pytest.mark.parametrize("number", [0.0, -0.5, 1 / 3, 1e21, 1e-7, 123456789.123456789, 3])
def test_a_quick_sheet_is_the_sheet_of_the_library(number: float) -> None:
    books = []
    for kind in (Worksheet, QuickSheet):
        file = BytesIO()
        with Workbook(file) as book:
            book.set_properties({"created": datetime(2026, 11, 25)})
            look, other = (book.add_format({"num_format": form}) for form in ("@", "0.00"))
            sheet = book.add_worksheet("One", kind)
            sheet.set_column(1, 1, 12, other)
            sheet.set_row(4, 20, other)
            for row, text in enumerate(('a & b < "c"', "=1+1", "\x07", " kept ", "a\nb", "a & b")):
                sheet.write_string(row, 0, text, look)
                sheet.write_string(row, 1, text)
                sheet.write_number(row, 27, number, other)
                sheet.write_number(row, 28, number)
                sheet.write_formula(row, 29, f'=IF(A{row + 1}<>"&",AB{row + 1}*1,"")', other, number)
                sheet.write_formula(row, 30, "=SUM(AB1:AB3)", look, "a < b")
                sheet.write_formula(row, 31, "=TRUE()", None, True)
                sheet.write_datetime(row, 32, date(2026, 11, 25), look)
                sheet.write_blank(row, 33, None, other)
                sheet.write_blank(row, 34, None)
        books.append(file.getvalue())
    assert books[0] == books[1]


def test_the_page_says_what_kind_of_figure_it_is(repaired_week: Path) -> None:
    page = (repaired_week / "forecast.html").read_text(encoding="utf-8")
    assert "A management figure, not a provision (IAS 37)." in page
    assert "not advice" in page
    assert "<script" not in page


def test_what_if_labour_cost_more(write_fleet: WriteFleet, tmp_path: Path) -> None:
    """Labour at 72 instead of 60: 2 h more by 24 each time, 168 / 144 of the planned total, and the store untouched."""
    fleet = small_fleet(write_fleet)
    done = make_what_if(fleet, AS_OF, tmp_path / "out", read_changes("72", [], [], "", []))
    whole = next(line for line in done.lines if line.key[0] == "all")
    assert float(whole.changed[0] / whole.base[0]) == pytest.approx(168 / 144, abs=1e-5)
    assert whole.difference == whole.changed[2] - whole.base[2]
    shown, sums = load_workbook(tmp_path / "out" / "what_if.xlsx", data_only=True).worksheets
    all_of_it = next(row for row in shown.iter_rows(values_only=True) if row[0] == "All")
    assert all_of_it[1:4] == (float(whole.base[2]), float(whole.changed[2]), float(whole.difference))
    assert all_of_it[4] == pytest.approx(24 / 144, abs=1e-5)
    assert "Labour at 72 an hour" in [row[0] for row in shown.iter_rows(values_only=True)]
    assert len(list(sums.iter_rows())) == 1 + len(done.lines)
    formulas = load_workbook(tmp_path / "out" / "what_if.xlsx").worksheets[1]
    assert formulas["P2"].value == "=M2-H2"
    assert (formulas["H1"].value, formulas["M1"].value) == ("Base, Total", "What if, Total")
    assert not (fleet / ".fleetreport").exists()


def test_what_if_twice_as_often_and_a_class_retired(write_fleet: WriteFleet, tmp_path: Path) -> None:
    fleet = small_fleet(write_fleet)
    often = make_what_if(fleet, AS_OF, tmp_path / "often", read_changes("", ["oil=1mo"], ["oil=+50%"], "", []))
    whole = next(line for line in often.lines if line.key[0] == "all")
    # Due on 5 November, so overdue and done on the as-of date, then each 25th: 13 times 156 instead of 6 times 144.
    assert float(whole.changed[2] / whole.base[2]) == pytest.approx(13 * 156 / (6 * 144), rel=0.01)
    gone = make_what_if(fleet, AS_OF, tmp_path / "gone", read_changes("", [], [], "", ["van"]))
    assert {line.changed[2] for line in gone.lines} == {Decimal(0)}


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (("much", [], [], "", []), '--labour-rate: found "much", expected a number'),
        (("", ["oil"], [], "", []), '--interval: found "oil", expected a task and its interval'),
        (("", ["oil=0km"], [], "", []), '--interval: found "oil=0km", expected a task and its interval'),
        (("", ["oil=0.5mo"], [], "", []), '--interval: found "oil=0.5mo", expected a task and its interval'),
        (("", [], ["oil=+2"], "", []), '--price: found "oil=\\+2"'),
        (("", [], ["oil=2%"], "", []), '--price: found "oil=2%"'),
        (("", [], ["oil=dear"], "", []), '--price: found "oil=dear"'),
        (("", [], [], "10", []), '--distance: found "10", expected a share such as \\+10%'),
        (("", [], [], "", []), "found nothing to change"),
    ],
)
def test_what_if_tells_what_it_cannot_read(
    call: tuple[str, list[str], list[str], str, list[str]], message: str
) -> None:
    with pytest.raises(WrongCall, match=message):
        read_changes(*call)


def test_what_if_of_a_task_that_is_not_there(write_fleet: WriteFleet, tmp_path: Path) -> None:
    with pytest.raises(WrongCall, match="did you mean oil"):
        make_what_if(small_fleet(write_fleet), AS_OF, tmp_path / "out", read_changes("", ["oill=3mo"], [], "", []))
