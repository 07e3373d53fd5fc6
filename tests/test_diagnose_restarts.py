"""What is wrong with a single reading where the meter began again near it, or was exchanged before: worked by hand."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from planted_slips import diagnose_points, microseconds
from test_diagnose import FIRST, Points, every_day, with_wrong

from fleetreport.meters.diagnose import Diagnosis


def on(days: int) -> int:
    return microseconds(FIRST + timedelta(days=days))


def new_meter(first_day: int, start: str, days: int, a_day: int = 40) -> Points:
    return [(on(first_day + n), Decimal(start) + a_day * n) for n in range(days)]


OLD = every_day("184000", "40", 15)  # to 184,560 on day 14


def slips(points: Points, unit: str = "km") -> dict[int, Diagnosis]:
    """What is wrong with the readings that no restart explains, by place."""
    found, _ = diagnose_points(points, unit)
    return {one.position: one for one in found if one.kind not in ("meter changed", "rollover")}


@pytest.mark.parametrize(
    ("first", "others"),
    [
        # 10 at 40 a day: put in the day before, when the old one showed 184,600; so 184,610 in all when first read.
        # A digit put back into 18460 that is not below 184,560 nor above that: 184560, 184600 to 184609, 184610.
        ("10", 11),
        # It came with 500, and the old one had done 184,640 by then: 184620, 184630 and 184640, too.
        ("500", 14),
    ],
)
def test_a_slip_between_two_meters_is_seen_against_both(first: str, others: int) -> None:
    """184,600 on day 15, written without a nought; the old meter last read on day 14, the new one first on day 16."""
    points = [*OLD, (on(15), Decimal(18460)), *new_meter(16, first, 10)]
    assert slips(points) == {15: Diagnosis(15, "digit lost", "reading", "184600", others, None)}


@pytest.mark.parametrize(
    ("written", "kind"),
    [("4100", "digit added"), ("255", "miles as km")],  # 255 mi = 410.4 km (NIST SP 811, B.8: 1 mi = 1.609344 km)
)
def test_a_slip_on_the_new_meter_is_seen_by_what_that_meter_shows(written: str, kind: str) -> None:
    """Its tenth day: 410 km."""
    found = slips([*OLD, *with_wrong(new_meter(15, "10", 20), written)])
    assert {at: (one.kind, one.suggestion) for at, one in found.items()} == {25: (kind, "410")}


def test_a_wrong_date_on_the_new_meter() -> None:
    new = new_meter(15, "10", 250)
    true, wrong = (microseconds(date(2025, month, 12)) for month in (9, 8))
    moved = [(time, number) for time, number in new if time not in (true, wrong)]
    points = sorted([*OLD, *moved, (wrong, dict(new)[true])])
    at = [time for time, _ in points].index(wrong)
    found = slips(points)
    assert {place: (one.kind, one.suggestion) for place, one in found.items()} == {at: ("date slip", "2025-09-12")}


def test_of_two_restarts_the_nearer_explains_a_reading() -> None:
    points = [*every_day("184000", "40", 6), *new_meter(6, "10", 20), *new_meter(26, "5", 6)]
    found, changes = diagnose_points(points, "km")
    assert {one.position: one.change for one in found} == {
        **dict.fromkeys(range(6), 0),
        **dict.fromkeys(range(26, 32), 1),
    }
    assert [change.kind for change in changes] == ["meter changed"] * 2


def test_after_a_reported_exchange_slips_and_rollovers_are_seen_in_what_the_meter_shows() -> None:
    """The meter before had done 50,000 km."""
    points = with_wrong(every_day("83960", "41"), "8437")
    found, _ = diagnose_points(points, "km", added=[50_000] * 21)
    assert [(one.kind, one.suggestion) for one in found] == [("digit lost", "84370")]
    rolled = [*every_day("99610", "34", 11), (on(15), Decimal(120))]
    found, changes = diagnose_points(rolled, "km", added=[50_000] * 12)
    assert [(one.kind, one.suggestion) for one in found] == [("rollover", "100120")]
    assert [(change.kind, change.final) for change in changes] == [("rollover", 100_000)]


def test_no_second_rollover_is_suggested_where_one_is_reported() -> None:
    """Reported for day 12, with 00,040 read then; what 00,020 on day 11 lacks is the 1 before it."""
    points = [*every_day("99650", "34", 11), (on(11), Decimal(20)), (on(12), Decimal(40))]
    found, changes = diagnose_points(points, "km", added=[0] * 12 + [100_000])
    assert [(one.kind, one.suggestion) for one in found] == [("digit lost", "100020")]
    assert changes == []


def test_an_odometer_can_begin_again_on_the_day_of_its_last_believed_reading() -> None:
    points = [*every_day("99650", "34", 10), (on(10), Decimal(10)), (on(10), Decimal(99_990))]
    found, changes = diagnose_points(points, "km")
    assert [(one.position, one.kind, one.suggestion) for one in found] == [(10, "rollover", "100010")]
    assert [(change.at, change.final, change.first) for change in changes] == [(on(10), 100_000, 0)]


def test_an_hour_meter_does_not_begin_again() -> None:
    found, changes = diagnose_points([*every_day("99900", "6", 11), (on(13), Decimal(18))], "h")
    assert ([one.kind for one in found], changes) == (["none"], [])


def test_a_digit_lost_is_likelier_than_a_rollover_far_off_the_line() -> None:
    """1 km a day to 99,986, eight days later 9994: 99,994 lies on the line, 109,994 is ten thousand km off."""
    found, changes = diagnose_points([*every_day("99976", "1", 11), (on(18), Decimal(9994))], "km")
    assert [(one.kind, one.suggestion) for one in found] == [("digit lost", "99994")]
    assert changes == []
