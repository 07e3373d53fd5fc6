"""What a slip can make of a number or a date, against slips made forwards on every number, and by hand."""

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from fractions import Fraction

import pytest

from fleetreport.meters.slips import exponent, number_slips, time_slips

DIGITS = "0123456789"


def slipped(true: str) -> Iterator[tuple[str, str, tuple[int, int]]]:
    """Every slip of the hand in a whole number: its kind, what is written then, the share of such slips that it is."""
    for at, digit in enumerate(true):
        yield "digit lost", true[:at] + true[at + 1 :], (1, len(true))
        for other in set(DIGITS) - {digit}:
            yield "wrong digit", true[:at] + other + true[at + 1 :], (1, 9 * len(true))
        if at and true[at - 1] != digit:
            yield "digits swapped", true[: at - 1] + digit + true[at - 1] + true[at + 1 :], (1, len(true) - 1)
    for at in range(len(true) + 1):
        for digit in DIGITS:
            yield "digit added", true[:at] + digit + true[at:], (1, 10 * (len(true) + 1))


@pytest.mark.parametrize(("written", "figures"), [(92, 2), (92, 3), (92, 4), (10, 2), (7, 1), (7, 2), (7, 3), (1, 2)])
def test_every_number_that_one_slip_turns_into_the_one_written(written: int, figures: int) -> None:
    """All numbers of up to four figures are tried. Noughts in front are dropped, as many as the expected number has
    room for, or none: a lost digit from a number of the expected length, swapped ones where one nought is missing. A
    single figure says too little for a digit added, or for one lost before noughts.
    """
    expected: dict[tuple[str, int], Fraction] = {}
    for true in map(str, range(1, 10 ** max(figures, len(str(written)) + 1))):
        for kind, now, share in slipped(true):
            missing = len(now) - len(now.lstrip("0"))
            if int(now or 0) != written or true == str(written):
                continue
            if kind == "digit lost" and missing and (len(true) != figures or written < 10):
                continue
            if kind == "digits swapped" and missing and (missing > 1 or len(str(written)) >= figures):
                continue
            if (kind == "wrong digit" and missing) or (kind == "digit added" and (missing or written < 10)):
                continue
            expected[kind, int(true)] = Fraction(*share)
    found = {
        (slip.kind, int(slip.number)): Fraction(slip.chance).limit_denominator(1000)
        for slip in number_slips(Decimal(written), "h", Decimal("9" * figures), 0)
    }
    assert found == expected


def chances(number: str, unit: str, expected: str, decimals: int) -> dict[tuple[str, str], Fraction]:
    return {
        (slip.kind, f"{slip.number.normalize():f}"): Fraction(slip.chance).limit_denominator(1000)
        for slip in number_slips(Decimal(number), unit, Decimal(expected), decimals)
    }


def test_a_number_without_its_usual_place_is_tried_with_and_without_it() -> None:
    """85 on a meter of tenths: 95 is one wrong digit of two (of 85) rather than one of three (of 85.0)."""
    found = chances("85", "h", "85", 1)
    assert found["wrong digit", "95"] == Fraction(1, 18)
    assert found["wrong digit", "85.3"] == Fraction(1, 27)
    assert found["digit lost", "850"] == Fraction(1, 3)
    assert found["digit lost", "850.1"] == Fraction(1, 4)
    assert found["digit added", "8.5"] == Fraction(1, 30)
    assert found["digits swapped", "80.5"] == Fraction(1, 2)
    assert found["point misplaced", "8.5"] == Fraction(1, 4)
    assert ("wrong digit", "85") not in found
    # Two ones and a two: only the second and the third can have been swapped.
    assert {key: share for key, share in chances("112", "h", "112", 0).items() if key[0] == "digits swapped"} == {
        ("digits swapped", "121"): Fraction(1, 2)
    }
    # A single figure has no neighbour, not even where nothing was expected.
    assert not any(kind == "digits swapped" for kind, _ in chances("7", "h", "0", 0))


@pytest.mark.parametrize(
    ("number", "decimals", "moved"),
    [("8463.4", 1, None), ("84634", 1, "8463.4"), ("846.34", 1, "8463.4"), ("846.34", 0, "84634"),
     ("8.4634", 1, None), ("84634", 2, "846.34")],
)  # fmt: skip
def test_a_point_is_out_by_one_or_two_places(number: str, decimals: int, moved: str | None) -> None:
    found = {key[1]: share for key, share in chances(number, "h", "8463.4", decimals).items()
             if key[0] == "point misplaced"}  # fmt: skip
    assert found == ({moved: Fraction(1, 4)} if moved else {})


