"""Unplanned work of a run: rates by vehicle and class, and the mean cumulative repair cost by class, as steps for
`query.run_all`.

`repair_rates` has a row for each vehicle ever in service and kind of unplanned work (repair; other: top-ups and what
the plan does not date): what its class and its own record say of what is to come.
`class_repairs` tells a class's trend. `repair_curve` is the mean cumulative cost over use, to draw.

A class's rate is its repairs over its use, the whole fleet's counting for one repair more, so that a class without a
record is not taken for one without repairs. Repairs above the far fence are cut to it for the mean of a vehicle and the
excess is shared by all repairs of the class. Use counts by its power where the class's trend is clear. See `repairs.py`
for the methods.
"""

from collections.abc import Sequence
from typing import Any, NamedTuple

import duckdb
import numpy as np
from numpy.typing import NDArray

from fleetreport.money.repairs import (
    Ageing,
    ageing,
    chance_of_so_many,
    far_fence,
    mean_costs,
    mean_cumulative,
    relative_prior,
    relative_rates,
)
from fleetreport.query import Step, fill_table

FLEET_COUNTS_FOR = 1.0  # repair, in the rate of a class
CLEAR = 0.05  # a trend with a smaller p is taken into account
FEWEST = 8  # repairs for a trend or a fence of a class's own
POWERS = (0.5, 3.0)
CURVE_POINTS = 40
KINDS = ("repair", "other")

Floats = NDArray[np.float64]


class ClassRecord(NamedTuple):
    """A class and what came unplanned to it.

    A vehicle each: its id, the use from and to which it was watched (km, h or days, as `measure` says), the days of
    that. A repair each: the number of its vehicle, the use it came at, what it cost at today's prices.
    """

    name: str
    measure: str
    vehicles: list[str]
    starts: Floats
    ends: Floats
    days: Floats
    who: NDArray[np.int64]
    use: Floats
    cost: Floats


def read_classes(db: duckdb.DuckDBPyConnection, kind: str = "repair") -> list[ClassRecord]:
    """All classes in the order of their names, from observed_use and repair_events of a kind, at today's prices."""
    lives: dict[str, list[tuple[Any, ...]]] = {}
    for row in db.execute(
        "select class, measure, vehicle_id, use_from, greatest(use_from, use_to), days from observed_use order by 1, 3"
    ).fetchall():
        lives.setdefault(row[0], []).append(row)
    events: dict[str, list[tuple[str, float, float]]] = {}
    for name, vehicle, used, cost in db.execute(
        "select class, vehicle_id, used, cost_now::double from repair_events where kind = ? "
        "order by class, vehicle_id, done_on",
        [kind],
    ).fetchall():
        events.setdefault(name, []).append((vehicle, used, cost))
    return [_record(name, rows, events.get(name, [])) for name, rows in lives.items()]


def _record(name: str, lives: Sequence[tuple[Any, ...]], events: Sequence[tuple[str, float, float]]) -> ClassRecord:
    vehicles = [row[2] for row in lives]
    number = {vehicle: at for at, vehicle in enumerate(vehicles)}
    starts, ends = np.array([row[3] for row in lives], float), np.array([row[4] for row in lives], float)
    who = np.array([number[vehicle] for vehicle, _, _ in events], np.int64)
    use = np.array([used for _, used, _ in events], float)
    # A figure carried forward can pass the end by a rounding.
    use = np.clip(use, starts[who], ends[who]) if len(use) else use
    costs = np.array([cost for _, _, cost in events], float)
    days = np.array([row[5] for row in lives], float)
    return ClassRecord(name, lives[0][1], vehicles, starts, ends, days, who, use, costs)


class ClassRates(NamedTuple):
    """What a class's record says.

    Its trend; how use counts (use^power times use_factor); the repairs (`shape`) and the use (`exposure`) behind its
    rate; what the class counts for beside a vehicle's own record (`prior`, repairs); by vehicle the repairs on record
    and those expected, and what one costs; and from which cost on a repair is rare and large (`fence`).
    """

    trend: Ageing
    power: float
    use_factor: float
    shape: float
    exposure: float
    prior: float
    counts: Floats
    expected: Floats
    cost_each: Floats
    fence: float


def class_rates(record: ClassRecord, fleet_a_day: float, fleet_costs: Floats) -> ClassRates:
    """The rates of one class, with the whole fleet's repairs a vehicle-day and what each of them cost behind it."""
    trend = ageing(record.starts, record.ends, record.who, record.use)
    power = 1.0
    if trend.p < CLEAR and len(record.use) >= FEWEST:
        power = float(np.clip(trend.power, *POWERS))
    plain, bent = record.ends - record.starts, record.ends**power - record.starts**power
    factor = float(plain.sum() / bent.sum()) if bent.sum() > 0 else 1.0
    exposure = bent * factor
    counts = np.bincount(record.who, minlength=len(record.vehicles)).astype(float)
    shape, total = float(counts.sum()), float(exposure.sum())
    days = float(record.days.sum())
    if fleet_a_day > 0 and total > 0 and days > 0:
        shape, total = shape + FLEET_COUNTS_FOR, total + FLEET_COUNTS_FOR / fleet_a_day * total / days
    expected = exposure * (shape / total) if total > 0 else np.zeros(len(exposure))
    prior = relative_prior(counts, expected)
    own = record.cost if len(record.cost) >= FEWEST else fleet_costs
    fence = far_fence(own) if len(own) >= FEWEST else float("inf")
    cut = np.minimum(record.cost, fence)
    share = float(np.sum(record.cost - cut)) / len(cut) if len(cut) else 0.0
    cost_each = mean_costs(record.who, cut, len(record.vehicles)) + share
    if not len(cut) and len(fleet_costs):
        cost_each = np.full(len(record.vehicles), float(fleet_costs.mean()))
    return ClassRates(trend, power, factor, shape, total, prior, counts, expected, cost_each, fence)


