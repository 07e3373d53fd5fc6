"""How each figure of a vehicle came about, in lines of text that name file and line.

`vehicle_lines` tells of the vehicle, its meters, its refused readings and, in short, all its tasks; `task_lines`
tells one task in full: the rows of the plan in force, the lines of the history it was last done by, each due point
with its sum written out, and which of them governs. All figures are cells of the tables that queries/why made from
those of the run.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import groupby
from typing import Any

import duckdb

from fleetreport.checking.check_report import Line
from fleetreport.report.sentences import number
from fleetreport.why.sums import addition, carried, counted_days, days_of, fewest_places, length, rounded, what_is_left

Row = dict[str, Any]
ORDER_OF_STATUS = ("overdue", "due", "unknown", "upcoming", "later")
METERS = {"odometer": "Odometer", "hours": "Hour meter"}
COUNTED_FROM = {
    "last done": "last done", "in service": "in service", "planned point": "where it was planned; done close to it",
    "step": "step before", "work before": "the work it follows",
}  # fmt: skip
WHY_UNKNOWN = {
    "no record": "cannot be worked out: no record of it, and the records begin after the vehicle came into service",
    "no reading": "cannot be worked out: the meter has no believed reading",
    "no rate": "cannot be dated: the meter was read on one day only, so its rate is not known",
}
BY = {"distance": "By distance", "hours": "By hours", "time": "By time", "date": "By date"}


def rows_of(db: duckdb.DuckDBPyConnection, table: str, vehicle: str, task: str | None = None) -> list[Row]:
    """The rows of a table for a vehicle (and a task), ordered by all columns, so never by chance."""
    also = " and task = ?" if task is not None else ""
    cursor = db.execute(
        f'select * from "{table}" where vehicle_id = ?{also} order by all', [vehicle] + [task] * (task is not None)
    )
    names = [column[0] for column in cursor.description or ()]
    return [dict(zip(names, row, strict=True)) for row in cursor.fetchall()]


def vehicle_lines(db: duckdb.DuckDBPyConnection, vehicle: str) -> Iterator[Line]:
    """The vehicle's own row, and where each of its meters stands and why."""
    (row,) = rows_of(db, "vehicles", vehicle)
    title = f": {row['title']}" if row["title"] else ""
    yield Line("head", f"{vehicle}{title}")
    said = [f"class {row['class']}", f"{row['duty']} duty", f"in service since {row['in_service_on']}"]
    said.insert(1, f"depot {row['depot']}" if row["depot"] else "no depot")
    if row["retired_on"]:
        said.append(f"retired on {row['retired_on']}")
    yield Line("finding", f"  {', '.join(said)} ({_place(row)})")
    for meter in rows_of(db, "why_meters", vehicle):
        # Every vehicle has both meters in its row; one that was never read nor counted on says nothing.
        if meter["rate"] is not None or meter["believed"] > 1 or meter["refused"]:
            yield Line("blank", "")
            yield from _meter_lines(db, vehicle, meter)
    yield from _refused_lines(db, vehicle)


def _meter_lines(db: duckdb.DuckDBPyConnection, vehicle: str, m: Row) -> Iterator[Line]:
    unit = m["unit"]
    yield Line("head", f"{METERS[m['meter']]} now: {_figure(m['now'], unit)}")
    since_new = (
        "" if m["written"] == f"{_bare(m['last_value'])} {unit}" else f"; since new {_figure(m['last_value'], unit)}"
    )
    yield Line("finding", f"  last believed reading: {m['written']}{since_new} on {m['last_on']} ({_place(m)})")
    if m["rate"] is None:
        yield Line("finding", "  read on one day only, so nothing is known of its use")
    else:
        yield Line("finding", f"  {carried(m['last_value'], m['days'], m['rate'], m['now'], unit)}")
        yield from _rate_lines(db, vehicle, m)
    if m["shown_now"] != m["now"]:
        yield Line("finding", f"  the meter was changed: its dial shows {_figure(m['shown_now'], unit)}")
    refused = f", {number(m['refused'])} refused" if m["refused"] else ""
    yield Line("finding", f"  {number(m['believed'])} readings believed since {m['first_on']}{refused}")


def _rate_lines(db: duckdb.DuckDBPyConnection, vehicle: str, m: Row) -> Iterator[Line]:
    unit = m["unit"]
    yield Line("finding", f"  the rate of {_rate(m['rate'])} {unit} a day is mixed from")
    views = [row for row in rows_of(db, "why_rate", vehicle) if row["meter"] == m["meter"]]
    for view in sorted(views, key=lambda row: row["days"] or 9_999):
        share = f"{view['weight'] * 100:.1f} %"
        if view["days"]:
            span, hangs = f"since {view['from_on']}", f" ({view['written']} at {_place(view)})"
        else:
            span, hangs = "what its class does", ""
        yield Line("place", f"      {share:>7} × {view['rate']:.1f} {unit} a day: {span}{hangs}")
    if views and f"{views[0]['factor'] * 100:.1f}" != "100.0":
        yield Line(
            "place", f"      times {views[0]['factor'] * 100:.1f} %: the part of such a mix that usually followed"
        )
    if m["low_28"] is not None:
        few = f"{number(m['low_28'])} to {number(m['high_28'])} {unit} in 28 days"
        many = f"{number(m['low_364'])} to {number(m['high_364'])} {unit} in 364"
        yield Line("finding", f"  four times in five it moves {few}, {many}")


