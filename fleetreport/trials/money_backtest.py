"""The forecast as it would have been made a year ago and before, judged by what was paid since.

On each of some past days, a whole month's last, the tables of the forecast are made anew with what was dated up to it;
twelve whole months later it is known what came. What has no date is taken as it is today, as in `backtest.py`, but for
prices, which are brought back at their yearly growth, and expiry dates more than a year after the day, which nobody
could know then. Only the vehicles in service on that day are counted, in the forecast and in what came. Beside it stand
two simple estimates: each month as in the year before, and as the mean of the last three months.
"""

import csv
from collections.abc import Callable, Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import Any, NamedTuple

import duckdb

from fleetreport.problem import CannotReadOrWrite
from fleetreport.query import Query, Step, beside_the_package, in_order, load_macros, load_queries, needed_for, run_all
from fleetreport.reading.rows import find_files
from fleetreport.settings.fleet_toml import Settings, read_settings
from fleetreport.storing.fates import make_changeable
from fleetreport.storing.loading import keep, stage
from fleetreport.storing.store import begin_run, passing_store
from fleetreport.week import PARTS, STEPS, put_in_place

MONTHS = 12
EVERY = 3  # months from one look to the one before it
MOST_LOOKS = 8
RECORDS_BEFORE = 365  # days of records before the first look
WANTED = ("forecast_totals", "paid_lines", "observed_use")

Tell = Callable[[str, float], None]


class MonthLook(NamedTuple):
    """A past forecast of one month and what was paid in it, for the vehicles in service on the day of the look."""

    as_of: date
    month: str
    forecast: float
    mean: float
    p10: float
    p90: float
    paid: float
    last_year: float
    last_3_months: float


class YearLook(NamedTuple):
    """The same for the twelve months together, with the band of the sum."""

    as_of: date
    forecast: float
    mean: float
    p10: float
    p90: float
    paid: float
    last_year: float
    last_3_months: float


class MoneyBacktest(NamedTuple):
    """All looks, the latest first, and the currency."""

    currency: str
    months: list[MonthLook]
    years: list[YearLook]

    def lines(self) -> list[str]:
        """The summary in plain text: each year, then the errors by month and by year of the forecast and the.

        Simple ones.
        """
        rows: list[tuple[str, ...]] = [
            ("as of", "forecast", "mean", "1 in 10 below", "above", "paid", "error", "mean's", "in band")
        ]
        for year in self.years:
            errors = [
                f"{100 * (said / year.paid - 1):+.1f} %" if year.paid else "-" for said in (year.forecast, year.mean)
            ]
            rows.append(
                (str(year.as_of), *(f"{amount:,.0f}" for amount in year[1:6]), *errors, _said(_is_inside(year)))
            )
        widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
        lines = ["  ".join(f"{cell:>{width}}" for cell, width in zip(row, widths, strict=True)) for row in rows]
        for name, looks in (("month", self.months), ("year", self.years)):
            inside = sum(_is_inside(look) for look in looks)
            lines.append(
                f"by {name}: error {_ratio(looks, 'forecast')}, bias {_bias(looks, 'forecast')}; of the mean "
                f"{_ratio(looks, 'mean')}, bias {_bias(looks, 'mean')}; same as last year "
                f"{_ratio(looks, 'last_year')}; same as last 3 months {_ratio(looks, 'last_3_months')}; "
                f"{inside} of {len(looks)} inside the 80 % band"
            )
        return lines


def _said(inside: bool) -> str:
    return "yes" if inside else "no"


def _is_inside(look: MonthLook | YearLook) -> bool:
    return look.p10 <= look.paid <= look.p90


def _ratio(looks: Sequence[MonthLook | YearLook], name: str) -> str:
    """Sum of absolute errors over the sum paid."""
    paid = sum(look.paid for look in looks)
    return f"{sum(abs(getattr(look, name) - look.paid) for look in looks) / paid:.4f}" if paid else "-"


def _bias(looks: Sequence[MonthLook | YearLook], name: str) -> str:
    paid = sum(look.paid for look in looks)
    return f"{sum(getattr(look, name) - look.paid for look in looks) / paid:+.4f}" if paid else "-"


def make_money_backtest(
    fleet: Path, as_of: date | None, out: Path, tell: Tell = lambda what, share: None
) -> MoneyBacktest:
    """Judge the fleet's past forecasts by what is known on `as_of` (None: today where the fleet is).

    Writes data/money_backtest.csv into `out`. Raises WrongCall and CannotReadOrWrite with messages fit for a person,
    the latter too where the history does not reach back two years before the last whole month.
    """
    settings = read_settings(fleet)
    files, _ = find_files(fleet, settings.source)
    day = as_of or settings.today()
    months: list[MonthLook] = []
    years: list[YearLook] = []
    with passing_store(settings) as db:
        keep(db, stage(db, files, settings))
        load_macros(db, beside_the_package("queries"))
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
            of_months, of_year = _look_back(db, settings, day, look, fleet.resolve().name)
            months += of_months
            years.append(of_year)
    result = MoneyBacktest(settings.fleet.currency, months, years)
    with put_in_place(out) as written:
        _write_csv(result, written / "data" / "money_backtest.csv")
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
CHANGED = ("items", "packs", "expiries")


