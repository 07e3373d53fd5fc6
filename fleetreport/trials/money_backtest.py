"""The forecast as it would have been made a year ago and before, judged by what was paid since.

On each of some past days, a whole month's last, the tables of the forecast are made anew with what was dated up to it;
twelve whole months later it is known what came. What has no date is taken as it is today, as in `backtest.py`, but for
prices, which are brought back at their yearly growth. What was known only later is left out: expiry dates more than a
year after the day, index values of that month and later ones (a month's index comes out when it is over), retirements.
Only the vehicles in service on that day are counted, in the forecast and in what came. Beside it stand two simple
estimates: each month as in the year before, and as the mean of the last three months.
"""

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import duckdb

from fleetreport.languages.catalogues import CATALOGUES
from fleetreport.pages.drawing import drawn_plainly
from fleetreport.placing import put_in_place
from fleetreport.problem import CannotReadOrWrite
from fleetreport.query import beside_the_package, load_macros, run_all
from fleetreport.reading.rows import find_files
from fleetreport.settings.fleet_toml import Settings, read_settings
from fleetreport.storing.fates import make_changeable
from fleetreport.storing.loading import keep, stage
from fleetreport.storing.store import begin_run, one_number, open_only_to, passing_store
from fleetreport.trials.money_backtest_page import money_backtest_page
from fleetreport.trials.money_looks import Look, MoneyBacktest, write_csv
from fleetreport.week import makers_of

MONTHS = 12
EVERY = 3  # months from one look to the one before it
MOST_LOOKS = 8
RECORDS_BEFORE = 365  # days of records before the first look
WANTED = ("forecast_totals", "paid_lines", "observed_use")

Tell = Callable[[str, float], None]


def make_money_backtest(
    fleet: Path, as_of: date | None, out: Path, tell: Tell = lambda what, share: None
) -> MoneyBacktest:
    """Judge the fleet's past forecasts by what is known on `as_of` (None: today where the fleet is).

    Writes backtest_money.html and data/money_backtest.csv into `out`. Raises WrongCall and CannotReadOrWrite with
    messages fit for a person, the latter too where the history does not reach back two years before the last whole
    month.
    """
    settings = read_settings(fleet)
    files, _ = find_files(fleet, settings.source)
    day = as_of or settings.today()
    months: list[Look] = []
    years: list[Look] = []
    fleet_name = settings.fleet.name or fleet.resolve().name
    with passing_store(settings) as db:
        keep(db, stage(db, files, settings))
        load_macros(db, beside_the_package("queries"))
        open_only_to(db)
        looks = look_days(db, settings, day)
        if not looks:
            raise CannotReadOrWrite(
                f"{fleet}: found too short a history up to {day}, expected one that begins two years or more "
                "before the last whole month"
            )
        make_changeable(db, CHANGED)
        _keep_as_read(db)
        for number, look in enumerate(looks):
            tell(f"as of {look}", number / len(looks))
            *of_months, of_year = _look_back(db, settings, day, look, fleet_name)
            months += of_months
            years.append(of_year)
        digits = one_number(db, "select money_digits from run")
    result = MoneyBacktest(fleet_name, settings.fleet.currency, digits, months, years)
    with put_in_place(out, readable_by=settings.outputs.readable_by) as written:
        write_csv(result, written / "data" / "money_backtest.csv")
        text = drawn_plainly(lambda: money_backtest_page(result, CATALOGUES[settings.fleet.language]))
        (written / "backtest_money.html").write_text(text, encoding="utf-8", newline="\n")
    return result