def all_class_rates(records: Sequence[ClassRecord]) -> list[ClassRates]:
    """The rates of every class, the fleet behind each."""
    costs = np.concatenate([record.cost for record in records]) if records else np.zeros(0)
    days = sum(float(record.days.sum()) for record in records)
    return [class_rates(record, len(costs) / days if days > 0 else 0.0, costs) for record in records]


RATES_SHAPE = {
    "vehicle_id": "VARCHAR", "kind": "VARCHAR", "class": "VARCHAR", "repairs": "BIGINT", "expected_repairs": "DOUBLE",
    "prior": "DOUBLE", "relative_rate": "DOUBLE", "class_rate": "DOUBLE", "class_shape": "DOUBLE", "power": "DOUBLE",
    "use_factor": "DOUBLE", "cost_each": "DOUBLE", "chance_of_so_many": "DOUBLE",
}  # fmt: skip


def _repair_rates(db: duckdb.DuckDBPyConnection) -> None:
    """Make `repair_rates`: a row for each vehicle of observed_use and kind of unplanned work.

    expected_repairs are the class's over the use watched; relative_rate is the vehicle's rate as a share of the
    class's; class_rate is repairs a unit of use, of which there is power-bent (use^power) times use_factor; cost_each
    is at today's prices.
    """
    rows = [row for kind in KINDS for row in _rate_rows(kind, read_classes(db, kind))]
    fill_table(db, "repair_rates", RATES_SHAPE, rows)


def _rate_rows(kind: str, records: Sequence[ClassRecord]) -> list[list[object]]:
    rows: list[list[object]] = []
    for record, rates in zip(records, all_class_rates(records), strict=True):
        relative = relative_rates(rates.counts, rates.expected, rates.prior)
        rate = rates.shape / rates.exposure if rates.exposure > 0 else 0.0
        for at, vehicle in enumerate(record.vehicles):
            count, expected = int(rates.counts[at]), float(rates.expected[at])
            rows.append(
                [vehicle, kind, record.name, count, expected, rates.prior, float(relative[at]), rate, rates.shape,
                 rates.power, rates.use_factor, float(rates.cost_each[at]), chance_of_so_many(count, expected)]
            )  # fmt: skip
    return rows


CLASS_SHAPE = {
    "class": "VARCHAR", "measure": "VARCHAR", "vehicles": "BIGINT", "use_watched": "DOUBLE", "repairs": "BIGINT",
    "cost_now": "DOUBLE", "trend_score": "DOUBLE", "trend_p": "DOUBLE", "power": "DOUBLE", "fence": "DOUBLE",
    "above_fence": "BIGINT",
}  # fmt: skip
CURVE_SHAPE = {
    "class": "VARCHAR", "measure": "VARCHAR", "used": "DOUBLE", "at_risk": "BIGINT", "mean_cost": "DOUBLE",
    "error": "DOUBLE",
}  # fmt: skip


def _class_repairs(db: duckdb.DuckDBPyConnection) -> None:
    """Make `class_repairs`: a class's record, its trend (power 1: none is counted) and its far fence."""
    records = read_classes(db)
    rows = [
        [r.name, r.measure, len(r.vehicles), float(np.sum(r.ends - r.starts)), len(r.cost), float(r.cost.sum()),
         rates.trend.score, rates.trend.p, rates.power, rates.fence if np.isfinite(rates.fence) else None,
         int(np.sum(r.cost > rates.fence))]
        for r, rates in zip(records, all_class_rates(records), strict=True)
    ]  # fmt: skip
    fill_table(db, "class_repairs", CLASS_SHAPE, rows)


def _repair_curve(db: duckdb.DuckDBPyConnection) -> None:
    """Make `repair_curve`: for each class, the mean cumulative cost a vehicle at some uses, with its standard error."""
    rows = []
    for record in read_classes(db):
        if not len(record.cost):
            continue
        at = np.linspace(float(record.starts.min()), float(record.ends.max()), CURVE_POINTS)
        curve = mean_cumulative(record.starts, record.ends, record.who, record.use, record.cost, at)
        rows += [[record.name, record.measure, *map(float, point)] for point in zip(*curve, strict=True)]
    fill_table(db, "repair_curve", CURVE_SHAPE, rows)


REPAIR_RATES = Step("repair_rates", ("observed_use", "repair_events"), _repair_rates)
CLASS_REPAIRS = Step("class_repairs", ("observed_use", "repair_events"), _class_repairs)
REPAIR_CURVE = Step("repair_curve", ("observed_use", "repair_events"), _repair_curve)
