"""What a slip of the hand can make of a number or a date: every true value that one slip would have turned into this.

`number_slips` undoes slips in the figure: a digit lost, added, wrong or swapped with its neighbour, the decimal point
moved, miles and km mixed up. `time_slips` undoes slips in the date or the clock. Each way back carries how likely its
slip would have given just this figure, so that kinds with many ways to fit anything do not win by number.

Pure; knows nothing of vehicles, neighbours or what fits. Only one slip is undone at a time, and only neighbouring
digits are swapped.
"""

from collections.abc import Iterator
from datetime import datetime, timedelta
from decimal import Decimal
from typing import NamedTuple

# 1 mi = 1.609344 km exactly (NIST SP 811, B.8).
KM_PER_MILE = Decimal("1.609344")
# The band in which a ratio to the expected reading is taken for a mix-up of miles and km.
UNIT_BANDS = ((Decimal("0.60"), Decimal("0.65")), (Decimal("1.55"), Decimal("1.65")))
MOST_MOVED = 2  # places that a decimal point is out by

# How common each kind of slip is beside the others. Weights chosen by hand: common practice, no published source.
WEIGHTS = {
    "digit lost": 1.0, "digit added": 1.0, "digits swapped": 1.0, "wrong digit": 1.0, "point misplaced": 0.5,
    "miles as km": 0.7, "km as miles": 0.7, "another vehicle": 0.3, "date slip": 0.3, "clock slip": 0.2,
    "rollover": 0.5,
}  # fmt: skip


class NumberSlip(NamedTuple):
    """A number that a slip of this kind would have turned into the one written, in the unit as written.

    `chance`: the share of such slips of that number that give just what was written.
    """

    kind: str
    number: Decimal
    chance: float


class TimeSlip(NamedTuple):
    """A time at which the reading may really have been taken; `chance` as for NumberSlip."""

    kind: str
    at: datetime
    chance: float


def number_slips(number: Decimal, unit: str, expected: Decimal, decimals: int) -> list[NumberSlip]:
    """The numbers from which one slip leads to `number`, each kind and number once.

    `unit`: km, mi or h. `expected`: about what the meter showed, in that unit. `decimals`: how many places the
    meter's readings usually have. A number's leading noughts are not known here, so it is also tried with those that
    the expected number has room for.
    """
    if number == 0:  # a nought stands for a blank more often than for a slip
        return []
    places = max(0, -exponent(number))
    # Fewest assumed zeros first: as written, then with the place that the meter's other readings have.
    found: dict[tuple[str, Decimal], float] = {}
    for at in sorted({places, max(places, decimals)}):
        digits = str(int(number.scaleb(at)))
        length = len(str(int(expected.scaleb(at)))) if expected > 0 else 1
        for kind, undone, chance in _digit_slips(digits, length):
            if undone[0] == "0":
                continue  # no dial is written down with a nought in front
            key = kind, Decimal(int(undone)).scaleb(-at)
            found[key] = max(found.get(key, 0), chance)
    if places != decimals and abs(places - decimals) <= MOST_MOVED:
        found["point misplaced", number.scaleb(places - decimals)] = 1 / (2 * MOST_MOVED)
    for kind, undone_number in _unit_slips(number, unit, expected):
        found[kind, undone_number] = 1.0
    return [NumberSlip(kind, value, chance) for (kind, value), chance in found.items() if value != number]


def exponent(number: Decimal) -> int:
    """The power of ten of a number's last digit that is not nought: -1 for 12.50, 2 for 1200, 0 for nought."""
    found = number.normalize().as_tuple().exponent
    return found if isinstance(found, int) else 0


def _digit_slips(digits: str, length: int) -> Iterator[tuple[str, str, float]]:
    """Kind, digits before the slip, chance. `length`: how many digits are expected."""
    # 30092 without its 3 is 0092, which comes here as 92; a single digit says too little for that.
    for short in sorted({digits, digits.zfill(length - 1) if len(digits) > 1 else digits}):
        for at in range(len(short) + 1):
            for digit in "0123456789":
                yield "digit lost", short[:at] + digit + short[at:], 1 / (len(short) + 1)
    for at in range(len(digits)):
        if len(digits) > 1:
            yield "digit added", digits[:at] + digits[at + 1 :], 1 / (10 * len(digits))
        for digit in "0123456789":
            if digit != digits[at]:
                yield "wrong digit", digits[:at] + digit + digits[at + 1 :], 1 / (9 * len(digits))
    for full in (digits, "0" + digits)[: 1 + (len(digits) < length)]:
        for at in range(len(full) - 1):
            if full[at] != full[at + 1]:
                yield "digits swapped", full[:at] + full[at + 1] + full[at] + full[at + 2 :], 1 / (len(full) - 1)


def _unit_slips(number: Decimal, unit: str, expected: Decimal) -> Iterator[tuple[str, Decimal]]:
    """Kind and the number in the other unit, to the places that were written."""
    if unit == "h" or expected <= 0:
        return
    step = Decimal(1).scaleb(min(0, exponent(number)))
    ratio = number / expected
    low, high = UNIT_BANDS
    if low[0] <= ratio <= low[1]:
        yield "miles as km", (number * KM_PER_MILE).quantize(step)
    if high[0] <= ratio <= high[1]:
        yield "km as miles", (number / KM_PER_MILE).quantize(step)


def time_slips(at: datetime, not_after: datetime) -> list[TimeSlip]:
    """The times from which one slip leads to `at`: a year or a month off, day and month changed round, half a day off.

    Midnight stands for a day without a time, which has no clock slip. None lies after `not_after`.
    """
    dates = [
        _moved(at, year=at.year - 1), _moved(at, year=at.year + 1), _month_on(at, -1), _month_on(at, 1),
        _moved(at, month=at.day, day=at.month),
    ]  # fmt: skip
    slips = {date: TimeSlip("date slip", date, 1 / len(dates)) for date in dates if date}
    if (at.hour, at.minute, at.second) != (0, 0, 0):
        for half_a_day in (timedelta(hours=-12), timedelta(hours=12)):
            slips.setdefault(at + half_a_day, TimeSlip("clock slip", at + half_a_day, 0.5))
    return [slip for slip in slips.values() if slip.at != at and slip.at <= not_after]


def _moved(at: datetime, **parts: int) -> datetime | None:
    try:
        return at.replace(**parts)  # type: ignore[arg-type]
    except ValueError:
        return None


def _month_on(at: datetime, months: int) -> datetime | None:
    """The same day of another month; none where that month lacks it."""
    year, month = divmod(at.year * 12 + at.month - 1 + months, 12)
    return _moved(at, year=year, month=month + 1)
