"""The forecast's workbook: the money tables with live formulas, so that an accountant can follow and change them.

Sums, variances and accruals are formulas over the cells of the sheets; each carries the value of the database as its
cached result, so that a program that only reads sees the same figures. `write_forecast_book` gives the same bytes for
the same tables.

Knows nothing of how a figure is worked out beyond the formulas it writes.
"""

from collections.abc import Callable, Sequence
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from typing import Any

import duckdb
from xlsxwriter import Workbook
from xlsxwriter.utility import xl_col_to_name

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.report.cautions import cautions
from fleetreport.report.money_rows import ForecastFacts, PriceRule
from fleetreport.report.report_rows import read_rows
from fleetreport.report.sentences import number, per_cent
from fleetreport.sql import identifier
from fleetreport.storing.store import one_number
from fleetreport.workbooks.forecast_sheets import PLANS, SPEND_NAMES, Field, Plan
from fleetreport.workbooks.quick_sheet import QuickSheet
from fleetreport.workbooks.sheets import LONGEST_LIST, REMEMBERED, ROWS_ON_PAPER
from fleetreport.workbooks.texts import as_quoted, as_written, quoted, write_text
from fleetreport.workbooks.what_if_sheet import write_what_if

INK, PAPER, OVERDUE, RULE = "#16191D", "#FFFFFF", "#9C2A0B", "#D3CDBF"
PER_USE_FORMAT = "#,##0.0000"


def write_forecast_book(
    db: duckdb.DuckDBPyConnection, path: Path, plans: Sequence[Plan] = PLANS, words: Catalogue = ENGLISH
) -> None:
    """Write the workbook to `path`. Raises duckdb.Error for a missing table or column.

    OSError where it cannot be written.
    """
    facts = read_rows(db, ForecastFacts, "forecast_facts")[0]
    book = Workbook(str(path), {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False})
    try:
        # A fixed date, so that equal tables give equal bytes.
        midnight = datetime(facts.as_of.year, facts.as_of.month, facts.as_of.day)
        book.set_properties({"title": f"{facts.fleet_name}: {words['forecast.title']}"[:255], "created": midnight})
        looks = book_looks(book, facts.money_digits)
        notes = _write_notes(book, facts, db, looks, words)
        for plan in plans:
            sheet, rows = _write_sheet(book, db, plan, looks, words)
            if plan.title == "months" and rows:
                sheet.insert_chart(rows + 4, 0, _months_chart(book, plan, rows, facts, words))
        write_what_if(book, db, looks, words)
        _list_sheets(notes, book, looks, words)
    finally:
        book.close()


def book_looks(book: Workbook, digits: int) -> dict[str, Any]:
    """The formats of a money workbook by what they are for; amounts have so many decimals."""
    money = "#,##0" + ("." + "0" * digits if digits else "")
    formats = {
        "text": "@",
        "date": "yyyy-mm-dd",
        "money": money,
        "per_use": PER_USE_FORMAT,
        "count": "#,##0",
        "share": "0.0%",
    }
    looks = {kind: book.add_format({"num_format": form}) for kind, form in formats.items()}
    looks["text"].set_indent(1)  # keeps clear of a figure to its left
    looks["sum"] = book.add_format({"num_format": money, "bold": True, "top": 1})
    looks["warned"] = book.add_format({"bold": True, "font_color": OVERDUE, "bg_color": "#F8E3DA"})
    looks["link"] = book.add_format({"font_color": "#17497C", "underline": 1})
    looks["bold"] = book.add_format({"bold": True, "top": 1})
    looks["title"] = book.add_format({"bold": True, "font_size": 16})
    looks["name"] = book.add_format({"bold": True, "valign": "top", "text_wrap": True})
    looks["note"] = book.add_format({"valign": "top", "text_wrap": True, "align": "left"})
    looks["percent"] = book.add_format({"num_format": "0.0%", "align": "left"})
    head = {"bold": True, "font_color": PAPER, "bg_color": INK, "text_wrap": True, "valign": "bottom"}
    looks["head"] = book.add_format(head | {"indent": 1})
    looks["figure_head"] = book.add_format(head | {"align": "right"})
    return looks | {as_quoted(name): quoted(book, looks[name]) for name in ("text", "title", "name", "note", "bold")}


