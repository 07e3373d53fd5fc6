"""The job cards: one page a visit to print and work from, and the same as lines of history to fill in and feed back.

`cards_page` lays out the cards of the next weeks; `write_card_lines` writes `jobcards.csv`, whose columns are those of
the history table, so that the filled-in file loads from the history folder as it is. Torque, fill and level are left to
write in: they come from the maker's data for that very vehicle, which is not known here.
"""

import csv
from collections.abc import Collection, Iterator, Sequence
from datetime import date
from decimal import Decimal
from itertools import groupby
from pathlib import Path
from typing import NamedTuple, Protocol, TypeVar

import duckdb

from fleetreport.cells import harmless, plain
from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.marks import marks_of
from fleetreport.pages.frame import anchor, depot_order, left_for_filling, page_environment, styled
from fleetreport.record.findings import CONDITIONS
from fleetreport.report.cautions import cautions
from fleetreport.report.depot_parts import IS_IN_PART, Part, part_path
from fleetreport.report.report_rows import WeekAtAGlance, iterate_rows, read_rows, read_week
from fleetreport.tables import HISTORY

CARDS = "_cards.html"  # ends the name of a part's file
DENSE, VERY_DENSE = 5, 9  # tasks on a card above which it is set smaller, so that it stays one page


class CardVisit(NamedTuple):
    """`card_visits`: the head of a card. Lengths as the vehicle's own meters show them."""

    card_no: str
    vehicle_id: str
    title: str | None
    vehicle_class: str
    depot: str
    make: str | None
    serial: str | None
    year: int | None
    tyre_size: str | None
    iso_week: str
    visit_on: date
    task_count: int
    labour_hours: Decimal
    hours_not_set: int
    distance_unit: str | None
    odometer_about: Decimal | None
    odometer_read_on: date | None
    hours_about: Decimal | None


class CardTask(NamedTuple):
    """`card_tasks`: a task on a card, in working order. `done_with_title` names the task that covers it."""

    vehicle_id: str
    visit_on: date
    turn: int
    task: str
    title: str
    due_on: date
    days_early: int
    days_late: int
    weight: str
    source: str | None
    done_with_title: str | None
    labour_hours: Decimal | None
    caution: str | None
    drains: bool
    leaves_open: str | None


class CardItem(NamedTuple):
    """`card_items`: what a task on a card takes, in the item's unit; `lacking` None: enough by expected use."""

    vehicle_id: str
    visit_on: date
    turn: int
    item: str
    title: str
    quantity: Decimal
    unit: str
    by_chance: bool
    grade: str | None
    needs: str | None
    reason: str | None
    is_drained: bool
    lacking: Decimal | None
    arrives_on: date | None
    is_late: bool


class CardLine(NamedTuple):
    """`card_lines`: a line of jobcards.csv; `item` is blank on the line of the task itself."""

    card_no: str
    turn: int
    item: str
    vehicle_id: str
    unit: str | None
    task: str
    description: str
    quantity: Decimal | None


OnCard = TypeVar("OnCard", CardTask, CardItem)


class Card(NamedTuple):
    """One page: the visit, its tasks with their items, each caution once, with the tasks it belongs to, and what is
    short of stock, with its task.
    """

    visit: CardVisit
    tasks: list[tuple[CardTask, list[CardItem]]]
    cautions: list[tuple[str, list[int]]]
    leaves_open: list[str]
    drains: bool
    short: list[tuple[int, CardItem]]
    density: str


def cards_page(db: duckdb.DuckDBPyConnection, words: Catalogue = ENGLISH, parts: Collection[Part] = ()) -> str:
    """The job cards as HTML text, to be printed. Reads week_at_a_glance, card_visits, card_tasks and card_items.

    `parts`: those that `cards_of_parts` makes pages of, so that this one leads to them.
    """
    if not parts:
        return _page(db, words)(_cards(db))
    counted = db.execute(
        "select depot, part, count(*) from card_visits join report_parts using (vehicle_id, depot) group by all"
    ).fetchall()
    visits = {(depot, part): count for depot, part, count in counted}
    in_order = sorted(parts, key=lambda part: (depot_order(part.depot), part.part))
    listed = [(part, visits[part.which]) for part in in_order if part.which in visits]
    return _page(db, words)([], listed, sum(visits.values()))


