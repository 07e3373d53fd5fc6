"""When each task was done: the workshops' three years, played through vehicle by vehicle.

A visit is booked for the soonest due task, some days early or late; what falls due soon after is done with
it. Due points follow the three bases (last_done, fixed, anchored), covers chains, follow-ups and days of the
year. Nothing here knows how a workshop writes its lines.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import NamedTuple

from generator.calendar_rules import add_months, workday, year_day_after
from generator.plan import TASKS, Cells
from generator.stock import rows_of
from generator.stories import FOLLOW_UPS, HOLDS, RECORDS_FROM, VISITS, WEEK_ENDS
from generator.usage import KM_PER_MILE, LAST_DAY, Truth, chance_of
from generator.vehicles import CERTIFICATES, UNRECORDED, VEHICLE_TASK_COLUMNS, VEHICLE_TASKS

END = WEEK_ENDS[-1]
METERS = {"distance": "odometer", "hours": "hours"}


class Done(NamedTuple):
    """A task done on a day; `covered` are the tasks it stands for as well."""

    vehicle_id: str
    on: date
    task: str
    row: Cells
    covered: tuple[str, ...]
    opening: bool


@dataclass
class Job:
    """One task in force for one vehicle, with its due points: trigger -> (point, counted from)."""

    row: Cells
    truth: Truth
    every: dict[str, float] = field(default_factory=dict)
    first: dict[str, float] = field(default_factory=dict)
    points: dict[str, tuple[float, float]] = field(default_factory=dict)
    last: date | None = None

    def __post_init__(self) -> None:
        severe = self.truth.row["duty"] == "severe"
        scale = KM_PER_MILE if self.row["distance_unit"] == "mi" else 1.0
        for trigger, factor in (("distance", scale), ("months", 1.0), ("hours", 1.0)):
            every = (self.row.get(f"severe_{trigger}") if severe else None) or self.row.get(f"every_{trigger}")
            if every:
                self.every[trigger] = float(every) * factor
            if self.row.get(f"first_{trigger}"):
                self.first[trigger] = float(self.row[f"first_{trigger}"]) * factor
        for trigger in {*self.every, *self.first} if not self.row["after"] else ():
            step = self.first.get(trigger) or self._fixed_step(trigger) or self.every[trigger]
            self.points[trigger] = self._ahead(trigger, self.truth.start, step)

    def _fixed_step(self, trigger: str) -> float | None:
        """Way from in service to the first step beyond it, for basis `fixed` on a meter."""
        if self.row["basis"] != "fixed" or trigger not in METERS or trigger not in self.every:
            return None
        start = self._at(trigger, self.truth.start - timedelta(1))
        return (start // self.every[trigger] + 1) * self.every[trigger] - start

    def _at(self, trigger: str, day: date) -> float:
        """Where the vehicle stood on a day: km, hours or the day's number."""
        if trigger == "months":
            return float(day.toordinal())
        return self.truth.at_noon(METERS[trigger], day)

    def _ahead(self, trigger: str, day: date, step: float) -> tuple[float, float]:
        """The point one step after a day, and where it was counted from."""
        start = self._at(trigger, day)
        if trigger == "months":
            return float(add_months(day, int(step)).toordinal()), start
        return start + step, start

    def done(self, day: date) -> None:
        """Move every due point on, by the task's basis."""
        known, self.last = self.points, day
        self.points = {}
        for trigger, every in self.every.items():
            if self.row["basis"] == "fixed":
                self.points[trigger] = self._next_step(trigger, day, every)
            elif self.row["basis"] == "anchored" and trigger in known:
                self.points[trigger] = self._next_anchor(trigger, day, every, *known[trigger])
            else:
                self.points[trigger] = self._ahead(trigger, day, every)

    def _next_step(self, trigger: str, day: date, every: float) -> tuple[float, float]:
        """The step after the nearest one; a tie counts for the later."""
        if trigger != "months":
            k = max(int(self._at(trigger, day) / every + 0.5), 1)
            return (k + 1) * every, k * every
        steps = [add_months(self.truth.start, int(every) * k).toordinal() for k in range(1, 40)]
        near = min(range(39), key=lambda k: (abs(steps[k] - day.toordinal()), -k))
        return float(steps[near + 1]), float(steps[near])

    def _next_anchor(self, trigger: str, day: date, every: float, due: float, since: float) -> tuple[float, float]:
        """Within the tolerance the service counts where it was due, else where it was done."""
        share = float(self.row["late_tolerance_pct"] or 10) / 100
        at = self._at(trigger, day)
        anchor = due if abs(at - due) <= share * (due - since) else at
        if trigger == "months":
            return float(add_months(date.fromordinal(int(anchor)), int(every)).toordinal()), anchor
        return anchor + every, anchor

    def due_on(self, today: date) -> date:
        """The day on which the soonest trigger is reached; LAST_DAY for none."""
        days = [LAST_DAY]
        for trigger, (point, _) in self.points.items():
            if trigger == "months":
                days.append(date.fromordinal(int(point)))
            else:
                days.append(self.truth.day_of(METERS[trigger], point))
        if self.row["every_year_on"]:
            days.append(year_day_after(self.last, self.row["every_year_on"], self.truth.start, today))
        return min(days)

    def cycle_days(self) -> int:
        """Rough days from one service to the next, by the use of the last year before records began."""
        days = [3650.0, 365.0] if self.row["every_year_on"] else [3650.0]
        days += [30.4 * self.every["months"]] if "months" in self.every else []
        for trigger, meter in METERS.items():
            a_day = max(self.truth.at_noon(meter, END) - self.truth.at_noon(meter, RECORDS_FROM), 1.0) / 1094
            days += [self.every[trigger] / a_day] if trigger in self.every else []
        return int(min(days))


