"""What moved in the forecast since about a month ago: its rows, and the sentence that a page and a letter begin with.

Knows nothing of how the two forecasts were compared; the queries work that out.
"""

from typing import NamedTuple

import duckdb

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.report.money_rows import MonthCompared, Moved
from fleetreport.report.report_rows import read_rows
from fleetreport.report.sentences import day, number

LINES_SHOWN = 10


class WhatMoved(NamedTuple):
    """`compared` None: no week so old is kept. `whole` None: nothing that can be compared.

    `lines` are the `LINES_SHOWN` that moved most.
    """

    compared: MonthCompared | None
    whole: Moved | None
    centres: list[Moved]
    lines: list[Moved]


def what_moved(db: duckdb.DuckDBPyConnection) -> WhatMoved:
    """Reads month_compared and moved_since_last_month, which gives cost centres in their order."""
    compared = read_rows(db, MonthCompared, "month_compared")
    rows = read_rows(db, Moved, "moved_since_last_month")
    lines = [row for row in rows if row.level == "line" and row.change]
    lines.sort(key=lambda row: (-abs(row.change), row.cost_centre or "", row.category or ""))
    return WhatMoved(
        compared=compared[0] if compared else None,
        whole=next((row for row in rows if row.level == "all"), None),
        centres=sorted((row for row in rows if row.level == "cost centre"), key=lambda row: row.cost_centre or ""),
        lines=lines[:LINES_SHOWN],
    )


def moved_in_a_line(moved: WhatMoved, currency: str, words: Catalogue = ENGLISH) -> str:
    """By how much the months in common moved and which cost centre most, or why there is nothing to compare with."""
    compared, whole = moved.compared, moved.whole
    if compared is None:
        return words["forecast.moved_none_kept"]
    then = day(compared.as_of, words)
    if not compared.same_currency:
        return words["forecast.moved_other_currency"].format(day=then)
    if whole is None or compared.first_month is None:
        return words["forecast.moved_no_month"].format(day=then)
    kind = "same" if not whole.change else "up" if whole.change > 0 else "down"
    said = words[f"forecast.moved_{kind}"].format(
        first=compared.first_month, last=compared.last_month, total=number(whole.total, words), currency=currency,
        change=number(abs(whole.change), words), day=then,
    )  # fmt: skip
    most = max(moved.centres, key=lambda row: abs(row.change), default=None)
    if most is None or not most.change or len(moved.centres) < 2:
        return said
    centre = most.cost_centre or words["no_cost_centre"]
    change = ("+" if most.change > 0 else "\u2212") + number(abs(most.change), words)
    return f"{said} {words['forecast.moved_most'].format(centre=centre, change=change)}"
