"""The bands of the forecast: the planned and unplanned money of a run, played out together, as a step for
`query.run_all`.

`forecast_bands` has, for each cell of the forecast and for the sums that people ask for (a month, a cost centre, a
financial year, all of it), the value that one draw in ten stays below (p10) and one in ten passes (p90). NULL in a
column means all of it. The quantile is that of linear interpolation (Hyndman & Fan 1996, number 7). See `simulate.py`
for what is drawn.
"""

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

import duckdb
import numpy as np
from numpy.typing import NDArray

from fleetreport.money.repair_steps import KINDS
from fleetreport.money.season import Season, season_of
from fleetreport.money.simulate import ChanceParts, Repairs, Use, Work, draws_for, simulate
from fleetreport.query import Step, fill_table

FEWEST_PRICED = 20  # pieces of planned work with money, before the plan's cost is held against them
BILLS = 500  # that stand for the scatter of all
FEWEST_DELAYS = 20  # past services, before anything is said of how punctual the workshop is
FEWEST_SEASONAL = 5  # vehicles read for a year, before their months tell a season
FEWEST_COSTS = 5  # repairs, before a class's own are drawn from
FURTHER = 0.35  # of the months ahead: how far beyond them work is followed that may come early
MOST_FURTHER = 10

Floats = NDArray[np.float64]
Row = tuple[Any, ...]


class Frame(NamedTuple):
    """What the figures are laid out by.

    Vehicles by id, each with its number; lines, each a cost centre and a category; months, each its name, its financial
    year and its last day, counted from the first day of the forecast.
    """

    vehicles: dict[str, int]
    lines: list[tuple[str, str]]
    months: list[tuple[str, str, int]]


def _read_frame(db: duckdb.DuckDBPyConnection) -> Frame:
    vehicles = db.execute("select vehicle_id from observed_use order by vehicle_id").fetchall()
    lines = db.execute("select distinct cost_centre, category from forecast_cells order by all").fetchall()
    months = db.execute(
        "select month, financial_year, (until_on - as_of)::integer from forecast_months, run order by month_no"
    ).fetchall()
    return Frame({vehicle: at for at, (vehicle,) in enumerate(vehicles)}, lines, months)


def _read_use(db: duckdb.DuckDBPyConnection, frame: Frame) -> Use:
    rows = db.execute(
        """select coalesce(least(1, b.low_364::double / nullif(364 * o.use_a_day, 0)), 1),
            coalesce(greatest(1, b.high_364::double / nullif(364 * o.use_a_day, 0)), 1), o.measure <> 'days'
        from observed_use o
        left join distance_band b on b.vehicle_id = o.vehicle_id and b.meter = o.measure
        order by o.vehicle_id"""
    ).fetchall()
    shares = np.array(rows, float).reshape(-1, 3)
    return Use(shares[:, 0], shares[:, 1], _read_season(db, frame), shares[:, 2] > 0)


def _read_season(db: duckdb.DuckDBPyConnection, frame: Frame) -> Season | None:
    """The season of the months ahead, from the last three years (else two, one) of the vehicles read in all of them."""
    rows = db.execute(
        """with known as (
            select o.vehicle_id, o.measure, r.first_on
            from observed_use o
            join daily_rate r on r.vehicle_id = o.vehicle_id and r.meter = o.measure
            where o.is_measured and o.use_a_day > 0
        )
        select dense_rank() over (order by u.vehicle_id) - 1 as vehicle,
            datediff('month', u.on_day, date_trunc('month', as_of))::integer as back, u.value::double as value,
            day(last_day(u.on_day)) as days
        from use_on_days u
        join known k on k.vehicle_id = u.vehicle_id and k.measure = u.meter, run
        where day(u.on_day) = 1 and u.on_day >= k.first_on and back between 0 and 36"""
    ).fetchnumpy()
    # What each vehicle stood at so many months back, and the days of the month that began then.
    stood = np.full((rows["vehicle"].max(initial=-1) + 1, 37), np.nan)
    stood[rows["vehicle"], rows["back"]] = rows["value"]
    days = np.ones(37)
    days[rows["back"]] = rows["days"]
    for years in (3, 2, 1):
        backs = np.arange(12 * years, 0, -1)
        whole = stood[~np.isnan(stood[:, : 12 * years + 1]).any(axis=1)]
        if len(whole) < FEWEST_SEASONAL:
            continue
        ran = np.ascontiguousarray((whole[:, backs - 1] - whole[:, backs]) / days[backs])
        means = ran.mean(axis=1, keepdims=True)
        season = season_of((ran[means[:, 0] > 0] / means[means[:, 0] > 0]).mean(axis=0).reshape(years, 12))
        # The first column is the month of the as-of date, years before.
        return Season(season.level[np.arange(len(frame.months)) % 12], season.noise)
    return None