def _write_notes(
    book: Workbook, facts: ForecastFacts, db: duckdb.DuckDBPyConnection, looks: dict[str, Any], words: Catalogue
) -> Any:
    """The first sheet: whose money, of what it is made, the rates that formulas refer to by name, how prices grow, the
    cautions. Gives the sheet and its next free line, for the list of sheets.
    """
    sheet = book.add_worksheet(words["sheet_title.notes"])
    sheet.set_column(0, 0, 34)
    sheet.set_column(1, 1, 90)
    write_text(sheet, 0, 0, f"{facts.fleet_name}: {words['forecast.title']}", looks, "title")
    day = facts.as_of.isoformat()
    named: tuple[tuple[str, Any, str, str], ...] = (
        ("note_as_of", day, "note", ""),
        ("note_to", facts.last_on.isoformat(), "note", ""),
        ("note_currency", facts.currency, "note", ""),
        ("note_decimals_of_the_currency", facts.money_digits, "note", "money_digits"),
        ("note_tax_rate", float(facts.tax_rate), "percent", "tax_rate"),
        ("note_financial_year", facts.financial_year, "note", "financial_year"),
        ("note_labour_an_hour", float(facts.labour_rate), "note", ""),
        ("note_made_of", _made_of(db, words), "note", ""),
    )
    line = 2
    for title, value, look, name in named:
        sheet.write_string(line, 0, words[f"sheet.{title}"], looks["name"])
        sheet.write(line, 1, value, looks[look])
        if name:
            book.define_name(name, f"='{words['sheet_title.notes']}'!$B${line + 1}")
        line += 1
    for rule in read_rows(db, PriceRule, "price_rules"):
        kind = words["forecast.all_else"] if rule.kind == "*" else rule.kind
        said = words["sheet.growth_with_index" if rule.base_month else "sheet.growth"].format(
            rate=per_cent(100 * rule.per_year, words), series=rule.series or words["sheet.given"],
            base=rule.base_month, last=rule.last_month,
        )  # fmt: skip
        write_text(sheet, line, 0, words["sheet.growth_of"].format(kind=kind), looks, "name")
        write_text(sheet, line, 1, said, looks, "note")
        line += 1
    line += 1
    for title, text in cautions(words, "money"):
        sheet.write_string(line, 0, title, looks["name"])
        sheet.write_string(line, 1, text, looks["note"])
        sheet.set_row(line, 32)
        line += 1
    sheet.fit_to_pages(1, 0)
    sheet.set_paper(9)
    sheet.set_footer(words["sheet.footer"])
    return sheet, line + 1


def _made_of(db: duckdb.DuckDBPyConnection, words: Catalogue) -> str:
    files, rows = db.execute("select count(*), coalesce(sum(rows_loaded), 0) from loads").fetchall()[0]
    return words["sheet.made_of"].format(files=number(files, words), rows=number(int(rows), words))


def _list_sheets(notes: tuple[Any, int], book: Workbook, looks: dict[str, Any], words: Catalogue) -> None:
    """Each further sheet as a link."""
    sheet, line = notes
    sheet.write_string(line, 0, words["sheet.sheets"], looks["name"])
    for at, one in enumerate(book.worksheets()[1:]):
        sheet.write_url(line + at, 1, f"internal:'{one.get_name()}'!A1", looks["link"], one.get_name())


def _months_chart(book: Workbook, plan: Plan, rows: int, facts: ForecastFacts, words: Catalogue) -> Any:
    """Planned and unplanned work of each month, one on the other, and the budget of its days as a line."""
    title = words[f"sheet_title.{plan.title}"]
    at = {field.column: place for place, field in enumerate(plan.fields)}
    chart: Any = book.add_chart({"type": "column", "subtype": "stacked"})
    line: Any = book.add_chart({"type": "line"})
    fills: dict[str, dict[str, Any]] = {
        "scheduled": {"fill": {"color": "#17497C"}},
        "unscheduled": {
            "pattern": {"pattern": "wide_upward_diagonal", "fg_color": "#17497C", "bg_color": PAPER},
            "border": {"color": "#17497C"},
        },
        "budget": {"line": {"color": OVERDUE, "width": 2.25, "dash_type": "dash"}},
    }
    for column, look in fills.items():
        (line if column == "budget" else chart).add_series({
            "name": [title, 0, at[column]], "categories": [title, 1, 0, rows, 0],
            "values": [title, 1, at[column], rows, at[column]], **look,
        })  # fmt: skip
    chart.combine(line)
    chart.set_title({"name": words["sheet.chart_months"].format(currency=facts.currency), "name_font": {"size": 12}})
    chart.set_y_axis({"num_format": "#,##0", "major_gridlines": {"visible": True, "line": {"color": RULE}}})
    chart.set_legend({"position": "bottom"})
    chart.set_size({"width": 900, "height": 380})
    return chart


