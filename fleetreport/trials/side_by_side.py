"""Two forecasts side by side: the sums of the one as it is and of the one with changes, as text, CSV and a workbook.

Knows nothing of how they were worked out; `what_if.py` does that, `what_if_page.py` shows them as a page.
"""

import csv
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.trials.changes import Changes

KEY = ("level", "financial_year", "month", "cost_centre", "category")
FIGURES = ("scheduled", "unscheduled", "total", "p10", "p90")

Key = tuple[str | None, ...]


class Line(NamedTuple):
    """One sum of the forecast: its key (level, year, month, cost centre, category), as it is and as it would be."""

    key: Key
    base: tuple[Decimal, ...]
    changed: tuple[Decimal, ...]

    @property
    def difference(self) -> Decimal:
        """The changed total less the base's."""
        return self.changed[2] - self.base[2]


class WhatIf(NamedTuple):
    """All sums side by side, in the order of forecast_totals; whose, of which day, in which currency and decimals."""

    fleet_name: str
    as_of: date
    currency: str
    digits: int
    lines: list[Line]

    def summary(self) -> list[str]:
        """Lines of plain text: all of it, the financial years, the cost centres and the categories."""
        shown = [line for line in self.lines if line.key[0] in ("all", "year", "cost centre", "category")]
        rows: list[tuple[str, ...]] = [("", "base", "what if", "difference", self.currency)]
        for line in sorted(shown, key=lambda one: ("all", "year", "cost centre", "category").index(one.key[0] or "")):
            named = next((part for part in line.key[1:] if part is not None), "")
            name = "all" if line.key[0] == "all" else f"{line.key[0]} {named or '(none)'}"
            figures = (f"{amount:,.{self.digits}f}" for amount in (line.base[2], line.changed[2]))
            rows.append((name, *figures, f"{line.difference:+,.{self.digits}f}", ""))
        widths = [max(len(row[at]) for row in rows) for at in range(5)]
        return ["  ".join(f"{cell:{'<' if at in (0, 4) else '>'}{widths[at]}}" for at, cell in enumerate(row)).rstrip()
                for row in rows]  # fmt: skip


def side_by_side(base: dict[Key, tuple[Decimal, ...]], changed: dict[Key, tuple[Decimal, ...]]) -> list[Line]:
    """The sums of both; one that only one of them has counts with 0 in the other."""
    nothing = (Decimal(0),) * len(FIGURES)
    keys = [*base, *(key for key in changed if key not in base)]
    return [Line(key, base.get(key, nothing), changed.get(key, nothing)) for key in keys]


def write_csv(result: WhatIf, path: Path) -> None:
    """A row a sum, amounts with the currency's decimals."""
    heads = (*KEY, *(f"base_{name}" for name in FIGURES), *(f"what_if_{name}" for name in FIGURES), "difference")
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow((*heads, "currency"))
        for line in result.lines:
            amounts = (*line.base, *line.changed, line.difference)
            writer.writerow((*line.key, *(f"{amount:.{result.digits}f}" for amount in amounts), result.currency))


def write_book(result: WhatIf, changes: Changes, path: Path, words: Catalogue = ENGLISH) -> None:
    """One sheet: what was changed, then a row a sum, the difference a formula with its value beside it."""
    from xlsxwriter import Workbook

    from fleetreport.workbooks.sheets import as_cell_text

    book = Workbook(str(path), {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False})
    book.set_properties({"created": changes.made_on})
    money = book.add_format({"num_format": "#,##0" + ("." + "0" * result.digits if result.digits else "")})
    bold = book.add_format({"bold": True, "text_wrap": True})
    sheet = book.add_worksheet(words["sheet_name.What if"])
    sheet.set_column(0, 4, 16)
    sheet.set_column(5, 15, 14)
    told = changes.told(words)
    for row, text in enumerate(told):
        sheet.write_string(row, 0, as_cell_text(text))
    top = len(told) + 1
    figures = [words[f"forecast.head_{name}"] for name in FIGURES]
    heads = (
        words["what_if_book.level"], words["sheet.financial_year"], words["sheet.month"], words["sheet.cost_centre"],
        words["sheet.category"], *(words["what_if_book.base"].format(figure=name) for name in figures),
        *(words["what_if_book.changed"].format(figure=name) for name in figures), words["what_if.difference"],
    )  # fmt: skip
    for at, head in enumerate(heads):
        sheet.write_string(top, at, head, bold)
    for row, line in enumerate(result.lines, top + 1):
        for at, part in enumerate((words[f"what_if_book.{line.key[0]}"], *line.key[1:])):
            if part:
                sheet.write_string(row, at, as_cell_text(part))
        for at, amount in enumerate((*line.base, *line.changed), len(KEY)):
            sheet.write_number(row, at, float(amount), money)
        sheet.write_formula(row, 15, f"=M{row + 1}-H{row + 1}", money, float(line.difference))
    sheet.freeze_panes(top + 1, 5)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    book.close()