def _read_work(db: duckdb.DuckDBPyConnection, frame: Frame) -> tuple[Work, ChanceParts]:
    """The planned work with what would come soon after the last month, and the items needed by chance."""
    rows = db.execute(
        """with vehicles as (
            select vehicle_id, row_number() over (order by vehicle_id) - 1 as vehicle from observed_use
        ),
        lines as (
            select cost_centre, category, row_number() over (order by cost_centre, category) - 1 as line
            from (select distinct cost_centre, category from forecast_cells)
        )
        select vehicle, (c.on_day - r.as_of)::bigint as day, coalesce(l.line, -1) as line,
            c.amount_sure::double as sure, c.amount::double as amount, coalesce(c.moves_with_use, false) as moves,
            coalesce(c.gap_days, 0) as gap,
            lead(c.occurrence_no) over (partition by c.vehicle_id, c.task order by c.occurrence_no) is null as is_last
        from planned_costs c
        join vehicles using (vehicle_id)
        left join lines l on l.cost_centre = c.cost_centre and l.category = c.category, run r
        order by c.vehicle_id, c.task, c.occurrence_no"""
    ).fetchnumpy()
    parts = db.execute(
        """with placed as (
            select vehicle_id, task, occurrence_no,
                row_number() over (order by vehicle_id, task, occurrence_no) - 1 as row_no
            from planned_costs
        )
        select row_no, chance::double as chance, (amount / chance)::double as cost
        from planned_parts
        join placed using (vehicle_id, task, occurrence_no)
        where chance < 1 and chance > 0 and amount is not null
        order by row_no, part"""
    ).fetchnumpy()
    last, beyond = _days_beyond(rows, frame.months[-1][2])
    # What would come soon after stands after the last of its vehicle and task.
    at = np.concatenate([np.arange(len(rows["day"])), last])
    order = np.argsort(at, kind="stable")
    line = rows["line"][at][order]
    kept = order[line >= 0]
    work = Work(
        rows["vehicle"][at][kept], np.concatenate([rows["day"], beyond])[kept], rows["line"][at][kept],
        np.concatenate([rows["sure"], rows["amount"][last]])[kept], rows["moves"][at][kept],
    )  # fmt: skip
    place = np.full(len(at), -1)
    place[kept] = np.arange(len(kept))
    whose = place[parts["row_no"]]
    return work, ChanceParts(whose[whose >= 0], parts["chance"][whose >= 0], parts["cost"][whose >= 0])


def _paid_share(db: duckdb.DuckDBPyConnection) -> float:
    """What planned work was paid at, as a share of what the plan says it costs; 1 where too little is priced."""
    row = db.execute(
        """select count(*), count(*) filter (paid > 0), sum(paid)::double, sum(planned)::double
        from plan_against_paid"""
    ).fetchall()[0]
    done, priced, paid, planned = row
    return float(paid / planned) if priced >= FEWEST_PRICED and 2 * priced >= done and planned else 1.0