@pytest.mark.parametrize(
    ("number", "unit", "expected", "kind", "other"),
    [
        # 1 mi = 1.609344 km (NIST SP 811, B.8): 1000 km are 621.37 mi, 1000 mi are 1609.344 km.
        ("621.37", "km", "1000", "miles as km", "1000"),
        ("1609.3", "mi", "1000", "km as miles", "999.97"),
        ("1609", "km", "1000", "km as miles", "1000"),
        ("600", "km", "1000", "miles as km", "966"),
        ("650", "km", "1000", "miles as km", "1046"),
        ("599", "km", "1000", None, None),
        ("651", "km", "1000", None, None),
        ("1550", "km", "1000", "km as miles", "963"),
        ("1650", "km", "1000", "km as miles", "1025"),
        ("1549", "km", "1000", None, None),
        ("1651", "km", "1000", None, None),
        ("621", "h", "1000", None, None),
        ("621", "km", "0", None, None),
        ("1600", "mi", "1000", "km as miles", "994"),
        ("1.6", "km", "1", "km as miles", "0.99"),
    ],
)
def test_miles_and_km_mixed_up(number: str, unit: str, expected: str, kind: str | None, other: str | None) -> None:
    found = {key: share for key, share in chances(number, unit, expected, 2).items() if " as " in key[0]}
    if kind is None or other is None:
        assert found == {}
    else:
        places = max(0, -exponent(Decimal(number)))
        assert found == {(kind, f"{round(Decimal(other), places).normalize():f}"): 1}


def test_the_last_digit_that_is_not_nought() -> None:
    assert number_slips(Decimal(0), "h", Decimal(99), 0) == []
    assert [exponent(Decimal(number)) for number in ("12.50", "1200", "0", "7", "0.00")] == [-1, 2, 0, 0, 0]


LATE = datetime(2030, 1, 1)


@pytest.mark.parametrize(
    ("written", "true"),
    [
        ("2025-05-03", {"2024-05-03", "2026-05-03", "2025-04-03", "2025-06-03", "2025-03-05"}),
        ("2025-12-15", {"2024-12-15", "2026-12-15", "2025-11-15", "2026-01-15"}),
        ("2025-01-15", {"2024-01-15", "2026-01-15", "2024-12-15", "2025-02-15"}),
        # Day and month alike: changed round, it is the same day.
        ("2025-05-05", {"2024-05-05", "2026-05-05", "2025-04-05", "2025-06-05"}),
        ("2024-02-29", {"2024-01-29", "2024-03-29"}),
        ("2025-11-12", {"2024-11-12", "2026-11-12", "2025-10-12", "2025-12-12", "2025-12-11"}),
    ],
)
def test_dates_from_which_one_slip_leads_to_the_one_written(written: str, true: set[str]) -> None:
    slips = time_slips(datetime.fromisoformat(written), LATE)
    assert {slip.at.isoformat()[:10] for slip in slips} == true
    assert {(slip.kind, slip.chance) for slip in slips} == {("date slip", 0.2)}


@pytest.mark.parametrize("clock", ["17:00:00", "00:20:00", "00:00:30"])
def test_a_time_of_day_may_be_half_a_day_off(clock: str) -> None:
    at = datetime.fromisoformat(f"2025-05-05T{clock}")
    found = {slip.at: slip.chance for slip in time_slips(at, LATE) if slip.kind == "clock slip"}
    assert {(slipped_at - at).total_seconds() / 3600: chance for slipped_at, chance in found.items()} == {
        -12: 0.5, 12: 0.5,
    }  # fmt: skip


def test_no_slip_leads_past_the_last_time_that_can_be() -> None:
    at = datetime(2025, 5, 5, 17)
    assert [slip.at.isoformat() for slip in time_slips(at, datetime(2025, 5, 6, 5))] == [
        "2024-05-05T17:00:00", "2025-04-05T17:00:00", "2025-05-05T05:00:00", "2025-05-06T05:00:00",
    ]  # fmt: skip
    assert len(time_slips(at, datetime(2025, 5, 6, 4, 59))) == 3
