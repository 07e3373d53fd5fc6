"""Replay past as-of dates and judge the projections that would have been made, by what came after.

The folders of queries/ go in three turns. `hindsight` runs once, on all readings up to the last day: what the meters
really did, and the past days on which each is looked at. Then, for each of those days, the queries of meters/ and
rates/ run anew as in the weekly report, with `run.as_of` set to that day, and `replay` takes down what they and some
simple estimators say of the meters looked at. Last, `backtest` sets that beside what happened.

What is dated after a replayed day is not seen by it. What has no date is taken as it is today: the class of a vehicle,
its plan, the settings. Nothing here knows how a rate is worked out.
"""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import NamedTuple

import duckdb

from fleetreport.languages.catalogues import CATALOGUES, ENGLISH, Catalogue
from fleetreport.pages.drawing import drawn_plainly
from fleetreport.placing import Readers, put_in_place
from fleetreport.problem import CannotReadOrWrite
from fleetreport.publishing import write_table
from fleetreport.query import beside_the_package, in_order, load_macros, load_queries, run_all
from fleetreport.reading.rows import find_files
from fleetreport.settings.fleet_toml import Settings, read_settings
from fleetreport.storing.damage import anew_if_damaged
from fleetreport.storing.loading import keep, stage
from fleetreport.storing.store import begin_run, one_number, one_transaction, open_only_to, opened_store
from fleetreport.week import makers_of

# What each turn is there to make.
KNOWN_IN_THE_END = ("known_days", "look_days", "service_steps", "notes")
SAID_ON_A_DAY = ("look",)
PUBLISHED = ("backtest", "backtest_by_vehicle")

Tell = Callable[[str, float], None]


class Looks(NamedTuple):
    """When past projections are judged: a meter is looked at every so many months (or days) after its first ones."""

    every_months: int = 3
    history_months: int = 12
    every_days: int | None = None


class Score(NamedTuple):
    """One horizon of one meter over the whole fleet: the weekly report's rate, and the best simple estimator."""

    meter: str
    horizon: str
    projections: int
    error_ratio: float | None
    best_naive: str
    best_naive_ratio: float | None
    bias: float | None
    in_band_pct: float
    due_points: int
    due_week_pct: float | None
    due_week_or_next_pct: float | None


class Backtest(NamedTuple):
    """The figures of a run's summary, and notes on what a person should know at once."""

    days: int
    first_day: date
    last_day: date
    scores: list[Score]
    notes: list[str]

    def lines(self) -> list[str]:
        """The scores as lines of a table in plain text, the head first."""
        heads = (
            "meter", "ahead", "projections", "error", "best simple one", "bias", "in band", "due points", "right week",
            "or next to it",
        )  # fmt: skip
        rows = [heads, *(_cells(score) for score in self.scores)]
        widths = [max(len(row[at]) for row in rows) for at in range(len(heads))]
        # Names to the left, figures to the right.
        return [
            "  ".join(f"{cell:{'<' if at in (0, 1, 4) else '>'}{widths[at]}}" for at, cell in enumerate(row)).rstrip()
            for row in rows
        ]


def make_backtest(
    fleet: Path,
    as_of: date | None,
    out: Path,
    store: Path | None = None,
    looks: Looks | None = None,
    tell: Tell = lambda what, share: None,
) -> Backtest:
    """Judge the fleet's past projections by what is known on `as_of` (None: today where the fleet is), into `out`.

    `store` is the database file (default: .fleetreport/backtest.duckdb in the fleet folder, so that the week's stays as
    it is). `tell` is told what is being done, and the share of the work done before it. Raises WrongCall and
    CannotReadOrWrite with messages fit for a person, the latter too where the readings do not reach back far enough.
    """
    settings = read_settings(fleet)
    files, remarks = find_files(fleet, settings.source)
    day = as_of or settings.today()
    if out.exists() and not out.is_dir():
        raise CannotReadOrWrite(f"{out}: found a file, expected a folder to write the reports into")
    looks = looks or Looks()
    own = fleet / ".fleetreport" / "backtest.duckdb"
    store = store or own

    def judge() -> Backtest:
        with opened_store(store, settings) as db:
            changes = stage(db, files, settings, lambda name: tell(name, 0))
            load_macros(db, beside_the_package("queries"))
            open_only_to(db, out)
            with one_transaction(db):
                withdrawn = keep(db, changes)
                replay(db, settings, day, fleet.resolve().name, looks, tell)
                if not one_number(db, "select count(*) from judged"):
                    raise _too_little_history(db, fleet, day, looks)
            words, readers = CATALOGUES[settings.fleet.language], settings.outputs.readable_by
            publish(db, out, lambda name: tell(name, 1), words, readers)
            return _summary(db, [*withdrawn, *remarks])

    found, said = anew_if_damaged(store, own, judge)
    return found._replace(notes=[*found.notes, *said])