def _keep_as_read(db: duckdb.DuckDBPyConnection) -> None:
    for table in CHANGED:
        db.execute(f"create temp table as_read_{table} as from {table}")


def _look_back(
    db: duckdb.DuckDBPyConnection, settings: Settings, as_of: date, look: date, fleet_name: str
) -> tuple[list[MonthLook], YearLook]:
    """The forecast of one past day, and what came."""
    back = (1 + settings.money.inflation_per_year) ** -((as_of - look).days / 365.25)
    for table in CHANGED:
        db.execute(f"create or replace table {table} as from as_read_{table}")
    db.execute("update items set unit_cost = (unit_cost::double * ?)::decimal(18, 4)", [back])
    db.execute("update packs set price = (price::double * ?)::decimal(18, 4)", [back])
    db.execute("delete from expiries where expires_on > ?", [look + timedelta(366)])
    then = settings.model_copy(
        update={
            "workshop": settings.workshop.model_copy(update={"labour_rate": settings.workshop.labour_rate * back}),
            "money": settings.money.model_copy(update={"months_ahead": MONTHS}),
        }
    )
    begin_run(db, then, look, fleet_name)
    made: list[Query | Step] = [*load_queries(beside_the_package("queries"), PARTS), *STEPS]
    run_all(db, in_order(needed_for(WANTED, made)))
    return _judge(db, as_of, look)


# Money paid by month for the vehicles of the look, from all of the history.
PAID = (
    "select strftime(h.done_on, '%Y-%m') as month, "
    "sum(coalesce(h.parts_cost, 0) + coalesce(h.labour_cost, 0) + coalesce(h.other_cost, 0))::double as paid "
    "from history h join vehicles v using (vehicle_id) "
    "where v.in_service_on <= $look and (v.retired_on is null or v.retired_on > $look) and h.done_on <= $as_of "
    "group by all"
)


def _judge(db: duckdb.DuckDBPyConnection, as_of: date, look: date) -> tuple[list[MonthLook], YearLook]:
    paid: dict[str, float] = dict(db.execute(PAID, {"look": look, "as_of": as_of}).fetchall())
    rows = db.execute(
        "select month, total::double, mean::double, p10::double, p90::double from forecast_totals "
        "where level = 'month' order by month"
    ).fetchall()
    # The month of the look itself has one day left, and is over.
    whole = rows[1:]
    recent = sum(paid.get(_months_before(whole[0][0], back), 0.0) for back in (1, 2, 3)) / 3 if whole else 0.0
    months = [
        MonthLook(
            look, month, total, mean, p10, p90, paid.get(month, 0.0), paid.get(_months_before(month, 12), 0.0), recent
        )
        for month, total, mean, p10, p90 in whole
    ]
    rest: list[tuple[Any, ...]] = db.execute(
        "select total::double, mean::double, p10::double, p90::double from forecast_totals where level = 'all'"
    ).fetchall()
    total, mean, p10, p90 = rest[0] if rest else (0.0, 0.0, 0.0, 0.0)
    # What is left of the look's own month is a day, with the overdue work on it: it counts with the year.
    year = YearLook(
        look, total, mean, p10, p90, sum(one.paid for one in months), sum(one.last_year for one in months),
        sum(one.last_3_months for one in months),
    )  # fmt: skip
    return months, year


def _months_before(month: str, back: int) -> str:
    number = int(month[:4]) * 12 + int(month[5:]) - 1 - back
    return f"{number // 12}-{number % 12 + 1:02}"


def _write_csv(result: MoneyBacktest, path: Path) -> None:
    heads = (
        "as_of",
        "month",
        "forecast",
        "p10",
        "p90",
        "paid",
        "in_band",
        "same_as_last_year",
        "same_as_last_3_months",
    )
    rows: list[tuple[str, str, MonthLook | YearLook]] = [(str(one.as_of), one.month, one) for one in result.months]
    rows += [(str(one.as_of), "all twelve", one) for one in result.years]
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow((*heads, "currency"))
        for day, month, look in rows:
            figures = (f"{amount:.2f}" for amount in (look.forecast, look.mean, look.p10, look.p90, look.paid))
            simple = (f"{look.last_year:.2f}", f"{look.last_3_months:.2f}")
            writer.writerow((day, month, *figures, str(_is_inside(look)).lower(), *simple, result.currency))