def _refused_lines(db: duckdb.DuckDBPyConnection, vehicle: str) -> Iterator[Line]:
    """The readings of the vehicle that were not believed, with what probably happened."""
    rows = db.execute(
        """select q.file, q.line, q."column", q.value, q.reason, q.diagnosis from quarantine q
        join refused_readings r on r.file = q.file and r.line = q.line and r."column" = q."column"
        where q.scope = 'reading' and r.vehicle_id = ? order by q.file, q.line, q."column" """,
        [vehicle],
    ).fetchall()
    if rows:
        yield Line("blank", "")
        yield Line("head", f"Readings not believed: {len(rows)}")
    for file, line, column, value, reason, diagnosis in rows:
        yield Line("finding", f"  {file}:{line}: {column} {value}: {reason}")
        yield Line("place", f"      {diagnosis}")


def short_task_lines(db: duckdb.DuckDBPyConnection, vehicle: str) -> Iterator[Line]:
    """All tasks of the vehicle, a line each: status, day, and the sum of what governs."""
    states = rows_of(db, "due_state", vehicle)
    points = {(row["task"]): row for row in rows_of(db, "why_points", vehicle) if row["governs"]}
    yield Line("blank", "")
    yield Line(
        "head", f"Tasks: {len(states)}" if states else "No tasks: not in service on that day, or no task applies"
    )
    wide = max((len(row["task"]) for row in states), default=0)
    never = "9999-12-31"
    for row in sorted(states, key=lambda r: (ORDER_OF_STATUS.index(r["status"]), str(r["due_on"] or never), r["task"])):
        point = points.get(row["task"])
        why = point_text(point) if point else WHY_UNKNOWN.get(row["why_unknown"] or "", "nothing is awaited")
        yield Line("finding", f"  {row['status']:<8}  {row['task']:<{wide}}  {row['due_on'] or 'no day'!s:<10}  {why}")


def task_lines(db: duckdb.DuckDBPyConnection, vehicle: str, task: str) -> Iterator[Line]:
    """One task in full."""
    (plan,) = rows_of(db, "why_plan", vehicle, task)
    states = rows_of(db, "due_state", vehicle, task)
    yield Line("blank", "")
    if not states:
        yield Line("head", f"{plan['title']} ({task}): the vehicle is not in service on that day")
        return
    (state,) = states
    due = f", {state['due_on']}" if state["due_on"] else ", no day"
    yield Line("head", f"{plan['title']} ({task}): {state['status']}{due}")
    yield from _plan_lines(plan)
    yield from _last_done_lines(db, vehicle, task)
    points = sorted(rows_of(db, "why_points", vehicle, task), key=lambda row: row["turn"])
    if not points:
        yield Line(
            "finding", "  nothing is awaited: no interval, yearly day, expiry date or work before it asks for it"
        )
    for point in points:
        yield Line("finding", f"  {BY[point['trigger']].lower()}: {point_text(point)}")
    governs = [BY[point["trigger"]][3:] for point in points if point["governs"]]
    if governs and len(points) > 1:
        yield Line("finding", f"  {governs[0]} governs: it comes first")
    if state["late_by_pct"] is not None:
        yield Line(
            "finding", f"  late by {number(state['late_by_pct'], places=1)} % of its interval, the worst of them"
        )


def _plan_lines(plan: Row) -> Iterator[Line]:
    said = []
    if plan["class_file"]:
        said.append(f"{plan['class_file']}:{plan['class_line']} (class {plan['class_named']})")
    if plan["own_file"]:
        reason = f", {plan['own_reason']}" if plan["own_reason"] else ""
        said.append(f"{plan['own_file']}:{plan['own_line']} (this vehicle's own cells{reason})")
    if plan["expiry_file"]:
        said.append(f"{plan['expiry_file']}:{plan['expiry_line']} (expires {plan['expires_on']})")
    duty = "; the intervals of severe duty apply" if plan["severe_applies"] else ""
    yield Line("finding", f"  plan: {', '.join(said)}; basis {plan['basis']}{duty}")