def replay(
    db: duckdb.DuckDBPyConnection,
    settings: Settings,
    as_of: date,
    fleet_name: str,
    looks: Looks,
    tell: Tell = lambda what, share: None,
) -> None:
    """Make every table of the folders hindsight, replay and backtest from the tables of the store."""
    begin_run(db, settings, as_of, fleet_name)
    db.execute(
        "create or replace table replay_plan as select ?::integer as every_months, ?::integer as every_days, "
        "?::integer as history_months",
        [looks.every_months, looks.every_days, looks.history_months],
    )
    run_all(db, makers_of(KNOWN_IN_THE_END, "hindsight"))
    on_a_day = makers_of(SAID_ON_A_DAY, "replay")
    days = [day for (day,) in db.execute("select distinct as_of from look_days order by as_of").fetchall()]
    for number, day in enumerate([*days, as_of]):
        # The last turn, on which nothing is looked at, gives `looks` its columns where there is no other.
        tell(f"as of {day}", number / (len(days) + 1))
        begin_run(db, settings, day, fleet_name)
        run_all(db, on_a_day)
        db.execute("create or replace table looks as from look" if number == 0 else "insert into looks from look")
    run_all(db, in_order(load_queries(beside_the_package("queries"), ("backtest",))))


def publish(
    db: duckdb.DuckDBPyConnection,
    out: Path,
    tick: Callable[[str], None],
    words: Catalogue = ENGLISH,
    readable_by: Readers = "owner",
) -> None:
    """Write the tables and the page aside, then move each into its place in `out`, for those who may read them.

    Raises CannotReadOrWrite where `out` cannot be written.
    """
    # Loads Matplotlib, which is slow.
    from fleetreport.trials.backtest_page import backtest_page

    with put_in_place(out, readable_by=readable_by) as aside:
        for table in PUBLISHED:
            write_table(db, table, aside / "data" / f"{table}.csv", "format csv, header")
        tick("backtest.html")
        text = drawn_plainly(lambda: backtest_page(db, words))
        (aside / "backtest.html").write_text(text, encoding="utf-8", newline="\n")


def _too_little_history(db: duckdb.DuckDBPyConnection, fleet: Path, as_of: date, looks: Looks) -> CannotReadOrWrite:
    row = db.execute(
        """select max(datediff('month', first_on, last_on) - (day(first_on) > day(last_on))::integer) from (
            select min(read_on) as first_on, max(read_on) as last_on from known_days
            group by vehicle_id, meter having count(*) > 1)"""
    ).fetchone()
    months = row[0] if row else None
    found = "no meter read on two days" if months is None else f"at most {months} months of readings of a meter"
    return CannotReadOrWrite(
        f"{fleet}: found {found} up to {as_of}, expected {looks.history_months} months and later readings close enough "
        "together to judge a projection by",
        help="a shorter --history judges younger meters" if looks.history_months > 1 else "",
    )


def _cells(score: Score) -> tuple[str, ...]:
    def ratio(value: float | None, sign: str = "") -> str:
        return "-" if value is None else f"{value:{sign}.4f}"

    def share(value: float | None) -> str:
        return "-" if value is None else f"{value:.1f} %"

    return (
        score.meter, score.horizon, str(score.projections), ratio(score.error_ratio),
        f"{ratio(score.best_naive_ratio)} {score.best_naive}".rstrip(), ratio(score.bias, "+"),
        share(score.in_band_pct), str(score.due_points), share(score.due_week_pct), share(score.due_week_or_next_pct),
    )  # fmt: skip


def _summary(db: duckdb.DuckDBPyConnection, notes: list[str]) -> Backtest:
    found = db.execute("select count(distinct as_of), min(as_of), max(as_of) from judged").fetchone()
    scores = db.execute(
        """with fleet as (select * from backtest where class = '*'),
        best as (
            select meter, horizon, arg_min(estimator, (error_ratio, estimator)) as name, min(error_ratio) as ratio
            from fleet where estimator <> 'daily_rate' group by all
        )
        select meter, horizon, projections, error_ratio, coalesce(name, ''), ratio, bias, in_band_pct, due_points,
            due_week_pct, due_week_or_next_pct
        from fleet join best using (meter, horizon) join horizons using (horizon)
        where estimator = 'daily_rate' order by meter desc, turn"""
    ).fetchall()
    if found is None:
        raise LookupError("judged")
    days, first, last = found
    told = [note for (note,) in db.execute("select note from notes order by turn").fetchall()]
    return Backtest(days, first, last, [Score(*row) for row in scores], [*told, *notes])
