"""What the findings at services say of an interval: run longer within the maker's limit, shorter, or leave it.

`share_interval` gives a share with its interval estimate, `advice` the step from counts to words and a proposal; the
step `INTERVAL_ADVICE` runs it for each class and each vehicle. A proposal never goes beyond the maker's interval, and
where that is not known there is none to run longer. Counts are of jobs somebody coded; who codes only what is bad, or
only at some jobs, makes them say too much. Nothing here changes a plan, and a proposal is one to take to the maker.
"""

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

import duckdb

from fleetreport.query import Step, fill_table

ADVICE = {
    "scope": "varchar", "name": "varchar", "duty": "varchar", "task": "varchar", "soiled_low": "double",
    "soiled_high": "double", "bad_low": "double", "bad_high": "double", "advice": "varchar",
    "proposed_distance": "decimal(18, 1)", "proposed_hours": "decimal(18, 1)", "proposed_months": "integer",
}  # fmt: skip
CONFIDENCE = 0.95
# Our own codes for what a task found, from the best to the worst.
CONDITIONS = ("clean", "serviceable", "soiled", "contaminated", "failed")
# Longer: fewer than one in five may be soiled or worse. Shorter: more than one in ten are contaminated or failed.
MOST_SOILED, MOST_BAD = 0.20, 0.10
LONGER, SHORTER = Decimal("1.25"), Decimal("0.75")


class Intervals(NamedTuple):
    """An interval by its triggers: distance (in the fleet's unit), hours, months; None: not counted by this."""

    distance: Decimal | None
    hours: Decimal | None
    months: int | None


class Advice(NamedTuple):
    """What to do (`longer`, `shorter`, `keep`, `too few`, `at maker's limit`, `beyond maker's limit`,
    `maker not given`), and the interval
    proposed.
    """

    advice: str
    proposed: Intervals | None


def share_interval(count: int, of: int, confidence: float = CONFIDENCE) -> tuple[float, float]:
    """The two-sided interval of a share by Clopper and Pearson (1934), which covers at least so often as it says.

    Its ends are quantiles of the beta distribution.

    Raises ValueError where `count` does not lie within 0 … `of`, or `of` is 0.
    """
    if not 0 <= count <= of or of < 1:
        raise ValueError(f"found {count} of {of}, expected a count from 0 to a total of at least 1")
    from scipy.special import betaincinv  # slow to import

    tail = (1 - confidence) / 2
    low = betaincinv(count, of - count + 1, tail) if count > 0 else 0.0
    high = betaincinv(count + 1, of - count, 1 - tail) if count < of else 1.0
    return float(low), float(high)


def advice(findings: int, soiled_or_worse: int, bad: int, now: Intervals, maker: Intervals) -> Advice:
    """What so many findings, of them so many soiled or worse and so many contaminated or failed, say of an interval."""
    known = [(n, m) for n, m in zip(now, maker, strict=True) if n is not None and m is not None]
    if any(n > m for n, m in known):
        return Advice("beyond maker's limit", _scaled(now, Decimal(1), maker))
    if share_interval(bad, findings)[0] > MOST_BAD:
        return Advice("shorter", _scaled(now, SHORTER, now))
    if share_interval(soiled_or_worse, findings)[1] >= MOST_SOILED:
        # So few that not even a clean record could tell.
        return Advice("keep" if share_interval(0, findings)[1] < MOST_SOILED else "too few", None)
    if not known:
        return Advice("maker not given", None)
    longer = _scaled(now, LONGER, maker)
    return Advice("longer", longer) if longer != now else Advice("at maker's limit", None)


def _scaled(now: Intervals, by: Decimal, most: Intervals) -> Intervals:
    """Each trigger of an interval times `by`, cut to whole units and to the most allowed; one without a limit as it
    is.
    """

    def scale(value: Decimal | int | None, limit: Decimal | int | None) -> Decimal | None:
        if value is None or limit is None:
            return Decimal(value) if value is not None else None
        return min(Decimal(max(1, int(value * by))), Decimal(limit))

    months = scale(now.months, most.months)
    distance, hours = (scale(*pair) for pair in zip(now[:2], most[:2], strict=True))
    return Intervals(distance, hours, int(months) if months is not None else None)


def _advise(db: duckdb.DuckDBPyConnection) -> None:
    rows = db.execute(
        """select scope, name, duty, task, findings, soiled + contaminated + failed, contaminated + failed,
            every_distance, every_hours, every_months, maker_distance, maker_hours, maker_months
        from finding_counts order by scope, name, duty, task"""
    ).fetchall()
    made = [_advised(row) for row in rows]
    fill_table(db, "interval_advice", ADVICE, made)


def _advised(row: Sequence[object]) -> list[object]:
    """A row of `interval_advice`: the interval estimates of both shares, rounded to a thousandth, and the advice."""
    scope, name, duty, task, findings, soiled, bad, *lengths = row
    count, soiled_count, bad_count = (int(str(n)) for n in (findings, soiled, bad))
    found = advice(count, soiled_count, bad_count, _intervals(lengths[:3]), _intervals(lengths[3:]))
    shares = [*share_interval(soiled_count, count), *share_interval(bad_count, count)]
    return [
        scope, name, duty, task, *(round(share, 3) for share in shares), found.advice,
        *(found.proposed or (None, None, None)),
    ]  # fmt: skip


def _intervals(lengths: Sequence[object]) -> Intervals:
    distance, hours, months = (Decimal(str(length)) if length is not None else None for length in lengths)
    return Intervals(distance, hours, int(months) if months is not None else None)


INTERVAL_ADVICE = Step("interval_advice", ("finding_counts",), _advise)