def _last_done_lines(db: duckdb.DuckDBPyConnection, vehicle: str, task: str) -> Iterator[Line]:
    lines = rows_of(db, "why_last_done", vehicle, task)
    if not lines:
        yield Line("finding", "  last done: never, by the history")
        return
    yield Line("finding", f"  last done on {lines[0]['done_on']}:")
    for row, numbers in _together(lines):
        how = f"as {row['path']}" if " covers " in row["path"] else "by its words" if row["rule"] else "by name"
        if row["rule"]:
            where = f", fleet.toml:{row['rule_line']}" if row["rule_line"] else ""
            how += f'; the words "{row["description"]}" fit wording rule {row["rule"]} ({row["rule_said"]}{where})'
        yield Line("place", f"      {row['file']}:{numbers}: {how}")
    for meter in rows_of(db, "why_last_meters", vehicle, task):
        # A meter that a vehicle does not have stands at 0 for ever.
        if meter["value"] or meter["how"] == "written":
            yield Line("place", f"      {METERS[meter['meter']].lower()} then: {_meter_then(meter)}")


def _together(lines: Sequence[Row]) -> Iterator[tuple[Row, str]]:
    """Lines of one file that say the same of the task, with their numbers: `12-14, 20`."""

    def same(row: Row) -> tuple[object, ...]:
        return row["file"], row["path"], row["rule"], row["rule"] and row["description"]

    for _, some in groupby(lines, key=same):
        rows = list(some)
        runs: list[list[int]] = []
        for row in rows:
            if runs and row["line"] == runs[-1][-1] + 1:
                runs[-1].append(row["line"])
            else:
                runs.append([row["line"]])
        yield rows[0], ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs)


def _meter_then(m: Row) -> str:
    unit = m["unit"]
    value = _figure(m["value"], unit)
    before = (
        f"{_figure(m['from_value'], unit)} on {m['from_on']} ({m['from_file']}:{m['from_line']})"
        if m["from_on"]
        else ""
    )
    after = f"{_figure(m['to_value'], unit)} on {m['to_on']} ({m['to_file']}:{m['to_line']})" if m["to_on"] else ""
    return {
        "written": f"{value}, written on it",
        "read": f"{value}, read that day ({m['from_file']}:{m['from_line']})",
        "between": f"{value}, on the straight line from {before} to {after}",
        "carried": f"{value}, carried on at the daily rate from {before}",
        "first": f"{value}, that of the first reading: {after}",
    }[m["how"]]


def point_text(p: Row) -> str:
    """One due point: its sum, what is left of it, and the day."""
    if p["trigger"] == "date":
        kind = "expires" if p["rule"] == "expiry" else "the yearly day"
        return f"{kind} {p['falls_on']}; {_days_off(p)}" if p["falls_on"] else WHY_UNKNOWN[p["why_unknown"]]
    if p["counted_from"] in WHY_UNKNOWN:
        return WHY_UNKNOWN[p["counted_from"]]
    if p["trigger"] == "time":
        months = f"{p['months']} {'month' if p['months'] == 1 else 'months'}"
        steps = f"{p['step']} × {months}" if p["step"] else months
        said = "in service" if p["step"] else COUNTED_FROM[p["counted_from"]]
        return f"{p['counted_on']} ({said}) + {steps} = {p['falls_on']}; {_days_off(p)}"
    unit = p["unit"]
    said = COUNTED_FROM[p["counted_from"]] + (f" on {p['counted_on']}" if p["counted_on"] else "")
    if p["step"]:
        said = f"step {p['step'] - 1}"
    total = addition(p["base"], p["interval_length"], p["due_at"], unit, said)
    if p["left_over"] is None:
        return f"{total}; {WHY_UNKNOWN[p['why_unknown']]}"
    return f"{total}; {what_is_left(p['due_at'], p['now'], p['left_over'], unit)}; {_day_of_meter(p)}"


def _day_of_meter(p: Row) -> str:
    if p["falls_on"] is None:
        return "no day: the meter stands still" if not p["rate"] else "no day within the calendar"
    if not p["rate"]:
        return f"passed by the last reading at the latest → {p['falls_on']}"
    between = (
        f" ({p['early_on']} to {p['late_on'] or 'never'} four times in five)" if p["early_on"] != p["late_on"] else ""
    )
    return f"{days_of(p['left_over'], p['rate'], p['days'], p['unit'])} → {p['falls_on']}{between}"


def _days_off(p: Row) -> str:
    days = p["days"]
    return f"{counted_days(abs(days))} {'past' if days < 0 else 'left'}" if days else "today"


def _place(row: Row) -> str:
    return f"{row['file']}:{row['line']}"


def _figure(amount: Decimal, unit: str) -> str:
    return length(amount, unit, fewest_places(lambda places: True, rounded(amount, 1)))


def _bare(amount: Decimal) -> str:
    return f"{amount:f}".rstrip("0").rstrip(".")


def _rate(amount: Decimal) -> str:
    return number(amount, places=1)
