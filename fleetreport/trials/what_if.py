"""What the forecast would be if something were different: the fleet worked out twice, side by side.

Both runs take place in a store of their own that is thrown away, so the fleet's stays as it is. The second one changes
the settings or the rows as they were read (an interval, a price, the labour rate, a class retired), or the daily
distance once it is known what the meters have done so far. Nothing here knows how a forecast is worked out.
"""

from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path

import duckdb

from fleetreport.languages.catalogues import CATALOGUES
from fleetreport.pages.drawing import drawn_plainly
from fleetreport.placing import put_in_place
from fleetreport.query import beside_the_package, load_macros, run_all
from fleetreport.reading.rows import InputFile, find_files
from fleetreport.settings.fleet_toml import Settings, read_settings
from fleetreport.storing.fates import make_changeable
from fleetreport.storing.loading import keep, stage
from fleetreport.storing.store import begin_run, open_only_to, passing_store
from fleetreport.trials.changes import CHANGED_TABLES, Changes, apply_to_rows, run_faster
from fleetreport.trials.side_by_side import FIGURES, KEY, Key, WhatIf, side_by_side, write_csv
from fleetreport.trials.what_if_book import write_what_if_book
from fleetreport.trials.what_if_page import what_if_page
from fleetreport.week import makers_of

# What the meters have done and do is known before the distance is changed.
METERS_KNOWN = ("meter_now", "distance_band", "use_on_days", "meters_on_service_days")
WANTED = ("forecast_totals",)
Tell = Callable[[str, float], None]


def make_what_if(
    fleet: Path,
    as_of: date | None,
    out: Path,
    changes: Changes,
    tell: Tell = lambda what, share: None,
) -> WhatIf:
    """Work out the forecast of `as_of` (None: today where the fleet is) as it is and with `changes`; write both into
    `out`.

    Writes what_if.html, what_if.xlsx and data/what_if.csv. Raises WrongCall and CannotReadOrWrite with messages fit for
    a person.
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
    result = WhatIf(settings.fleet.name or fleet.resolve().name, day, currency, digits, side_by_side(*found))
    words = CATALOGUES[settings.fleet.language]
    with put_in_place(out, readable_by=settings.outputs.readable_by) as written:
        write_csv(result, written / "data" / "what_if.csv")
        write_what_if_book(result, changes, written / "what_if.xlsx", words)
        text = drawn_plainly(lambda: what_if_page(result, changes, words))
        (written / "what_if.html").write_text(text, encoding="utf-8", newline="\n")
    return result


def work_out(
    db: duckdb.DuckDBPyConnection, files: Sequence[InputFile], settings: Settings, as_of: date, fleet_name: str,
    changes: Changes | None,
) -> None:  # fmt: skip
    """Load the files into `db` and make the tables of the forecast, with the changes where there are any."""
    keep(db, stage(db, files, settings))
    load_macros(db, beside_the_package("queries"))
    open_only_to(db)
    if changes:
        make_changeable(db, CHANGED_TABLES)
        settings = changes.settings(settings)
        apply_to_rows(db, changes, as_of)
    begin_run(db, settings, as_of, fleet_name)
    first = makers_of(METERS_KNOWN)
    run_all(db, first)
    if changes:
        run_faster(db, changes)
    done = {one.table for one in first}
    run_all(db, [one for one in makers_of(WANTED) if one.table not in done])


def _totals(db: duckdb.DuckDBPyConnection) -> dict[Key, tuple[Decimal, ...]]:
    rows = db.execute(f"select {', '.join((*KEY, *FIGURES))} from forecast_totals").fetchall()
    return {row[: len(KEY)]: row[len(KEY) :] for row in rows}