def cards_of_parts(
    db: duckdb.DuckDBPyConnection, parts: Collection[Part], words: Catalogue = ENGLISH
) -> Iterator[tuple[str, str]]:
    """The cards of each part that has any: where they go, from the week's folder, and their HTML text."""
    page = _page(db, words, "../")
    for part in parts:
        if cards := _cards(db, IS_IN_PART, part.which):
            yield part_path(part, CARDS), page(cards)


class _Render(Protocol):
    def __call__(self, cards: list[Card], listed: Sequence[tuple[Part, int]] = (), total: int = 0) -> str: ...


def _page(db: duckdb.DuckDBPyConnection, words: Catalogue, up: str = "") -> _Render:
    """What lays out a list of cards, or of parts with the number of their cards."""
    week: WeekAtAGlance = read_week(db)
    environment = page_environment(words)
    environment.filters["fragment"] = left_for_filling(lambda name: anchor("card", name))
    marks = marks_of(words["locale"]).instead
    environment.filters["plain"] = left_for_filling(lambda amount: plain(amount).translate(marks))
    environment.globals["up"] = up
    template, carried = environment.get_template("jobcards.html"), styled("_style.css", "_cards.css")

    def page(cards: list[Card], listed: Sequence[tuple[Part, int]] = (), total: int = 0) -> str:
        return template.render(
            week=week, cards=cards, parts=listed, total=total or len(cards), cards_ending=CARDS,
            cautions=cautions(words, "week"), conditions=CONDITIONS, **carried
        )  # fmt: skip

    return page


def _cards(db: duckdb.DuckDBPyConnection, where: str = "true", given: Sequence[object] = ()) -> list[Card]:
    visits = read_rows(db, CardVisit, "card_visits", ("visit_on", "depot", "vehicle_id"), where, given)
    tasks = _in_turn(read_rows(db, CardTask, "card_tasks", (), where, given))
    items = _in_turn(read_rows(db, CardItem, "card_items", (), where, given))
    of_visit = {key: list(rows) for key, rows in groupby(tasks, _visit)}
    of_task = {key: list(rows) for key, rows in groupby(items, lambda row: (_visit(row), row.turn))}
    return [_card(visit, of_visit[_visit(visit)], of_task) for visit in visits]


def _visit(row: CardVisit | CardTask | CardItem) -> tuple[str, date]:
    return row.vehicle_id, row.visit_on


def _in_turn(rows: Sequence[OnCard]) -> list[OnCard]:
    return sorted(rows, key=lambda row: (row.vehicle_id, row.visit_on, row.turn))


def _card(visit: CardVisit, tasks: list[CardTask], items: dict[tuple[tuple[str, date], int], list[CardItem]]) -> Card:
    cautions: dict[str, list[int]] = {}
    for task in tasks:
        if task.caution:
            cautions.setdefault(task.caution, []).append(task.turn)
    leaves = dict.fromkeys(title for task in tasks if task.leaves_open for title in task.leaves_open.split("; "))
    of_tasks = [(task, items.get((_visit(task), task.turn), [])) for task in tasks]
    size = len(tasks)
    return Card(
        visit=visit,
        tasks=of_tasks,
        cautions=list(cautions.items()),
        leaves_open=list(leaves),
        drains=any(task.drains for task in tasks),
        short=[(item.turn, item) for _, some in of_tasks for item in some if item.lacking is not None],
        density="very-dense" if size > VERY_DENSE else "dense" if size > DENSE else "",
    )


def write_card_lines(db: duckdb.DuckDBPyConnection, path: Path) -> None:
    """Write jobcards.csv: a line for each task and item of the cards, with the columns of the history table.

    The day, the meters, hours and what was found are blank: a line without a day is work that was not done, and is
    refused when the file is loaded. Text is quoted where CSV (RFC 4180) asks for it. A name that a spreadsheet would
    take for a formula is not written as it stands, and is told when the file is loaded.
    """
    columns = [column.name for column in HISTORY.columns]
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, columns, restval="", lineterminator="\n")
        writer.writeheader()
        for line in iterate_rows(db, CardLine, "card_lines", ("card_no", "turn", "item")):
            writer.writerow({
                "vehicle_id": harmless(line.vehicle_id), "unit": line.unit or "", "task": harmless(line.task),
                "description": harmless(line.description),
                "kind": "scheduled", "item": harmless(line.item), "invoice": line.card_no,
                "quantity": plain(line.quantity) if line.quantity is not None else "",
            })  # fmt: skip
