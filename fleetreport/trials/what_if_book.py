"""The two forecasts as a workbook: the sums that a person is shown, with a chart of the months, and all the sums.

Differences are live formulas, each with its value beside it. The same result gives the same bytes.
"""

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from xlsxwriter import Workbook
from xlsxwriter.utility import xl_rowcol_to_cell

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.trials.changes import Changes
from fleetreport.trials.side_by_side import FIGURES, KEY, Line, WhatIf, shown_sums
from fleetreport.workbooks.forecast_book import RULE, book_looks
from fleetreport.workbooks.texts import as_quoted, quoted, write_text

# The columns of the first sheet: their widths, and which is which.
NAMES, AMOUNTS = 30, 16
BASE, CHANGED, DIFFERENCE, SHARE = 1, 2, 3, 4
SHOWN = ("base", "changed", "difference", "share", "changed_p10", "changed_p90", "base_p10", "base_p90")


def write_what_if_book(result: WhatIf, changes: Changes, path: Path, words: Catalogue = ENGLISH) -> None:
    """Write the workbook to `path`. Raises OSError where it cannot be written."""
    book = Workbook(str(path), {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False})
    # A fixed time, so that the same result gives the same bytes.
    midnight = datetime(result.as_of.year, result.as_of.month, result.as_of.day)
    book.set_properties({"title": f"{result.fleet_name}: {words['what_if.title']}"[:255], "created": midnight})
    looks = book_looks(book, result.digits)
    looks["plain"] = book.add_format()
    looks[as_quoted("plain")] = quoted(book, looks["plain"])
    looks["share"] = book.add_format({"num_format": "+0.0%;-0.0%;0.0%"})
    looks["difference"] = book.add_format({"num_format": "+{0};-{0};{0}".format(looks["money"].num_format)})
    _write_shown(book, result, changes, looks, words)
    _write_all(book, result, looks, words)
    book.close()


def _write_shown(book: Workbook, result: WhatIf, changes: Changes, looks: dict[str, Any], words: Catalogue) -> None:
    """What is changed, and the tables of the page."""
    title = words["sheet_name.What if"]
    sheet = book.add_worksheet(title)
    sheet.hide_gridlines(2)
    sheet.set_column(0, 0, NAMES)
    sheet.set_column(1, len(SHOWN), AMOUNTS)
    write_text(sheet, 0, 0, f"{result.fleet_name}: {words['what_if.title']}", looks, "title")
    lead = words["what_if_book.lead"].format(day=result.as_of.isoformat(), currency=result.currency)
    told = [lead, "", words["what_if.changes"] + ":", *changes.told(words), ""]
    if changes.intervals:
        told += [f"{words['what_if.interval_lead']} {words['what_if.interval']}"]
    told += [f"{words['money.estimate_lead']} {words['what_if.caution']}"]
    for line, text in enumerate(told, 1):
        write_text(sheet, line, 0, text, looks, "plain")
    line = len(told) + 2
    chart: Any = None
    for name, rows in shown_sums(result, words):
        if rows:
            sheet.write_string(line, 0, words[f"what_if.table_{name}"], looks["name"])
            _write_table(sheet, line + 1, words[f"what_if.head_{name}"], rows, looks, words)
            if name == "months":
                chart = _months_chart(book, title, line + 1, len(rows), result, words)
            line += len(rows) + 3
    if chart:
        sheet.insert_chart(line, 0, chart)
    _set_up_print(sheet, words)


