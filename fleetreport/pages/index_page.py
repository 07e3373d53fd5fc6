"""The index: each report of the week with its answer in a line, every vehicle's page, past weeks, all files.

`index_page` is made last, from what the run has written. The copy that is kept with a past week differs from the newest
one in where its past weeks lie, and says what it is.
"""

from collections.abc import Sequence
from pathlib import Path

import duckdb

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.marks import minor_digits
from fleetreport.pages.frame import depot_order, inside, natural_order, page_environment
from fleetreport.pages.own_reports import OURS
from fleetreport.pages.page import SINCE_SHOWN
from fleetreport.report.amounts import money
from fleetreport.report.cautions import cautions
from fleetreport.report.report_rows import WeekAtAGlance, read_rows, read_week
from fleetreport.report.sentences import counted, day, number
from fleetreport.report.sheet_rows import SheetVehicle
from fleetreport.report.since_rows import IndexFacts, since_last_week
from fleetreport.storing.past_weeks import PastWeek

# The groups of files in their order, and how a file is known to be of one.
GROUPS = (
    ("own", "*.html"),
    ("books", "*.xlsx"), ("depots", "depots/*"), ("calendar", "*.ics"), ("letters", "mail/*.eml"),
    ("letters", "orders/*"), ("cards", "jobcards.csv"), ("tables", "data/*"),
)  # fmt: skip
WORST = ("overdue", "due", "unknown", "none")


def index_page(
    db: duckdb.DuckDBPyConnection, written: Path, past: Sequence[PastWeek], is_kept: bool, words: Catalogue = ENGLISH
) -> str:
    """The index as HTML text. `written` is the folder with the week's reports; `is_kept`: the copy of a past week.

    Reads week_at_a_glance, index_facts, sheet_vehicles and what since_rows.since_last_week does.
    """
    week = read_week(db)
    (facts,) = read_rows(db, IndexFacts, "index_facts")
    in_service = read_rows(db, SheetVehicle, "sheet_vehicles")
    vehicles = sorted((row for row in in_service if row.has_page), key=lambda row: natural_order(row.vehicle_id))
    environment = page_environment(words)
    environment.globals["without_page"] = frozenset(row.vehicle_id for row in in_service if not row.has_page)
    return environment.get_template("index.html").render(
        week=week, answers=_answers(week, facts, words), since=since_last_week(db), since_shown=SINCE_SHOWN, past=past,
        is_kept=is_kept, vehicles=[(row, _worst(row)) for row in vehicles], in_service=len(in_service),
        statuses=WORST, filter_statuses=WORST[:3],
        depots=sorted({row.depot for row in vehicles}, key=depot_order), files=_files(written),
        cautions=cautions(words, "week"),
        **inside("_style.css", "_sheet.css"),
    )  # fmt: skip


def _worst(row: SheetVehicle) -> str:
    counts = (row.tasks_overdue, row.tasks_due, row.not_judged)
    return next((status for status, count in zip(WORST, counts, strict=False) if count), "none")


def _files(written: Path) -> list[tuple[str, list[str]]]:
    found: dict[str, list[str]] = {}
    for group, pattern in GROUPS:
        names = sorted(
            path.relative_to(written).as_posix()
            for path in written.glob(pattern)
            if path.is_file() and not (group == "own" and path.stem in OURS)
        )
        if names:
            found.setdefault(group, []).extend(names)
    return list(found.items())


def _answers(week: WeekAtAGlance, facts: IndexFacts, words: Catalogue) -> list[tuple[str, str, str]]:
    """A report's name, its file and its answer, in the order of the week's work."""
    answers = (
        ("week", "week.html", _due_said(week, words)),
        ("visits", "week.html#visits", _visits_said(facts, words)),
        ("jobcards", "jobcards.html", _cards_said(facts, words)),
        ("order", "order.html", _order_said(facts, week.currency, words)),
        ("forecast", "forecast.html", _forecast_said(facts, week.currency, words)),
        ("records", "records.html", _records_said(facts, words)),
    )
    return [(words[f"index.name.{name}"], file, answer) for name, file, answer in answers]


def _due_said(week: WeekAtAGlance, words: Catalogue) -> str:
    return words["index.said.week"].format(
        overdue=counted("tasks", week.tasks_overdue, words), unknown=number(week.not_judged, words),
        vehicles_overdue=counted("vehicles", week.vehicles_overdue, words), due=number(week.tasks_due, words),
        vehicles_due=number(week.vehicles_due, words), vehicles=counted("vehicles", week.vehicles, words),
    )  # fmt: skip


def _visits_said(facts: IndexFacts, words: Catalogue) -> str:
    said = words["index.said.visits"].format(
        visits=counted("visits", facts.visits_week, words), hours=number(facts.hours_week, words, 1),
        all=number(facts.visits, words),
    )  # fmt: skip
    if facts.unplaced:
        said += " " + words["index.said.unplaced"].format(tasks=counted("tasks", facts.unplaced, words))
    return said


def _cards_said(facts: IndexFacts, words: Catalogue) -> str:
    return words["index.said.jobcards"].format(
        cards=number(facts.cards, words), open=number(facts.followups_open, words),
        overdue=number(facts.followups_overdue, words),
    )  # fmt: skip


def _order_said(facts: IndexFacts, currency: str, words: Catalogue) -> str:
    said = words["index.said.order_none" if facts.items else "index.said.no_items"]
    if facts.packs_today:
        said = words["index.said.order"].format(
            packs=counted("packs", facts.packs_today, words), cost=money(facts.cost_today, words, currency),
            suppliers=counted("suppliers", facts.suppliers_today, words),
        )  # fmt: skip
    if facts.items_to_ask:
        said += " " + words["index.said.to_ask"].format(items=counted("items", facts.items_to_ask, words))
    if facts.works_lacking:
        said += " " + words["index.said.lacking"].format(tasks=counted("tasks", facts.works_lacking, words))
    return said


def _forecast_said(facts: IndexFacts, currency: str, words: Catalogue) -> str:
    if facts.forecast_total is None or facts.forecast_p10 is None or facts.forecast_p90 is None:
        return words["index.said.no_forecast"]
    said = words["index.said.forecast"].format(
        total=money(facts.forecast_total, words, currency), day=day(facts.forecast_until, words),
        low=number(facts.forecast_p10, words, minor_digits(currency)), high=money(facts.forecast_p90, words, currency),
    )  # fmt: skip
    if facts.budget and facts.outcome is not None:
        said += " " + words["index.said.budget"].format(
            year=facts.financial_year, outcome=money(facts.outcome, words, currency),
            budget=money(facts.budget, words, currency),
        )  # fmt: skip
    return said


def _records_said(facts: IndexFacts, words: Catalogue) -> str:
    if facts.on_time_month is None or facts.on_time is None or facts.on_time_judged is None:
        return words["index.said.no_records"]
    return words["index.said.records"].format(
        month=facts.on_time_month, done=number(facts.on_time, words), judged=number(facts.on_time_judged, words)
    )