def _write_sheet(
    book: Workbook, db: duckdb.DuckDBPyConnection, plan: Plan, looks: dict[str, Any], words: Catalogue
) -> tuple[Any, int]:
    """Gives the sheet and the number of its rows."""
    title = words[f"sheet_title.{plan.title}"]
    sheet = book.add_worksheet(title, QuickSheet)
    columns = ", ".join(identifier(field.column) for field in plan.fields)
    count = one_number(db, f"select count(*) from ({plan.source})")
    too_long = count > LONGEST_LIST and plan.title != "forecast"
    rows = [] if too_long else db.execute(f"select {columns} from ({plan.source})").fetchall()
    for at, field in enumerate(plan.fields):
        sheet.set_column(at, at, field.width)
        sheet.write_string(
            0, at, words[f"sheet.{field.heading}"], looks["head" if field.kind == "text" else "figure_head"]
        )
    sheet.set_row(0, 32)
    if plan.title == "forecast":
        for name, letter in SPEND_NAMES.items():
            book.define_name(name, f"='{title}'!${letter}$2:${letter}${len(rows) + 1}")
    writers = [_cell_writer(sheet, at, field, looks, words) for at, field in enumerate(plan.fields)]
    for line, row in enumerate(rows, 1):
        for write, value in zip(writers, row, strict=True):
            write(line, value)
    if too_long:
        told = words["sheet.too_long"].format(rows=number(count, words), file=f"data/{plan.in_data}.csv")
        sheet.write_string(1, 0, told, looks["text"])
    if rows and any(field.is_summed for field in plan.fields):
        _write_sums(sheet, plan, rows, looks, words)
    sheet.add_table(0, 0, max(len(rows), 1), len(plan.fields) - 1, {
        "name": f"t_{plan.title}", "style": "Table Style Light 1",
        "columns": [
            {"header": words[f"sheet.{field.heading}"],
             "header_format": looks["head" if field.kind == "text" else "figure_head"]} for field in plan.fields
        ],
    })  # fmt: skip
    for at, field in enumerate(plan.fields):
        if field.warns and rows:
            above = {"type": "no_blanks"} if field.kind == "text" else {"type": "cell", "criteria": ">", "value": 0}
            sheet.conditional_format(1, at, len(rows), at, above | {"format": looks["warned"]})
    sheet.freeze_panes(1, 1)
    sheet.set_landscape()
    sheet.set_paper(9)
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)
    head = "&R&A"
    if len(rows) > ROWS_ON_PAPER:
        sheet.print_area(0, 0, ROWS_ON_PAPER, len(plan.fields) - 1)
        head += f", {words['sheet.first_rows'].format(n=ROWS_ON_PAPER)}"
    sheet.set_header(head)
    sheet.set_footer(words["sheet.footer"])
    return sheet, len(rows)


def _cell_writer(
    sheet: Any, at: int, field: Field, looks: dict[str, Any], words: Catalogue
) -> Callable[[int, Any], object]:
    """What writes the cells of a column: row and value."""
    look, formula = looks[field.kind], "=" + field.formula.text if field.formula else ""

    # Texts come again and again.
    @lru_cache(REMEMBERED)
    def text(value: str) -> tuple[str, Any]:
        return as_written(str(words.get(f"{field.coded}{value}", value) if field.coded else value), looks, field.kind)

    def write(row: int, value: Any) -> object:
        if isinstance(value, bool):
            value = words["yes"] if value else ""
        if formula and value is not None:
            return sheet.write_formula(row, at, formula.replace("{r}", str(row + 1)), look, float(value))
        if value is None or value == "":
            return sheet.write_blank(row, at, None, look)
        if isinstance(value, str):
            return sheet.write_string(row, at, *text(value))
        if isinstance(value, date):
            return sheet.write_datetime(row, at, value, look)
        return sheet.write_number(row, at, float(value), look)

    return write


def _write_sums(
    sheet: Any, plan: Plan, rows: Sequence[tuple[Any, ...]], looks: dict[str, Any], words: Catalogue
) -> None:
    """A line of totals after an empty one, so that whole-column sums of other sheets and the filter leave it out."""
    line = len(rows) + 2
    sheet.write_string(line, 0, words["sheet.all"], looks["bold"])
    for at, field in enumerate(plan.fields):
        if field.is_summed:
            name = xl_col_to_name(at)
            total = sum((row[at] for row in rows if row[at] is not None), Decimal(0))
            sheet.write_formula(line, at, f"=SUM({name}2:{name}{len(rows) + 1})", looks["sum"], float(total))
