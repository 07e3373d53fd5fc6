"""Where a meter began again and the change that would say so, by hand on series of even use."""

from decimal import Decimal

import pytest

from fleetreport.meters.believed import DAY
from fleetreport.meters.restarts import (
    SCALE,
    Reading,
    Restart,
    find_restarts,
    from_units,
    suggested_change,
    to_units,
)

MOST = 1500
Points = list[tuple[float, int]]


def found(points: Points) -> tuple[list[int], list[Restart]]:
    return find_restarts([round(day * DAY) for day, _ in points], [value for _, value in points], MOST)


def even(first_day: int, start: int, count: int, a_day: int = 100) -> Points:
    return [(first_day + n, start + a_day * n) for n in range(count)]


def test_two_restarts_and_what_is_wrong_beside_them() -> None:
    points = [*even(0, 5000, 10), *even(10, 50, 8), *even(18, 20, 8)]
    assert found(points) == (list(range(26)), [Restart(9, 10), Restart(17, 18)])
    for wrong in (3, 12, 20):
        points[wrong] = (points[wrong][0], 999_999)
    assert found(points) == ([at for at in range(26) if at not in (3, 12, 20)], [Restart(9, 10), Restart(17, 18)])


@pytest.mark.parametrize("old", [3, 4, 10])
def test_three_readings_make_a_restart_and_two_do_not(old: int) -> None:
    assert found([*even(0, 5000, old), *even(old, 50, 3)])[1] == [Restart(old - 1, old)]
    assert found([*even(0, 5000, old), *even(old, 50, 2)]) == (list(range(old)), [])


@pytest.mark.parametrize(
    ("last", "new", "is_low"),
    [
        # At most a tenth of what the old meter showed, where the new one stands still.
        (1000, [(1, 100), (2, 100), (3, 100)], True),
        (1000, [(1, 101), (2, 101), (3, 101)], False),
        # Or thrice what is driven in the time between: 200 a day, one day or two.
        (5000, [(1, 600), (2, 800), (3, 1000)], True),
        (5000, [(1, 601), (2, 801), (3, 1001)], False),
        (5000, [(2, 1200), (3, 1400), (4, 1600)], True),
        (5000, [(2, 1201), (3, 1401), (4, 1601)], False),
        # Less than a day counts as a day, before the new meter's first reading and among its own.
        (5000, [(0.5, 600), (1.5, 800), (2.5, 1000)], True),
        (5000, [(0.5, 601), (1.5, 801), (2.5, 1001)], False),
        (5000, [(1, 600), (1.2, 700), (1.4, 800)], True),
        (5000, [(1, 601), (1.2, 701), (1.4, 801)], False),
    ],
)
def test_a_new_meter_begins_low(last: int, new: Points, is_low: bool) -> None:
    points = [*even(-5, last - 50, 6, 10), *new]
    for later in (0, 300):
        moved = [(day + later, value) for day, value in points]
        assert found(moved)[1] == ([Restart(5, 6)] if is_low else [])


def test_a_restart_is_none_where_the_new_readings_are_too_few_high_or_wrong_one_by_one() -> None:
    # Two readings of a new meter and a wrong one of the old: three do not fit, but a restart explains only two.
    points = [*even(0, 5000, 10), *even(10, 50, 2)]
    points[4] = (4, 999_999)
    assert found(points) == ([0, 1, 2, 3, 5, 6, 7, 8, 9], [])
    # From 5,900 to 90,000 in a day: too far, but not back to nought.
    assert found([*even(0, 5000, 10), *even(10, 90_000, 5)]) == (list(range(10)), [])
    # Three wrong ones here and there.
    points = even(0, 5000, 12)
    for wrong in (2, 5, 8):
        points[wrong] = (wrong, 999_999)
    assert found(points) == ([0, 1, 3, 4, 6, 7, 9, 10, 11], [])
    assert found([]) == ([], [])
    assert found(even(0, 5000, 1)) == ([0], [])


def test_readings_days_apart_may_lie_days_of_driving_apart() -> None:
    """4,000 in three days, at 1,500 a day at most: on the meter after a restart, and on the one before it."""
    assert found([*even(0, 50_000, 6), (6, 50), (7, 1050), (10, 5050)]) == (list(range(9)), [Restart(5, 6)])
    assert found([(0, 1000), (1, 2000), (4, 6000), *even(5, 50, 6)]) == (list(range(9)), [Restart(2, 3)])


def test_what_comes_after_a_restart_keeps_its_places() -> None:
    """A second jump back, from 750 to 400 at 100 a day, is not near nought: of these the eight before are believed."""
    points = [*even(0, 5000, 10), *even(10, 50, 8), *even(18, 400, 3)]
    assert found(points) == (list(range(18)), [Restart(9, 10)])