def _write_table(
    sheet: Any, top: int, head: str, rows: Sequence[tuple[str, Line]], looks: dict[str, Any], words: Catalogue
) -> None:
    sheet.set_row(top, 32)
    sheet.write_string(top, 0, head, looks["head"])
    for at, column in enumerate(SHOWN, 1):
        sheet.write_string(top, at, words[f"what_if.{column}"], looks["figure_head"])
    for at, (name, line) in enumerate(rows, top + 1):
        write_text(sheet, at, 0, name, looks, "text")
        base, changed = xl_rowcol_to_cell(at, BASE), xl_rowcol_to_cell(at, CHANGED)
        sheet.write_number(at, BASE, float(line.base[2]), looks["money"])
        sheet.write_number(at, CHANGED, float(line.changed[2]), looks["money"])
        sheet.write_formula(at, DIFFERENCE, f"={changed}-{base}", looks["difference"], float(line.difference))
        share = line.difference / line.base[2] if line.base[2] else ""
        sheet.write_formula(
            at, SHARE, f'=IF({base}=0,"",{changed}/{base}-1)', looks["share"],
            float(share) if isinstance(share, Decimal) else share,
        )  # fmt: skip
        for place, amount in enumerate((*line.changed[3:], *line.base[3:]), SHARE + 1):
            sheet.write_number(at, place, float(amount), looks["money"])


def _months_chart(book: Workbook, sheet: str, top: int, months: int, result: WhatIf, words: Catalogue) -> Any:
    """Two columns a month: as it is, and with the changes."""
    chart: Any = book.add_chart({"type": "column"})
    fills: dict[int, dict[str, Any]] = {
        BASE: {"fill": {"none": True}, "border": {"color": "#565A60", "width": 1.25}},
        CHANGED: {"fill": {"color": "#17497C"}},
    }
    for column, look in fills.items():
        chart.add_series({
            "name": [sheet, top, column], "categories": [sheet, top + 1, 0, top + months, 0],
            "values": [sheet, top + 1, column, top + months, column], "gap": 60, **look,
        })  # fmt: skip
    chart.set_title({"name": words["what_if.chart_title"], "name_font": {"size": 12}})
    chart.set_y_axis({"name": result.currency, "num_format": "#,##0",
                      "major_gridlines": {"visible": True, "line": {"color": RULE}}})  # fmt: skip
    chart.set_legend({"position": "bottom"})
    chart.set_size({"width": 760, "height": 360})
    return chart


def _write_all(book: Workbook, result: WhatIf, looks: dict[str, Any], words: Catalogue) -> None:
    """A row a sum, to filter and to sort."""
    sheet = book.add_worksheet(words["sheet_name.All sums"])
    figures = [words[f"forecast.head_{name}"] for name in FIGURES]
    heads = [
        words["what_if_book.level"], words["sheet.financial_year"], words["sheet.month"], words["sheet.cost_centre"],
        words["sheet.category"], *(words["what_if_book.base"].format(figure=name) for name in figures),
        *(words["what_if_book.changed"].format(figure=name) for name in figures), words["what_if.difference"],
    ]  # fmt: skip
    sheet.set_column(0, 0, 24)
    sheet.set_column(1, len(KEY) - 1, 16)
    sheet.set_column(len(KEY), len(heads) - 1, 15)
    sheet.set_row(0, 32)
    total = len(KEY) + FIGURES.index("total")
    for row, line in enumerate(result.lines, 1):
        for at, part in enumerate((words[f"what_if_book.{line.key[0]}"], *line.key[1:])):
            write_text(sheet, row, at, part or "", looks, "text")
        for at, amount in enumerate((*line.base, *line.changed), len(KEY)):
            sheet.write_number(row, at, float(amount), looks["money"])
        base, changed = xl_rowcol_to_cell(row, total), xl_rowcol_to_cell(row, total + len(FIGURES))
        sheet.write_formula(row, len(heads) - 1, f"={changed}-{base}", looks["difference"], float(line.difference))
    sheet.add_table(0, 0, max(len(result.lines), 1), len(heads) - 1, {
        "name": "t_all_sums", "style": "Table Style Light 1",
        "columns": [
            {"header": head, "header_format": looks["head" if at < len(KEY) else "figure_head"]}
            for at, head in enumerate(heads)
        ],
    })  # fmt: skip
    sheet.freeze_panes(1, 1)
    sheet.repeat_rows(0)
    _set_up_print(sheet, words)


def _set_up_print(sheet: Any, words: Catalogue) -> None:
    sheet.set_landscape()
    sheet.set_paper(9)
    sheet.fit_to_pages(1, 0)
    sheet.set_header("&R&A")
    sheet.set_footer(words["sheet.footer"])