def _read_bills(db: duckdb.DuckDBPyConnection) -> Floats:
    """How single bills of planned work depart from the plan's cost, mean 1: equal steps through the money planned.

    A large job stands for as many as it is worth, so that the scatter of small bills is not laid on large ones.
    """
    rows = db.execute(
        """select paid::double / planned::double, planned::double from plan_against_paid
        where paid > 0 and planned > 0 order by paid::double / planned::double, planned"""
    ).fetchall()
    if len(rows) < FEWEST_PRICED:
        return np.zeros(0)
    share, worth = np.array(rows, float).T
    reached = np.cumsum(worth)
    drawn = share[np.searchsorted(reached, (np.arange(BILLS) + 0.5) / BILLS * reached[-1])]
    found: Floats = drawn / drawn.mean()
    return found


def _days_beyond(rows: dict[str, NDArray[Any]], end: int) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Of the work that would follow soon after the last month: the row that it follows, and its day from the first."""
    last = np.flatnonzero(rows["is_last"] & (rows["gap"] > 0))
    gaps = rows["gap"][last][:, None] * np.arange(1, MOST_FURTHER + 1)
    days = np.rint(rows["day"][last][:, None] + gaps)
    soon = (end < days) & (days <= end * (1 + FURTHER))
    which, _ = np.nonzero(soon)
    return last[which], days[soon].astype(np.int64)


def _read_repairs(db: duckdb.DuckDBPyConnection, frame: Frame, kind: str) -> Repairs:
    """Unplanned work of one kind, a row for each vehicle of the frame."""
    rows = db.execute(
        "select vehicle_id, class, class_shape, prior + repairs, cost_each from repair_rates where kind = ? "
        "order by vehicle_id",
        [kind],
    ).fetchall()
    classes = sorted({row[1] for row in rows})
    costs: dict[str, list[float]] = {name: [] for name in classes}
    for name, cost in db.execute(
        "select class, cost_now::double from repair_events where kind = ? order by all", [kind]
    ).fetchall():
        costs[name].append(cost)
    everywhere = [cost for some in costs.values() for cost in some]
    drawn = [np.array(costs[name] if len(costs[name]) >= FEWEST_COSTS else everywhere, float) for name in classes]
    means = np.array([some.mean() if len(some) else 1.0 for some in drawn])
    group = np.array([classes.index(row[1]) for row in rows], np.int64)
    expected = np.zeros((len(rows), len(frame.months)))
    line = np.zeros(len(rows), np.int64)
    places = {name: at for at, name in enumerate(frame.lines)}
    for vehicle, month, centre, category, number in db.execute(
        "select vehicle_id, month_no, cost_centre, category, repairs from unscheduled_costs where kind = ?", [kind]
    ).fetchall():
        if (centre, category) in places:
            expected[frame.vehicles[vehicle], month] = max(0.0, number)
            line[frame.vehicles[vehicle]] = places[centre, category]
    growth = db.execute(
        """select factor::double from forecast_months join price_factors on on_day = middle_on and kind = '*'
        order by month_no"""
    ).fetchall()
    columns = np.array([row[2:] for row in rows], float).reshape(-1, 3)
    scale = columns[:, 2] / means[group] if len(rows) else np.zeros(0)
    return Repairs(group, line, columns[:, 0], np.maximum(columns[:, 1], 1e-9), expected, scale,
                   np.array(growth, float)[:, 0], drawn)  # fmt: skip


def _read_delays(db: duckdb.DuckDBPyConnection) -> Floats:
    """Days off the due day, less their median: what is usual moves all work alike, so it is not counted."""
    delays = np.array(db.execute("select days_off::double from service_delays order by 1").fetchall(), float).ravel()
    return delays - np.median(delays) if len(delays) >= FEWEST_DELAYS else np.zeros(0)


def band_rows(frame: Frame, money: Floats) -> list[Row]:
    """Rows (level, financial_year, month, cost_centre, category, mean, p10, p90) from money (lines, months, draws)."""
    years = [year for _, year, _ in frame.months]
    centres = [centre for centre, _ in frame.lines]
    by_centre, centre_names = _summed(money, centres, 0)
    by_category, category_names = _summed(money, [category for _, category in frame.lines], 0)
    rows: list[Row] = []

    def tell(level: str, of: Callable[[int, int], Row], array: Floats) -> None:
        low, high = np.quantile(array, [0.1, 0.9], axis=2)
        for i, j in np.ndindex(*array.shape[:2]):
            rows.append((level, *of(i, j), float(array[i, j].mean()), float(low[i, j]), float(high[i, j])))

    month = [name for name, _, _ in frame.months]
    whole = money.sum(axis=0, keepdims=True)
    tell("cell", lambda i, j: (years[j], month[j], *frame.lines[i]), money)
    tell("cost centre and month", lambda i, j: (years[j], month[j], centre_names[i], None), by_centre)
    tell("month", lambda i, j: (years[j], month[j], None, None), whole)
    of_years, names = _summed(by_centre, years, 1)
    tell("cost centre and year", lambda i, j: (names[j], None, centre_names[i], None), of_years)
    tell("category and year", lambda i, j: (names[j], None, None, category_names[i]), _summed(by_category, years, 1)[0])
    tell("year", lambda i, j: (names[j], None, None, None), _summed(whole, years, 1)[0])
    tell("cost centre", lambda i, j: (None, None, centre_names[i], None), by_centre.sum(axis=1, keepdims=True))
    tell("category", lambda i, j: (None, None, None, category_names[i]), by_category.sum(axis=1, keepdims=True))
    tell("all", lambda i, j: (None, None, None, None), whole.sum(axis=1, keepdims=True))
    return rows


def _summed(array: Floats, names: Sequence[str], axis: int) -> tuple[Floats, list[str]]:
    """Sums along an axis over places of one name, and the names in order."""
    known = sorted(set(names))
    places = [[at for at, name in enumerate(names) if name == one] for one in known]
    return np.stack([np.take(array, of_one, axis=axis).sum(axis=axis) for of_one in places], axis=axis), known


BANDS_SHAPE = {
    "level": "VARCHAR", "financial_year": "VARCHAR", "month": "VARCHAR", "cost_centre": "VARCHAR",
    "category": "VARCHAR", "mean": "DOUBLE", "p10": "DOUBLE", "p90": "DOUBLE",
}  # fmt: skip


def _forecast_bands(db: duckdb.DuckDBPyConnection) -> None:
    """Make the table `forecast_bands`."""
    frame = _read_frame(db)
    rows: list[Row] = []
    if frame.lines:
        work, parts = _read_work(db, frame)
        share = _paid_share(db)
        # Whether work to come is paid as planned or as billed so far is not known: one standard deviation either way.
        level = ((1 + share) / 2, abs(share - 1) / 2)
        ends = np.array([last for _, _, last in frame.months], np.int64)
        use, delays = _read_use(db, frame), _read_delays(db)
        repairs = [_read_repairs(db, frame, kind) for kind in KINDS]
        money = simulate(use, work, parts, repairs, delays, ends, len(frame.lines), draws_for(len(work.day)),
                         level=level, bills=_read_bills(db))  # fmt: skip
        rows = band_rows(frame, money)
    fill_table(db, "forecast_bands", BANDS_SHAPE, rows)


FORECAST_BANDS = Step(
    "forecast_bands",
    ("observed_use", "distance_band", "daily_rate", "use_on_days", "forecast_cells", "forecast_months",
     "planned_costs", "planned_parts",
     "repair_rates", "repair_events", "unscheduled_costs", "price_factors", "service_delays", "plan_against_paid",
     "run"),
    _forecast_bands,
)  # fmt: skip