def look_days(db: duckdb.DuckDBPyConnection, settings: Settings, as_of: date) -> list[date]:
    """The last days of months on which a forecast is looked at, the latest first: its twelve months are all over."""
    row = db.execute("select min(done_on) from history").fetchone()
    first = settings.fleet.records_from or (row[0] if row else None)
    looks: list[date] = []
    while first is not None and len(looks) < MOST_LOOKS:
        months = as_of.year * 12 + as_of.month - 1 - MONTHS - EVERY * len(looks)
        look = date(months // 12, months % 12 + 1, 1) - timedelta(1)
        if (look - first).days < RECORDS_BEFORE:
            break
        looks.append(look)
    return looks


# What a look changes, to be put back before the next one.
CHANGED = ("vehicles", "items", "packs", "expiries", "price_indexes")


def _keep_as_read(db: duckdb.DuckDBPyConnection) -> None:
    for table in CHANGED:
        db.execute(f"create temp table as_read_{table} as from {table}")


def _look_back(
    db: duckdb.DuckDBPyConnection, settings: Settings, as_of: date, look: date, fleet_name: str
) -> list[Look]:
    """The forecast of one past day and what came: the twelve months, then all of them."""
    back = (1 + settings.money.inflation_per_year) ** -((as_of - look).days / 365.25)
    for table in CHANGED:
        db.execute(f"create or replace table {table} as from as_read_{table}")
    db.execute("update items set unit_cost = (unit_cost::double * ?)::decimal(18, 4)", [back])
    db.execute("update packs set price = (price::double * ?)::decimal(18, 4)", [back])
    db.execute("delete from expiries where expires_on > ?", [look + timedelta(366)])
    db.execute("delete from price_indexes where month >= date_trunc('month', ?::date)", [look])
    db.execute("update vehicles set retired_on = null where retired_on > ?", [look])
    then = settings.model_copy(
        update={
            "workshop": settings.workshop.model_copy(update={"labour_rate": settings.workshop.labour_rate * back}),
            "money": settings.money.model_copy(update={"months_ahead": MONTHS}),
        }
    )
    begin_run(db, then, look, fleet_name)
    run_all(db, makers_of(WANTED))
    return _judge(db, as_of, look)


# Money paid by month for the vehicles of the look, from all of the history.
PAID = (
    "select strftime(h.done_on, '%Y-%m') as month, "
    "sum(coalesce(h.parts_cost, 0) + coalesce(h.labour_cost, 0) + coalesce(h.other_cost, 0))::decimal(18, 4) as paid "
    "from history h join vehicles v using (vehicle_id) "
    "where v.in_service_on <= $look and (v.retired_on is null or v.retired_on > $look) and h.done_on <= $as_of "
    "group by all"
)
TOTALS = "select month, total, mean, p10, p90 from forecast_totals where level = ? order by month"


def _judge(db: duckdb.DuckDBPyConnection, as_of: date, look: date) -> list[Look]:
    paid: dict[str, Decimal] = dict(db.execute(PAID, {"look": look, "as_of": as_of}).fetchall())
    rows: list[tuple[Any, ...]] = db.execute(TOTALS, ["month"]).fetchall()
    # The month of the look itself has one day left, and is over.
    whole = rows[1:]
    nothing = Decimal(0)
    unit = Decimal(1).scaleb(-one_number(db, "select money_digits from run"))
    recent = nothing
    if whole:
        recent = (
            sum((paid.get(_months_before(whole[0][0], back), nothing) for back in (1, 2, 3)), nothing) / 3
        ).quantize(unit)
    months = [
        Look._make((look, *row, paid.get(row[0], nothing), paid.get(_months_before(row[0], 12), nothing), recent))
        for row in whole
    ]
    rest: list[tuple[Any, ...]] = db.execute(TOTALS, ["all"]).fetchall()
    # What is left of the look's own month is a day, with the overdue work on it: it counts with the year.
    foretold = rest[0][1:] if rest else (nothing,) * 4
    came = [sum((getattr(one, name) for one in months), nothing) for name in ("paid", "last_year", "last_3_months")]
    return [*months, Look._make((look, None, *foretold, *came))]


def _months_before(month: str, back: int) -> str:
    number = int(month[:4]) * 12 + int(month[5:]) - 1 - back
    return f"{number // 12}-{number % 12 + 1:02}"