def tasks_in_force(truth: Truth) -> dict[str, Cells]:
    """The class's tasks, those of `*` the class has not, then the vehicle's own exceptions."""
    # What an expiry date alone asks for is no visit of the workshop's; the test station writes its own lines.
    regular = [row for row in TASKS if row["task"] == "roadworthiness" or row["task"] not in CERTIFICATES]
    rows = {row["task"]: row for row in regular if row["class"] == "*"}
    rows |= {row["task"]: row for row in regular if row["class"] == truth.row["class"]}
    for own in rows_of(VEHICLE_TASKS, VEHICLE_TASK_COLUMNS):
        if own["vehicle_id"] == truth.id:
            blank: Cells = dict.fromkeys(TASKS[0])
            filled = {name: value for name, value in own.items() if value and name not in ("vehicle_id", "reason")}
            rows[own["task"]] = {**rows.get(own["task"], blank), **filled}
    return rows


def covered_by(task: str, rows: dict[str, Cells]) -> tuple[str, ...]:
    """All that a task covers, chains followed."""
    found: tuple[str, ...] = ()
    for name in (rows[task]["covers"] or "").split():
        found += (name, *covered_by(name, rows))
    return found


class Workshop:
    """One vehicle's visits, from the opening of the records to the end."""

    def __init__(self, truth: Truth) -> None:
        self.truth = truth
        self.rng = chance_of(truth.id, "visits")
        self.rows = tasks_in_force(truth)
        self.jobs = {task: Job(row, truth) for task, row in self.rows.items()}
        self.pending: dict[str, tuple[date, date | None]] = {}
        self.wait: dict[str, date] = {}

    def play(self) -> Iterator[Done]:
        """Every task done, in order of visits."""
        retired = self.truth.row["retired_on"]
        end = min(END, date.fromisoformat(retired) - timedelta(8)) if retired else END
        today = max(RECORDS_FROM, self.truth.start)
        if self.truth.start < RECORDS_FROM:
            yield from self._open_the_books()
        forced = sorted((date.fromisoformat(on), tasks) for v, on, tasks in VISITS if v == self.truth.id)
        while True:
            soonest = min(max(job.due_on(today), self.wait.get(task, today)) for task, job in self._regular())
            visit = self._booked(max(soonest + timedelta(self._lateness()), today + timedelta(3)))
            tasks = None
            if forced and forced[0][0] <= visit:
                visit, tasks = forced.pop(0)
            yield from self._follow_ups(min(visit, end), visit > end)
            if visit > end:
                return
            yield from self._do(visit, tasks or self._worth_doing(visit))
            today = visit

    def _regular(self) -> list[tuple[str, Job]]:
        return [(task, job) for task, job in self.jobs.items() if not job.row["after"]]

    def _open_the_books(self) -> Iterator[Done]:
        """What the old card index knew: most tasks' last time before the records began."""
        for task, job in self._regular():
            back = RECORDS_FROM - timedelta(2 + int(self.rng.uniform(0.0, 0.97) * job.cycle_days()))
            back = workday(back)
            if back > self.truth.start + timedelta(20) and (job.every or job.row["every_year_on"]):
                known = self.rng.random() < (0.4 if job.cycle_days() > 900 else 0.93)
                yield from self._mark(task, workday(back), opening=True) if known else ()
                if not known:
                    job.done(back)

    def _lateness(self) -> int:
        """Days after the due day: mostly a few either way, now and then forgotten."""
        if self.rng.random() < 0.05:
            return self.rng.randint(18, 60)
        return round(self.rng.gauss(-1.0, 5.0))

    def _booked(self, day: date) -> date:
        """A working day, outside the time in which the vehicle could not come in."""
        for vehicle, since, until in HOLDS:
            if vehicle == self.truth.id and date.fromisoformat(since) <= day < date.fromisoformat(until):
                day = date.fromisoformat(until)
        return workday(day)

    def _worth_doing(self, visit: date) -> list[str]:
        """What is due or falls due soon after; a larger service replaces those it covers."""
        chosen = []
        for task, job in self._regular():
            window = timedelta(min(32, max(job.cycle_days() // 6, 6)))
            if max(job.due_on(visit), self.wait.get(task, visit)) <= visit + window:
                if self.rng.random() < 0.035:
                    self.wait[task] = visit + timedelta(self.rng.randint(10, 45))
                else:
                    chosen.append(task)
        covered = {c for task in chosen for c in covered_by(task, self.rows)}
        return [task for task in chosen if task not in covered]

    def _do(self, visit: date, tasks: list[str] | tuple[str, ...]) -> Iterator[Done]:
        for task in tasks:
            yield from self._mark(task, visit)
        for task, job in self.jobs.items():
            if job.row["after"] in tasks:
                self._expect(task, job, visit)

    def _mark(self, task: str, on: date, opening: bool = False) -> Iterator[Done]:
        """Note a task as done, and move on the points of all it covers."""
        covered = tuple(c for c in covered_by(task, self.rows) if c in self.jobs)
        for name in (task, *covered):
            last = self.jobs[name].last
            if last is None or last <= on:
                self.jobs[name].done(on)
        self.wait.pop(task, None)
        yield Done(self.truth.id, on, task, self.rows[task], covered, opening)

    def _expect(self, task: str, job: Job, visit: date) -> None:
        """A follow-up: when it is due, and when somebody means to do it (None: nobody thought of it)."""
        days = [LAST_DAY]
        for trigger, way in job.first.items():
            point, _ = job._ahead(trigger, visit, way)
            days.append(
                date.fromordinal(int(point)) if trigger == "months" else self.truth.day_of(METERS[trigger], point)
            )
        due = max(min(days), visit + timedelta(1))
        planned = due + timedelta(self.rng.randint(0, 2)) if self.rng.random() < 0.94 else None
        story = FOLLOW_UPS.get((self.truth.id, task, visit.isoformat()), "")
        if story != "":
            planned = date.fromisoformat(story) if story else None
        self.pending[task] = (due, planned)

    def _follow_ups(self, until: date, last: bool) -> Iterator[Done]:
        """Follow-ups done on their own day, or at the next visit when they were forgotten."""
        for task, (_, planned) in sorted(self.pending.items()):
            on = planned or (LAST_DAY if last or self.rng.random() < 0.2 else until)
            if on <= until:
                del self.pending[task]
                yield from self._mark(task, on)


def all_done(truths: dict[str, Truth]) -> list[Done]:
    """Every task done on every vehicle that anybody wrote down, by day, vehicle and task."""
    lost = {(vehicle, task) for vehicle, tasks in UNRECORDED for task in tasks}
    done = [item for truth in truths.values() for item in Workshop(truth).play()]
    done = [item for item in done if (item.vehicle_id, item.task) not in lost]
    return sorted(done, key=lambda d: (d.on, d.vehicle_id, d.task))
