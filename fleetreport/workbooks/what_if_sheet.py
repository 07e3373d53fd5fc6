"""The sheets "What-if" and "What-if data" of the forecast's workbook: change a cell, and the sums follow by formula.

"What-if" holds the cells to change (labour rate, distance and retirement by class, intervals by task, prices by item)
beside what they are, and the sums by month, year and class, as they are and as changed. "What-if data" holds every
amount by month, class, task and part, its changed value a product of the cells that it depends on. Months are rounded
as the forecast's are, so that an unchanged sheet is the forecast to the minor unit.

Prices, the labour rate and a class retired are exact; intervals and distance are taken in proportion (the sheet says
so). Knows nothing of how an amount came about.
"""

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from itertools import groupby
from typing import Any, NamedTuple

import duckdb
from xlsxwriter import Workbook

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.workbooks.quick_sheet import QuickSheet
from fleetreport.workbooks.sheets import ROWS_ON_PAPER
from fleetreport.workbooks.texts import write_text

NOTES = ("exact", "rough", "measured", "without")
TOP = 7  # the row (from 0) of the headings
# Columns, from 0: sums; labour and classes; tasks; items.
SUMS, CLASSES, TASKS, ITEMS = 0, 5, 10, 13


class Part(NamedTuple):
    """`what_if_parts`: an amount of a month by what it depends on."""

    month: str
    financial_year: str
    vehicle_class: str
    task: str
    part: str
    moves: bool
    amount: Decimal


class Inputs(NamedTuple):
    """The cells that formulas refer to: of labour, and by class (distance, kept or not), task and item."""

    labour: str
    distance: dict[str, str]
    kept: dict[str, str]
    interval: dict[str, str]
    price: dict[str, str]


def write_what_if(
    book: Workbook, db: duckdb.DuckDBPyConnection, looks: dict[str, Any], words: Catalogue = ENGLISH
) -> None:
    """Add both sheets to the workbook. Raises duckdb.Error for a missing table or column."""
    parts = [
        Part._make(row)
        for row in db.execute(
            "select month, financial_year, class, task, part, moves, amount from what_if_parts "
            "order by month, class, task, part, moves"
        ).fetchall()
    ]
    if not parts:
        return
    own = _looks(book, looks)
    sheet, data = (book.add_worksheet(words[f"what_if_sheet.{name}"], QuickSheet) for name in ("name", "name_of_data"))
    _write_notes(sheet, own, words)
    inputs = _write_inputs(sheet, db, parts, own, words)
    rows = _write_data(data, parts, inputs, own, words)
    _write_sums(sheet, db, parts, rows, own, words)
    sheet.freeze_panes(TOP + 1, 1)
    for one in (sheet, data):
        one.set_landscape()
        one.set_paper(9)
        one.fit_to_pages(1, 0)
        one.set_header("&R&A")
        one.set_footer(words["sheet.footer"])
    data.repeat_rows(0)
    if len(parts) > ROWS_ON_PAPER:
        data.print_area(0, 0, ROWS_ON_PAPER, 7)
        data.set_header(f"&R&A, {words['sheet.first_rows'].format(n=ROWS_ON_PAPER)}")


def _looks(book: Workbook, looks: dict[str, Any]) -> dict[str, Any]:
    """The workbook's looks, and those of the cells to change."""
    entry = {"bg_color": "#FFF6D6", "font_color": "#17497C", "border": 1, "border_color": "#7D796F"}
    return looks | {
        "enter_money": book.add_format(entry | {"num_format": "#,##0.00##"}),
        "enter_share": book.add_format(entry | {"num_format": "0%"}),
        "enter_times": book.add_format(entry | {"num_format": "0.00"}),
        "enter_text": book.add_format(entry | {"align": "center"}),
        "price": book.add_format({"num_format": "#,##0.00##"}),
        "times": book.add_format({"num_format": "0.0000", "font_color": "#565A60"}),
        "said": book.add_format({"valign": "top"}),
    }


def _write_notes(sheet: Any, looks: dict[str, Any], words: Catalogue) -> None:
    sheet.write_string(0, 0, words["what_if_sheet.title"], looks["title"])
    for line, name in enumerate(NOTES, 1):
        sheet.write_string(line, 0, words[f"what_if_sheet.{name}"], looks["said"])
    for at, width in enumerate((16, 14, 14, 14, 2, 18, 14, 12, 8, 2, 48, 12, 2, 48, 12, 14, 8)):
        sheet.set_column(at, at, width)
    sheet.set_row(TOP, 32)


def _cell(sheet: Any, row: int, column: int) -> str:
    """A cell of the sheet What-if, as other cells refer to it."""
    return f"'{sheet.get_name()}'!${chr(ord('A') + column)}${row + 1}"


def _heads(sheet: Any, column: int, names: Sequence[str], looks: dict[str, Any], words: Catalogue) -> None:
    for at, name in enumerate(names):
        sheet.write_string(TOP, column + at, words[f"what_if_sheet.{name}"], looks["figure_head" if at else "head"])


