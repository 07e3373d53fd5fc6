"""Two forecasts side by side: the sums of the one as it is and of the one with changes, as text and CSV.

Knows nothing of how they were worked out; `what_if.py` does that, `what_if_page.py` shows them as a page and
`what_if_book.py` as a workbook.
"""

import csv
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.pages.frame import natural_order

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


def shown_sums(result: WhatIf, words: Catalogue = ENGLISH) -> list[tuple[str, list[tuple[str, Line]]]]:
    """The sums a person is shown: for years, months, centres and categories the named lines, all of it with the
    years.
    """
    by_level: dict[str | None, list[Line]] = {}
    for line in result.lines:
        by_level.setdefault(line.key[0], []).append(line)
    years = [(line.key[1] or "", line) for line in by_level.get("year", [])]
    return [
        ("years", [*years, *((words["what_if.all"], line) for line in by_level.get("all", []))]),
        ("months", [(line.key[2] or "", line) for line in by_level.get("month", [])]),
        ("centres", _by_name(by_level.get("cost centre", []), 3, words["no_cost_centre"])),
        ("categories", _by_name(by_level.get("category", []), 4, words["no_category"])),
    ]


def _by_name(lines: Sequence[Line], place: int, without: str) -> list[tuple[str, Line]]:
    """Lines by the name at a place of their key, in natural order."""
    named = sorted(((line.key[place] or "", line) for line in lines), key=lambda row: natural_order(row[0]))
    return [(name or without, line) for name, line in named]