def change_of(old: Points, new: Points, unit: str = "km", most: int = MOST) -> tuple[str, float, str, str]:
    """Kind, day, final and first reading of the change between two runs of readings (whole numbers of the unit)."""
    readings = [
        Reading(round(day * DAY), shown, shown, from_units(shown, unit), unit, True)
        for day, shown in ((day, to_units(Decimal(str(value)), unit)) for day, value in [*old, *new])
    ]
    places = range(len(readings))
    change = suggested_change(readings, len(old) - 1, len(old), places, to_units(Decimal(most), "km"))
    assert change.unit == unit
    return change.kind, change.at / DAY, f"{change.final.normalize():f}", f"{change.first.normalize():f}"


OLD = even(0, 1000, 11)  # to 2000 on day 10


@pytest.mark.parametrize(
    ("shown", "day", "final", "first"),
    [
        # 100 a day on both sides: the new meter ran since it showed 0, the old one until then.
        (50, 12, 2200, 0), (100, 12, 2200, 0), (101, 11, 2100, 0), (250, 10, 2000, 0), (600, 10, 2000, 0),
        # More than twice what is driven in the three days: it came with a figure of its own.
        (601, 13, 2300, 601),
    ],
)  # fmt: skip
def test_when_a_meter_was_exchanged_follows_from_the_use(shown: int, day: int, final: int, first: int) -> None:
    assert change_of(OLD, even(13, shown, 11)) == ("meter changed", day, str(final), str(first))


def test_ten_readings_on_either_side_tell_the_use() -> None:
    new = even(13, 250, 11)
    assert change_of([(-1, 0), *OLD], [*new, (24, 9000)]) == ("meter changed", 10, "2000", "0")
    # 50 at 100 a day: in use since half a day, so put in on the day before, when the old one had done two days more.
    assert change_of([(-1, 0), *OLD], [*even(13, 50, 11), (24, 9000)]) == ("meter changed", 12, "2200", "0")
    # With the tenth another one, the use is another: 2000 in eleven days, and two days of that.
    assert change_of([(-1, 0), *OLD[1:]], even(13, 50, 2)) == ("meter changed", 12, "2364", "0")


def test_a_meter_that_stood_still_is_taken_as_it_was_and_rounded_up() -> None:
    """No use on either side: the day of the new one's first reading, at what both showed; a tenth is rounded up."""
    still, new = [(day, 2000.37) for day in range(4)], [(day, 7) for day in range(6, 9)]
    assert change_of(still, new, "h", 24) == ("meter changed", 6, "2000.4", "7")


def test_what_the_rule_would_refuse_is_not_suggested() -> None:
    """480 a day up to 20:00 on the 10th, 50 on the new meter at 6:00: 480 more on the old one would be 530 in a day."""
    old, new = [(n - 0.1667, 480 * n) for n in range(5, 12)], [(11.25 + n, 50 + 400 * n) for n in range(5)]
    assert change_of(old, new, most=529) == ("meter changed", 11, "5280", "0")
    assert change_of(old, new, most=530) == ("meter changed", 11, "5760", "0")
    # A first figure of the new meter's own, 601, is taken off again: 300 more in three days, which 200 a day allow.
    assert change_of(OLD, even(13, 601, 11), most=200) == ("meter changed", 13, "2300", "601")


@pytest.mark.parametrize(
    ("last", "shown", "unit", "kind"),
    [
        # 50 a day: thrice that is 150 in the day between.
        (99_900, 50, "km", "rollover"), (99_900, 51, "km", "meter changed"), (99_999, 1, "km", "rollover"),
        (99_900, 50, "h", "meter changed"), (99_900, 50, "mi", "rollover"),
        # At 100,000 it has six figures.
        (100_000, 100, "km", "meter changed"), (999_900, 50, "km", "rollover"), (999_900, 51, "km", "meter changed"),
    ],
)  # fmt: skip
def test_an_odometer_begins_again_after_its_last_figure(last: int, shown: int, unit: str, kind: str) -> None:
    old = even(0, last - 500, 11, 50)
    change = change_of(old, even(11, shown, 5, 50), unit)
    assert change[0] == kind
    if kind == "rollover":
        assert change[1:] == (11, "1000000" if last > 100_000 else "100000", "0")


def test_five_days_allow_five_times_as_much() -> None:
    old = even(0, 99_400, 11, 50)
    assert change_of(old, even(15, 650, 5, 50))[0] == "rollover"
    assert change_of(old, even(15, 651, 5, 50))[0] == "meter changed"


def test_a_rollover_keeps_to_the_most_of_a_day() -> None:
    old = even(0, 99_400, 11, 50)
    assert change_of(old, even(11, 20, 5, 50), most=120)[0] == "rollover"
    assert change_of(old, even(11, 21, 5, 50), most=120)[0] == "meter changed"


def test_units_are_whole_and_a_mile_is_exact() -> None:
    """1 mi = 1.609344 km (NIST SP 811, B.8)."""
    assert SCALE == 10_000_000
    assert [to_units(Decimal("2.5"), unit) for unit in ("km", "h", "mi")] == [25_000_000, 25_000_000, 40_233_600]
    assert [from_units(40_233_600, unit) for unit in ("km", "h", "mi")] == [
        Decimal("4.023360"), Decimal("4.023360"), Decimal("2.5"),
    ]  # fmt: skip
