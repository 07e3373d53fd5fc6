"""Explain a vehicle: work the fleet out for the day asked for, and say how each of its figures came about.

The fleet is worked out anew in a database of its own, by the same queries as the week: what a store still holds may
be of another day, or of files that have changed since. So the lines and figures named are always those of the files
that stand there, and the week's store stays as it is.
"""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import NamedTuple

import duckdb
from rapidfuzz import fuzz, process

from fleetreport.alike import question
from fleetreport.checking.check_report import Line
from fleetreport.problem import WrongCall
from fleetreport.query import beside_the_package, load_macros, run_all
from fleetreport.reading.rows import find_files
from fleetreport.settings.fleet_toml import Settings, read_settings
from fleetreport.settings.wording import fold
from fleetreport.storing.loading import keep, stage
from fleetreport.storing.store import begin_run, open_only_to, passing_store
from fleetreport.week import makers_of
from fleetreport.why.explain import short_task_lines, task_lines, vehicle_lines

MADE = (
    "due_state",
    "why_meters",
    "why_rate",
    "why_plan",
    "why_last_done",
    "why_last_meters",
    "why_points",
    "quarantine",
)
SUGGESTIONS, ALIKE_FROM = 3, 50


class Explained(NamedTuple):
    """The day it is for, and the lines."""

    as_of: date
    lines: list[Line]


def why(
    fleet: Path,
    vehicle: str,
    task: str | None,
    as_of: date | None,
    tell: Callable[[str, float], None] = lambda what, share: None,
) -> Explained:
    """Explain a vehicle, or one of its tasks, as of a day (None: today where the fleet is).

    Raises WrongCall for a vehicle or a task that is not there, with the nearest names; CannotReadOrWrite for files that
    cannot be read.
    """
    settings = read_settings(fleet)
    files, _ = find_files(fleet, settings.source)
    if not any(file.table == "vehicles" for file in files):
        raise WrongCall(
            f"--fleet: found no vehicles table in {fleet}, expected a fleet folder", help="name the folder with --fleet"
        )
    day = as_of or settings.today()
    with passing_store(settings) as db:
        keep(db, stage(db, files, settings, lambda name: tell(name, 0.0)))
        load_macros(db, beside_the_package("queries"))
        open_only_to(db)
        # Whether there is such a vehicle is told before anything is worked out.
        _must_be_known(db, "vehicle", vehicle, "vehicles", "vehicles")
        work_out_why(db, settings, day, fleet.resolve().name, tell)
        if task is None:
            lines = [*vehicle_lines(db, vehicle), *short_task_lines(db, vehicle)]
        else:
            _must_be_known(db, "task", task, "task_plan", f"the plan of {vehicle}", vehicle)
            lines = [*vehicle_lines(db, vehicle), *task_lines(db, vehicle, task)]
    return Explained(day, lines)


def work_out_why(
    db: duckdb.DuckDBPyConnection,
    settings: Settings,
    as_of: date,
    fleet_name: str,
    tell: Callable[[str, float], None] = lambda what, share: None,
) -> None:
    """Make the tables of queries/why from what `keep` left in `db`."""
    made = makers_of(MADE, "why")
    names = [one.table for one in made]
    begin_run(db, settings, as_of, fleet_name)
    run_all(db, made, lambda name: tell(name, names.index(name) / len(names)))


def _must_be_known(
    db: duckdb.DuckDBPyConnection, what: str, name: str, table: str, where: str, vehicle: str | None = None
) -> None:
    """Raise WrongCall where the vehicle or task is not in its table, with the nearest names; of tasks, all."""
    column = "vehicle_id" if vehicle is None else "task"
    known = db.execute(
        f"select distinct {column}, title from {table} where $1::varchar is null or vehicle_id = $1 order by all",
        [vehicle],
    ).fetchall()
    if name in {one for one, _ in known}:
        return
    texts = [(one, fold(text.replace("_", " "))) for one, title in known for text in (one, title or one)]
    scores = process.cdist([fold(name.replace("_", " "))], [text for _, text in texts], scorer=fuzz.ratio)[0]
    best: dict[str, float] = {}
    asked = set(fold(name.replace("_", " ")).split())
    for (one, text), score in zip(texts, scores, strict=True):
        # Oil is asked for where the plan says engine_oil; of vehicles a word says little.
        is_word_of_it = vehicle is not None and bool(asked) and asked <= set(text.split())
        best[one] = max(best.get(one, 0.0), 99.0 if is_word_of_it else float(score))
    near = sorted((one for one in best if best[one] >= ALIKE_FROM), key=lambda one: (-best[one], one))[:SUGGESTIONS]
    # The same but for case or blanks leaves no doubt.
    near = [one for one in near if best[one] == 100] or near
    told = question(near)
    if vehicle is not None and best:
        tasks = ", ".join(sorted(best, key=lambda one: (-best[one], one)))
        told = f"{told} " * bool(told) + f"tasks of {vehicle}, the nearest first: {tasks}"
    raise WrongCall(f'{what}: found "{name}", expected one that stands in {where}', help=told)
