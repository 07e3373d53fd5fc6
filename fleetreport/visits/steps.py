"""Put the work of a run into visits: from the tables to the planner and back.

`VISIT_DAYS` makes the table `visit_days`, a row for each piece of work: the day it is put on, or none where no hours
or days were found for it. `visit_plans`, made beside it, holds a row for each group of depots planned together: what
the plan costs, the bound it is held against, and by what means it was made. What is weighed against what stands in
workshop.py; here a visit is worth its hours at the labour rate, and a day given away its share of the work's cost.
Without a rate both are weighed by hours alone.
"""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from typing import Any

import duckdb

from fleetreport.query import Step, fill_table
from fleetreport.visits.workshop import LATEST, VISIT, WORTH_OF_A_DAY_LATE, Job, Workshop, groups

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
DAYS_A_WEEK = 7
VISIT_DAY = {
    "vehicle_id": "varchar", "task": "varchar", "occurrence_no": "bigint", "visit_on": "date", "plan_no": "integer",
}  # fmt: skip
VISIT_PLAN = {
    "plan_no": "integer", "depots": "varchar[]", "jobs": "bigint", "cost_in_visits": "double",
    "bound_in_visits": "double", "gap": "double", "means": "varchar",
}  # fmt: skip


def _plan_visits(db: duckdb.DuckDBPyConnection) -> None:
    # SciPy is slow to import: a run that has nothing to plan again goes without it.
    from fleetreport.visits.solver import plans

    rows = db.execute(
        """select vehicle_id, task, occurrence_no, earliest_on, due_on, weight, interval_days, coalesce(labour_hours,
        0), cost, counts_on, depot
        from visit_jobs order by vehicle_id, task, occurrence_no"""
    ).fetchall()
    workshop = _workshop(db, {row[0]: row[10] for row in rows})
    rate, visit_hours = db.execute("select labour_rate, hours_per_visit from run").fetchall()[0]
    places: list[list[Any]] = []
    made: list[list[Any]] = []
    of_vehicle: dict[str, list[tuple[Any, ...]]] = defaultdict(list)
    for row in rows:
        of_vehicle[row[0]].append(row)
    rows_of = [
        [row for vehicle in together for row in of_vehicle[vehicle]] for together in groups(workshop, of_vehicle)
    ]
    jobs_of = [_jobs(some, float(rate), float(visit_hours)) for some in rows_of]
    for number, (some, found) in enumerate(zip(rows_of, plans(jobs_of, workshop), strict=True), start=1):
        places += [
            [*row[:3], date.fromordinal(day) if day is not None else None, number]
            for row, day in zip(some, found.days, strict=True)
        ]
        depots = sorted({row[10] for row in some})
        made.append([number, depots, len(some), found.cost / VISIT, found.bound / VISIT, found.gap, found.means])
    fill_table(db, "visit_days", VISIT_DAY, places)
    fill_table(db, "visit_plans", VISIT_PLAN, made)


def _jobs(rows: Sequence[tuple[Any, ...]], rate: float, visit_hours: float) -> list[Job]:
    """The work of a group as jobs, each after the one before of the same vehicle and task."""
    worth = visit_hours * rate if rate > 0 else visit_hours
    jobs: list[Job] = []
    counted_on: dict[tuple[str, str], tuple[int, bool]] = {}
    for vehicle, task, _, earliest, due, weight, interval, hours, cost, counts_on, _ in rows:
        before = counted_on.get((vehicle, task))
        value = float(cost) if rate > 0 else float(hours)
        # Never nothing: of two days that cost the same the one nearer the due day is taken.
        early = max(1, round(VISIT * value / interval / worth)) if interval else 1
        gap = due.toordinal() - jobs[before[0]].due if before and before[1] else None
        counted_on[vehicle, task] = len(jobs), counts_on
        jobs.append(
            Job(
                vehicle, earliest.toordinal(), due.toordinal(), round(float(hours) * 100), early,
                WORTH_OF_A_DAY_LATE[weight], before[0] if before else None, gap,
            )
        )  # fmt: skip
    return jobs


def _workshop(db: duckdb.DuckDBPyConnection, depot: dict[str, str]) -> Workshop:
    """The days of each vehicle, the hours of each depot and week, and the pairs, as far as any work can be put."""
    as_of, until, is_open, visit_hours = db.execute(
        "select as_of, greatest(visits_until, dated_until), open_weekdays, hours_per_visit from run"
    ).fetchall()[0]
    first, last = as_of.toordinal(), until.toordinal() + LATEST
    weekdays = [at for at, name in enumerate(WEEKDAYS) if name in is_open]
    open_days = [day for day in range(first, last + 1) if (day - 1) % DAYS_A_WEEK in weekdays]
    return Workshop(
        first_day=first,
        days=_days_of_vehicles(db, depot, open_days),
        depot=depot,
        week_of=lambda day: (day - 1) // DAYS_A_WEEK,
        hours=_hours_of_weeks(db, set(depot.values()), open_days, len(weekdays)),
        hours_per_visit=round(float(visit_hours) * 100),
        apart=frozenset(
            frozenset(pair)
            for pair in db.execute("select vehicle_id, not_with from pairs").fetchall()
            if set(pair) <= set(depot)
        ),
    )


def _days_of_vehicles(
    db: duckdb.DuckDBPyConnection, depot: dict[str, str], open_days: Sequence[int]
) -> dict[str, Sequence[int]]:
    """The open days of each vehicle: all, or those that `availability` names for it."""
    named: dict[str, set[int]] = defaultdict(set)
    for vehicle, day, weekday in db.execute("select vehicle_id, available_on, weekday from availability").fetchall():
        named[vehicle] |= (
            {day.toordinal()} if day else {d for d in open_days if (d - 1) % DAYS_A_WEEK == WEEKDAYS.index(weekday)}
        )
    return {v: [day for day in open_days if day in named[v]] if v in named else open_days for v in depot}


def _hours_of_weeks(
    db: duckdb.DuckDBPyConnection, depots: set[str], open_days: Sequence[int], days_a_week: int
) -> dict[tuple[str, int], int]:
    """Hundredths of hours of each depot that has a limit, by week; of a week begun, those of its open days left."""
    left: dict[int, int] = defaultdict(int)
    for day in open_days:
        left[(day - 1) // DAYS_A_WEEK] += 1
    given = db.execute("select depot, hours_per_week from depot_hours").fetchall()
    return {
        (depot, week): int(hours * 100) * days // days_a_week
        for depot, hours in given if depot in depots for week, days in left.items()
    }  # fmt: skip


VISIT_DAYS = Step(
    "visit_days", ("visit_jobs", "availability", "pairs", "depot_hours", "run"), _plan_visits, beside=("visit_plans",)
)