def _write_inputs(
    sheet: Any, db: duckdb.DuckDBPyConnection, parts: Sequence[Part], looks: dict[str, Any], words: Catalogue
) -> Inputs:
    labour, kept, distance = _write_classes(sheet, db, parts, looks, words)
    _heads(sheet, TASKS, ("task", "interval"), looks, words)
    interval = {}
    titles = db.execute(
        "select task, min(shown_title(title, task)) from task_plan "
        "where coalesce(every_km, every_hours, every_months) is not null group by task order by 2, 1"
    ).fetchall()
    known = {part.task for part in parts}
    for row, (task, title) in enumerate(((task, title) for task, title in titles if task in known), TOP + 1):
        write_text(sheet, row, TASKS, f"{title} ({task})", looks, "text")
        sheet.write_number(row, TASKS + 1, 1, looks["enter_times"])
        sheet.data_validation(row, TASKS + 1, row, TASKS + 1, {"validate": "decimal", "criteria": ">", "value": 0})
        interval[task] = _cell(sheet, row, TASKS + 1)
    _heads(sheet, ITEMS, ("item", "price_now", "price", "times"), looks, words)
    price = {}
    of_parts = {part.part for part in parts if part.task}
    items = db.execute(
        "select item, coalesce(i.title, item), c.unit_cost::double from item_cost c join items i using (item) "
        "order by 2, 1"
    ).fetchall()
    for row, (item, title, cost) in enumerate((one for one in items if one[0] in of_parts), TOP + 1):
        write_text(sheet, row, ITEMS, f"{title} ({item})", looks, "text")
        sheet.write_number(row, ITEMS + 1, cost or 0, looks["price"])
        sheet.write_number(row, ITEMS + 2, cost or 0, looks["enter_money"])
        price[item] = _write_times(sheet, row, ITEMS + 1, looks)
    return Inputs(labour, distance, kept, interval, price)


def _write_times(sheet: Any, row: int, now: int, looks: dict[str, Any]) -> str:
    """What an amount is multiplied by: the new figure over the one before it; 1 where that is 0. Gives its cell."""
    old, new = (f"{chr(ord('A') + now + step)}{row + 1}" for step in (0, 1))
    sheet.write_formula(row, now + 2, f"=IF({old}=0,1,{new}/{old})", looks["times"], 1)
    return _cell(sheet, row, now + 2)


def _write_classes(
    sheet: Any, db: duckdb.DuckDBPyConnection, parts: Sequence[Part], looks: dict[str, Any], words: Catalogue
) -> tuple[str, dict[str, str], dict[str, str]]:
    """The labour rate, then distance and retirement of each class; gives the cells of labour, kept and distance."""
    rate = db.execute("select labour_rate::double from run").fetchall()[0][0]
    _heads(sheet, CLASSES, ("labour_heading", "now", "changed", "times"), looks, words)
    sheet.write_string(TOP + 1, CLASSES, words["what_if_sheet.labour"], looks["text"])
    sheet.write_number(TOP + 1, CLASSES + 1, rate, looks["price"])
    sheet.write_number(TOP + 1, CLASSES + 2, rate, looks["enter_money"])
    labour = _write_times(sheet, TOP + 1, CLASSES + 1, looks)
    for at, name in enumerate(("class", "distance", "retired", "counts")):
        sheet.write_string(
            TOP + 3, CLASSES + at, words[f"what_if_sheet.{name}"], looks["figure_head" if at else "head"]
        )
    kept, distance = {}, {}
    yes = words["yes"]
    for row, name in enumerate(sorted({part.vehicle_class for part in parts}), TOP + 4):
        write_text(sheet, row, CLASSES, name, looks, "text")
        sheet.write_number(row, CLASSES + 1, 1, looks["enter_share"])
        sheet.data_validation(row, CLASSES + 1, row, CLASSES + 1, {"validate": "decimal", "criteria": ">=", "value": 0})
        sheet.write_blank(row, CLASSES + 2, None, looks["enter_text"])
        sheet.data_validation(row, CLASSES + 2, row, CLASSES + 2, {"validate": "list", "source": [yes]})
        given = f"{chr(ord('A') + CLASSES + 2)}{row + 1}"
        sheet.write_formula(row, CLASSES + 3, f'=IF(LOWER(TRIM({given}))="{yes}",0,1)', looks["times"], 1)
        distance[name], kept[name] = _cell(sheet, row, CLASSES + 1), _cell(sheet, row, CLASSES + 3)
    return labour, kept, distance


