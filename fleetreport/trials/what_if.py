"""What the forecast would be if something were different: the fleet worked out twice, side by side.

Both runs take place in a store of their own that is thrown away, so the fleet's stays as it is. The second one changes
the settings or the rows as they were read (an interval, a price, the labour rate, a class retired), or the daily
distance once it is known what the meters have done so far. Nothing here knows how a forecast is worked out.
"""

import csv
from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

import duckdb

from fleetreport.query import Query, Step, beside_the_package, in_order, load_macros, load_queries, needed_for, run_all
from fleetreport.reading.rows import InputFile, find_files
from fleetreport.settings.fleet_toml import Settings, read_settings
from fleetreport.storing.fates import make_changeable
from fleetreport.storing.loading import keep, stage
from fleetreport.storing.store import begin_run, passing_store
from fleetreport.trials.changes import CHANGED_TABLES, Changes, apply_to_rows, run_faster
from fleetreport.week import PARTS, STEPS, put_in_place

# What the meters have done and do is known before the distance is changed.
METERS_KNOWN = ("meter_now", "distance_band", "use_on_days", "meters_on_service_days")
WANTED = ("forecast_totals",)
KEY = ("level", "financial_year", "month", "cost_centre", "category")
FIGURES = ("scheduled", "unscheduled", "total", "p10", "p90")

Key = tuple[str | None, ...]
Tell = Callable[[str, float], None]


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
    """All sums side by side, in the order of forecast_totals."""

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


def make_what_if(
    fleet: Path,
    as_of: date | None,
    out: Path,
    changes: Changes,
    tell: Tell = lambda what, share: None,
) -> WhatIf:
    """Work out the forecast of `as_of` (None: today where the fleet is) as it is and with `changes`; write both into
    `out`.

    Writes data/what_if.csv and what_if.xlsx. Raises WrongCall and CannotReadOrWrite with messages fit for a person.
    """
    settings = read_settings(fleet)
    files, _ = find_files(fleet, settings.source)
    day = as_of or settings.today()
    found = []
    currency, digits = settings.fleet.currency, 2
    for number, some in enumerate((None, changes)):
        tell("with the changes" if some else "as it is", number / 2)
        with passing_store(settings) as db:
            work_out(db, files, settings, day, fleet.resolve().name, some)
            found.append(_totals(db))
            digits = db.execute("select money_digits from run").fetchall()[0][0]
    result = WhatIf(currency, digits, side_by_side(*found))
    with put_in_place(out) as written:
        _write_csv(result, written / "data" / "what_if.csv")
        _write_book(result, changes, written / "what_if.xlsx")
    return result


def work_out(
    db: duckdb.DuckDBPyConnection, files: Sequence[InputFile], settings: Settings, as_of: date, fleet_name: str,
    changes: Changes | None,
) -> None:  # fmt: skip
    """Load the files into `db` and make the tables of the forecast, with the changes where there are any."""
    keep(db, stage(db, files, settings))
    queries = beside_the_package("queries")
    load_macros(db, queries)
    if changes:
        make_changeable(db, CHANGED_TABLES)
        settings = changes.settings(settings)
        apply_to_rows(db, changes, as_of)
    begin_run(db, settings, as_of, fleet_name)
    made: list[Query | Step] = [*load_queries(queries, PARTS), *STEPS]
    first = in_order(needed_for(METERS_KNOWN, made))
    run_all(db, first)
    if changes:
        run_faster(db, changes)
    done = {one.table for one in first}
    run_all(db, [one for one in in_order(needed_for(WANTED, made)) if one.table not in done])


def side_by_side(base: dict[Key, tuple[Decimal, ...]], changed: dict[Key, tuple[Decimal, ...]]) -> list[Line]:
    """The sums of both; one that only one of them has counts with 0 in the other."""
    nothing = (Decimal(0),) * len(FIGURES)
    keys = [*base, *(key for key in changed if key not in base)]
    return [Line(key, base.get(key, nothing), changed.get(key, nothing)) for key in keys]


def _totals(db: duckdb.DuckDBPyConnection) -> dict[Key, tuple[Decimal, ...]]:
    rows = db.execute(f"select {', '.join((*KEY, *FIGURES))} from forecast_totals").fetchall()
    return {row[: len(KEY)]: row[len(KEY) :] for row in rows}


def _write_csv(result: WhatIf, path: Path) -> None:
    heads = (*KEY, *(f"base_{name}" for name in FIGURES), *(f"what_if_{name}" for name in FIGURES), "difference")
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow((*heads, "currency"))
        for line in result.lines:
            amounts = (*line.base, *line.changed, line.difference)
            writer.writerow((*line.key, *(f"{amount:.{result.digits}f}" for amount in amounts), result.currency))


def _write_book(result: WhatIf, changes: Changes, path: Path) -> None:
    """One sheet: what was changed, then a row a sum, the difference a formula with its value beside it."""
    from xlsxwriter import Workbook

    from fleetreport.workbooks.sheets import as_cell_text

    book = Workbook(str(path), {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False})
    book.set_properties({"created": changes.made_on})
    money = book.add_format({"num_format": "#,##0" + ("." + "0" * result.digits if result.digits else "")})
    bold = book.add_format({"bold": True, "text_wrap": True})
    sheet = book.add_worksheet("What if")
    sheet.set_column(0, 4, 16)
    sheet.set_column(5, 15, 14)
    told = changes.told()
    for row, text in enumerate(told):
        sheet.write_string(row, 0, as_cell_text(text))
    top = len(told) + 1
    heads = ("Level", "Financial year", "Month", "Cost centre", "Category",
             *(f"Base, {name}" for name in FIGURES), *(f"What if, {name}" for name in FIGURES),
             "Difference")  # fmt: skip
    for at, head in enumerate(heads):
        sheet.write_string(top, at, head, bold)
    for row, line in enumerate(result.lines, top + 1):
        for at, part in enumerate(line.key):
            if part:
                sheet.write_string(row, at, as_cell_text(part))
        for at, amount in enumerate((*line.base, *line.changed), len(KEY)):
            sheet.write_number(row, at, float(amount), money)
        sheet.write_formula(row, 15, f"=M{row + 1}-H{row + 1}", money, float(line.difference))
    sheet.freeze_panes(top + 1, 5)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    book.close()