def _write_data(
    sheet: Any, parts: Sequence[Part], inputs: Inputs, looks: dict[str, Any], words: Catalogue
) -> dict[str, tuple[int, int]]:
    """Every amount and its changed value. Gives the first and last row of each month, numbered as a formula does."""
    names = ("month", "year", "class", "task", "part", "moves", "amount", "amount_changed")
    for at, (name, width) in enumerate(zip(names, (10, 11, 16, 24, 24, 10, 16, 16), strict=True)):
        sheet.write_string(0, at, words[f"what_if_sheet.{name}"], looks["head" if at < 6 else "figure_head"])
        sheet.set_column(at, at, width)
    sheet.freeze_panes(1, 0)
    sheet.autofilter(0, 0, len(parts), len(names) - 1)
    rows: dict[str, tuple[int, int]] = {}
    for row, part in enumerate(parts, 1):
        texts = (part.month, part.financial_year, part.vehicle_class, part.task, part.part,
                 words["yes"] if part.moves else "")  # fmt: skip
        for at, text in enumerate(texts):
            if text:
                write_text(sheet, row, at, text, looks, "text")
        sheet.write_number(row, 6, float(part.amount), looks["price"])
        sheet.write_formula(row, 7, _changed(part, row + 1, inputs), looks["price"], float(part.amount))
        rows[part.month] = (rows.get(part.month, (row + 1, 0))[0], row + 1)
    return rows


def _changed(part: Part, row: int, inputs: Inputs) -> str:
    """The formula of a changed amount: times all that it depends on."""
    formula = f"=G{row}*{inputs.kept[part.vehicle_class]}"
    if part.moves:
        formula += f"*{inputs.distance[part.vehicle_class]}"
    if part.task in inputs.interval:
        formula += f"/{inputs.interval[part.task]}"
    if part.task and part.part == "labour":
        formula += f"*{inputs.labour}"
    elif part.task and part.part in inputs.price:
        formula += f"*{inputs.price[part.part]}"
    return formula


def _write_sums(
    sheet: Any, db: duckdb.DuckDBPyConnection, parts: Sequence[Part], rows: dict[str, tuple[int, int]],
    looks: dict[str, Any], words: Catalogue,
) -> None:  # fmt: skip
    """All of it and the financial years, sums of the months below them; then the classes, not rounded by month."""
    _heads(sheet, SUMS, ("time", "now", "what_if", "difference"), looks, words)
    months: list[tuple[str, str, float]] = db.execute(
        "select month, financial_year, total::double from forecast_totals where level = 'month' order by month"
    ).fetchall()
    years = [(year, list(some)) for year, some in groupby(months, key=lambda month: month[1])]
    first = TOP + 2 + len(years)
    line, data = first, words["what_if_sheet.name_of_data"]
    spans = [(words["what_if_sheet.all"], first, first + len(months) - 1)]
    for year, some in years:
        spans.append((words["what_if_sheet.year_of"].format(year=year), line, line + len(some) - 1))
        line += len(some)
    for row, (name, begin, end) in enumerate(spans, TOP + 1):
        total = sum(month[2] for month in months[begin - first : end - first + 1])
        formulas = [f"=SUM({letter}{begin + 1}:{letter}{end + 1})" for letter in "BC"]
        _write_sum(sheet, row, name, formulas, total, looks, "sum")
    for row, (month, _, total) in enumerate(months, first):
        begin, end = rows.get(month, (0, 0))
        changed = f"=ROUND(SUM('{data}'!$H${begin}:$H${end}),money_digits)" if begin else "=0"
        _write_sum(sheet, row, month, ["", changed], total, looks, "money")
    top = first + len(months) + 1
    unit = Decimal(1).scaleb(-db.execute("select money_digits from run").fetchall()[0][0])
    sheet.write_string(top, SUMS, words["what_if_sheet.class"], looks["head"])
    for at, name in enumerate(("now", "what_if", "difference"), 1):
        sheet.write_string(top, at, words[f"what_if_sheet.{name}"], looks["figure_head"])
    for row, name in enumerate(sorted({part.vehicle_class for part in parts}), top + 1):
        exact = sum((part.amount for part in parts if part.vehicle_class == name), Decimal(0))
        total = float(exact.quantize(unit, ROUND_HALF_UP))
        formulas = [
            # EXACT, since `=` takes "van" and "Van" for the same.
            f"=ROUND(SUMPRODUCT(--EXACT('{data}'!$C$2:$C${len(parts) + 1},$A{row + 1}),'{data}'!${letter}$2:"
            f"${letter}${len(parts) + 1}),money_digits)"
            for letter in "GH"
        ]
        _write_sum(sheet, row, name, formulas, total, looks, "money")


def _write_sum(
    sheet: Any, row: int, name: str, formulas: Sequence[str], value: float, looks: dict[str, Any], look: str
) -> None:
    """A line of sums: its name, as it is (a figure where it has no formula), as changed, the difference."""
    write_text(sheet, row, 0, name, looks, "bold" if look == "sum" else "text")
    for column, formula in enumerate(formulas, 1):
        if formula:
            sheet.write_formula(row, column, formula, looks[look], value)
        else:
            sheet.write_number(row, column, value, looks[look])
    sheet.write_formula(row, 3, f"=C{row + 1}-B{row + 1}", looks[look], 0)
