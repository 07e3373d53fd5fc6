"""What is likely wrong with a refused reading: worked examples of each kind, and slips planted in random series."""

import random
from datetime import date, datetime, timedelta
from decimal import Decimal
from math import exp

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from planted_slips import (
    LIMIT,
    Series,
    daily_car,
    diagnose_points,
    exchange,
    hour_meter,
    microseconds,
    plant,
    roll_over,
    score,
    vehicles_that_fit,
    weekly_truck,
)

from fleetreport.meters.believed import DAY, longest_chain
from fleetreport.meters.diagnose import Diagnosis, OtherVehicle, _Believed, _best, _Guess, _of_other, to_time
from fleetreport.meters.diagnosis_steps import diagnosis_words
from fleetreport.meters.restarts import SCALE, MeterChange, find_restarts, to_units
from fleetreport.meters.slips import WEIGHTS, number_slips, time_slips

FIRST = date(2025, 3, 3)
Points = list[tuple[int, Decimal]]


def every_day(start: str, a_day: str, days: int = 21) -> Points:
    """A vehicle read every evening that goes the same each day."""
    return [(microseconds(FIRST + timedelta(days=n)), Decimal(start) + n * Decimal(a_day)) for n in range(days)]


def with_wrong(points: Points, number: str, at: int = 10) -> Points:
    return [(time, Decimal(number) if n == at else value) for n, (time, value) in enumerate(points)]


def only_diagnosis(points: Points, unit: str, others: list[OtherVehicle] | None = None, at: int = 10) -> Diagnosis:
    found, changes = diagnose_points(points, unit, {at: others or []})
    assert [one.position for one in found] == [at]
    assert changes == []
    return found[0]


# The true reading of the tenth day is 84,370 km.
@pytest.mark.parametrize(
    ("written", "kind", "suggestion"),
    [
        ("4370", "digit lost", "84370"),
        ("8437", "digit lost", "84370"),
        ("843700", "digit added", "84370"),
        ("884370", "digit added", "84370"),
        ("48370", "digits swapped", "84370"),
        ("94370", "wrong digit", "84370"),
        ("82370", "wrong digit", "84370"),
    ],
)
def test_slips_in_the_figure(written: str, kind: str, suggestion: str) -> None:
    found = only_diagnosis(with_wrong(every_day("83960", "41"), written), "km")
    assert (found.kind, found.target, found.suggestion) == (kind, "reading", suggestion)


@pytest.mark.parametrize(
    ("unit", "written", "kind", "suggestion"),
    [
        # 84,370 / 1.609344 = 52,425.09…; 52,425 x 1.609344 = 84,369.86 (NIST SP 811, B.8: 1 mi = 1.609344 km)
        ("km", "52425", "miles as km", "84370"),
        ("mi", "135780", "km as miles", "84370"),
        ("km", "135780", "km as miles", "84370"),
    ],
)
def test_miles_and_km_mixed_up(unit: str, written: str, kind: str, suggestion: str) -> None:
    found = only_diagnosis(with_wrong(every_day("83960", "41"), written), unit)
    assert (found.kind, found.suggestion) == (kind, suggestion)


def test_decimal_point_of_an_hour_meter() -> None:
    found = only_diagnosis(with_wrong(every_day("8400.4", "6.3"), "84634"), "h")
    assert (found.kind, found.suggestion) == ("point misplaced", "8463.4")


def test_the_point_is_where_a_reading_near_it_has_one() -> None:
    """Tenths of an hour only in the first reading: 84055 on the fifth day, one hour a day, is 8405.5."""
    points = [
        (time, number + (Decimal("0.5") if n == 0 else 0)) for n, (time, number) in enumerate(every_day("8400", "1"))
    ]
    found = only_diagnosis(with_wrong(points, "84055", 5), "h", at=5)
    assert (found.kind, found.suggestion) == ("point misplaced", "8405.5")


def test_where_no_reading_is_believed_for_weeks_numbers_are_taken_as_whole() -> None:
    """Twenty-five days on which everything was written with a nought too many."""
    true = every_day("83960", "41", 65)
    points = [(time, number * 10 if 20 <= n < 45 else number) for n, (time, number) in enumerate(true)]
    found, changes = diagnose_points(points, "km")
    assert [(one.position, one.kind, one.suggestion) for one in found] == [
        (n, "digit added", str(true[n][1])) for n in range(20, 45)
    ]
    assert changes == []


def test_reading_of_another_vehicle() -> None:
    points = with_wrong(every_day("83960", "41"), "15822")
    exact = OtherVehicle("V02", 0, to_units(Decimal(60), "km"), True, True, 59)
    close = OtherVehicle("V07", to_units(Decimal(30), "km"), to_units(Decimal(60), "km"), False, False, 59)
    found = only_diagnosis(points, "km", [close, exact])
    assert (found.kind, found.target, found.suggestion) == ("another vehicle", "vehicle", "V02")
    assert diagnosis_words(found, None) == (
        "Probably the reading of another vehicle: it fits V02 that day (1 other explanation would fit)."
    )


@pytest.mark.parametrize(
    ("written", "among", "kind"),
    [
        # 8437 for 84370: one of five digits lost, 1/5 * 1 km of twice 41 km = 0.0024; 0.3 / 70 = 0.0043,
        # 0.3 / 130 = 0.0023.
        ("8437", 70, "another vehicle"), ("8437", 130, "digit lost"),
        # 843700: one of sixty digits added, 1/60 * 1/82 = 0.00020, though it ends in two noughts; 0.3 / 200 = 0.0015.
        ("843700", 200, "another vehicle"), ("843700", 1500, "digit added"),
    ],
)  # fmt: skip
def test_just_what_another_vehicle_showed_is_weighed_with_a_slip_to_the_km(written: str, among: int, kind: str) -> None:
    exact = OtherVehicle("V02", 0, to_units(Decimal(60), "km"), True, True, among)
    assert only_diagnosis(with_wrong(every_day("83960", "41"), written), "km", [exact]).kind == kind


def test_near_reading_of_one_of_some_hundred_vehicles_is_likelier_than_chance() -> None:
    """0.3 * 1 km of twice 60 km * exp(-1/2) / 300 = 5.1e-6; by chance a tenth of 1 km in 84,370 km, 1.2e-6."""
    close = OtherVehicle("V07", to_units(Decimal(30), "km"), to_units(Decimal(60), "km"), False, True, 300)
    found = only_diagnosis(with_wrong(every_day("83960", "41"), "15822"), "km", [close])
    assert (found.kind, found.suggestion) == ("another vehicle", "V07")


def test_near_reading_of_one_of_thousands_of_vehicles_says_nothing() -> None:
    close = OtherVehicle("V07", to_units(Decimal(30), "km"), to_units(Decimal(60), "km"), False, True, 20_000)
    found = only_diagnosis(with_wrong(every_day("83960", "41"), "15822"), "km", [close])
    assert (found.kind, diagnosis_words(found, None)) == ("none", "No simple slip explains it.")


@pytest.mark.parametrize(
    ("wrong", "true"),
    [("2024-09-10", "2025-09-10"), ("2025-08-12", "2025-09-12"), ("2025-05-03", "2025-03-05")],
)
def test_date_slips(wrong: str, true: str) -> None:
    """A year off, a month off, day and month changed round."""
    start = date(2024, 6, 1)
    days = [start + timedelta(days=n) for n in range(500)]
    numbers = {day: Decimal(60_000 + 53 * n) for n, day in enumerate(days)}
    true_day = date.fromisoformat(true)
    moved = [(microseconds(d), n) for d, n in numbers.items() if d != true_day and d.isoformat() != wrong]
    points = sorted([*moved, (microseconds(date.fromisoformat(wrong)), numbers[true_day])])
    at = points.index((microseconds(date.fromisoformat(wrong)), numbers[true_day]))
    found = only_diagnosis(points, "km", at=at)
    assert (found.kind, found.target, found.suggestion) == ("date slip", "date", true)


def test_a_digit_lost_is_likelier_than_the_wrong_year() -> None:
    """208 km a day to 84,370: written 8437, which would have been the reading of a year before, too, but for 13 km.

    A digit lost: 1/5 * 1 km of twice 208 km = 0.00048. The year: 0.3 * 1/5 * 1 km of 208 km * exp(-13/104) = 0.00025.
    """
    days = [(microseconds(date(2024, 6, 1) + timedelta(days=n)), Decimal(1170 + 208 * n)) for n in range(450)]
    assert (days[35][1], days[400][1]) == (8450, 84370)
    found = only_diagnosis(with_wrong(days, "8437", 400), "km", at=400)
    assert (found.kind, found.suggestion) == ("digit lost", "84370")


def test_times_count_from_1970() -> None:
    """POSIX.1, seconds since the Epoch: a thousand million of them make 2001-09-09 01:46:40."""
    assert to_time(0) == datetime(1970, 1, 1)
    assert to_time(10**15) == datetime(2001, 9, 9, 1, 46, 40)


def test_clock_slip_of_half_a_day() -> None:
    points = [(microseconds(FIRST, hour), Decimal(84_000 + 12 * hour)) for hour in range(1, 23)]
    points = sorted([*points[:16], *points[17:], (microseconds(FIRST, 5) + 1, points[16][1])])
    found = only_diagnosis(points, "km", at=5)
    assert (found.kind, found.suggestion) == ("clock slip", "2025-03-03T17:00")


def test_no_time_slip_leads_into_the_future_or_to_a_day_that_is_none() -> None:
    slips = time_slips(datetime(2025, 3, 31), datetime(2025, 6, 1))
    assert {slip.at.date().isoformat() for slip in slips} == {"2024-03-31"}


def test_slip_that_nothing_explains() -> None:
    found = only_diagnosis(with_wrong(every_day("83960", "41"), "5"), "km")
    assert found == Diagnosis(10, "none", None, None, 0, None)


def test_others_that_fit_are_counted() -> None:
    found = only_diagnosis(with_wrong(every_day("83960", "41"), "8437"), "km")
    # 84337, 84347 and so on up to 84397 fit between 84,329 and 84,411 too, as do 84370 to 84379.
    fitting = {f"843{n}7" for n in range(3, 10)} | {f"8437{n}" for n in range(10)} | {"84337"}
    assert found.others == len({one for one in fitting if 84329 <= int(one) <= 84411}) - 1
    assert diagnosis_words(found, None).endswith(f"84370 would fit ({found.others} other explanations would fit).")


def test_mechanical_rollover_at_99_999() -> None:
    """99,950, then 00,120 five days on, is +170."""
    points = every_day("99610", "34", 11)
    rolled = [*points, (microseconds(FIRST + timedelta(days=15)), Decimal(120))]
    found, changes = diagnose_points(rolled, "km")
    assert [(one.kind, one.suggestion) for one in found] == [("rollover", "100120")]
    assert [(c.kind, c.final, c.first, c.unit) for c in changes] == [("rollover", 100_000, 0, "km")]
    assert diagnosis_words(found[0], changes[0]) == (
        "The odometer has probably passed 99,999 and begun again from 0 (in excess of its mechanical limits): "
        "100120 in all would fit once the suggested line is in meter_changes.csv."
    )


def test_rollover_at_999_999_in_miles() -> None:
    points = [(time, number % 1_000_000) for time, number in every_day("999600", "50", 15)]
    found, changes = diagnose_points(points, "mi")
    assert [(one.suggestion, one.others) for one in found] == [(str(1_000_000 + 50 * n), 0) for n in range(7)]
    assert [(c.kind, c.final, c.first, c.unit) for c in changes] == [("rollover", 1_000_000, 0, "mi")]


def test_odometer_that_has_shown_six_figures_does_not_roll_over_at_five() -> None:
    points = every_day("149950", "34", 11)
    found, _ = diagnose_points([*points, (microseconds(FIRST + timedelta(days=11)), Decimal(50_330))], "km")
    assert [(one.kind, one.suggestion) for one in found] != [("rollover", "150330")]
    # Nor one that has six figures only since some days, or since the last reading: 00,290 and 00,040 lack their 1.
    for start, lacks, true in (("99900", 290, "100290"), ("99660", 40, "100040")):
        points = [*every_day(start, "34", 11), (microseconds(FIRST + timedelta(days=11)), Decimal(lacks))]
        found, changes = diagnose_points(points, "km")
        assert [(one.kind, one.suggestion) for one in found] == [("digit lost", true)]
        assert changes == []


@pytest.mark.parametrize(("old_days", "new_days"), [(15, 6), (6, 15), (15, 3), (3, 15)])
def test_unreported_meter_change_whichever_chain_is_longer(old_days: int, new_days: int) -> None:
    """The longer chain is believed, so that the refused readings are the new meter's or the old one's."""
    old = every_day("184000", "40", old_days)
    day = FIRST + timedelta(days=old_days)
    new = [(microseconds(day + timedelta(days=n)), Decimal(10 + 40 * n)) for n in range(new_days)]
    found, changes = diagnose_points(old + new, "km")
    assert len(found) == min(old_days, new_days)
    assert {one[1:] for one in found} == {("meter changed", None, None, 0, 0)}
    (change,) = changes
    last = old[-1][1]
    assert (change.kind, change.first, change.unit) == ("meter changed", 0, "km")
    assert last <= change.final <= last + 40
    assert old[-1][0] <= change.at <= new[0][0]


def test_slip_beside_an_unreported_change_is_seen_against_its_own_meter() -> None:
    old = with_wrong(every_day("184000", "40", 15), "18412", at=3)
    new = [(microseconds(FIRST + timedelta(days=15 + n)), Decimal(10 + 40 * n)) for n in range(20)]
    found, _ = diagnose_points(old + new, "km")
    by_place = {one.position: one for one in found}
    assert by_place[3].kind == "digit lost"
    assert by_place[3].suggestion == "184120"
    assert {one.kind for at, one in by_place.items() if at != 3} == {"meter changed"}


def test_two_wrong_readings_are_no_meter_change() -> None:
    points = with_wrong(with_wrong(every_day("184000", "40"), "12", at=18), "60", at=19)
    _, changes = diagnose_points(points, "km")
    assert changes == []


def test_exchange_with_a_meter_that_does_not_start_low_is_not_claimed() -> None:
    points = every_day("184000", "40", 10) + [
        (microseconds(FIRST + timedelta(days=10 + n)), Decimal(90_000 + 40 * n)) for n in range(8)
    ]
    _, changes = diagnose_points(points, "km")
    assert changes == []


def test_a_number_is_not_its_own_suggestion_and_starts_with_no_nought() -> None:
    slips = number_slips(Decimal("100.5"), "h", Decimal("1100.5"), 1)
    assert {slip.kind for slip in slips} <= set(WEIGHTS)
    assert all(slip.number != Decimal("100.5") and slip.number >= 1 for slip in slips)
    assert number_slips(Decimal(0), "km", Decimal(5000), 0) == []


seeds = st.integers(0, 2**32)
makers = st.sampled_from([daily_car, weekly_truck, hour_meter])
FIGURES = ("digit lost", "digit added", "digits swapped", "wrong digit", "miles as km", "km as miles")


def believable(points: Points, unit: str, at: int, number: Decimal) -> bool:
    """The contract's rule, with the suggestion in place of what was written."""
    points = [(time, number if place == at else value) for place, (time, value) in enumerate(points)]
    most = to_units(Decimal(24 if unit == "h" else 1500), "h")
    times, values = [time for time, _ in points], [to_units(value, unit) for _, value in points]
    return at in longest_chain(times, values, most)


@given(seeds, makers, st.sampled_from(FIGURES))
@settings(max_examples=150, deadline=None)
def test_what_is_suggested_for_a_planted_slip_fits(seed: int, maker, kind: str) -> None:  # type: ignore[no-untyped-def]
    """Something fits whatever was written, and what is suggested would be believed."""
    chance = random.Random(seed)
    series: Series = maker(chance, "V01")
    planted = plant(kind, series, [series], chance)
    if planted is None:
        return
    found, changes = diagnose_points(planted.points, series.unit)
    assert changes == [] or all(change.kind == "rollover" for change in changes)
    for one in found:
        if one.position == planted.at:
            assert one.kind != "none"
            if one.target == "reading":
                assert believable(planted.points, series.unit, one.position, Decimal(one.suggestion or 0))


@given(seeds, makers)
@settings(max_examples=60, deadline=None)
def test_a_planted_exchange_is_found_and_its_line_makes_the_series_whole(seed: int, maker) -> None:  # type: ignore[no-untyped-def]
    chance = random.Random(seed)
    series: Series = maker(chance, "V01")
    planted = exchange(series, chance)
    _, changes = diagnose_points(planted.points, series.unit)
    # The new meter may pass the old one's figure while both are short; then one chain holds all but a few.
    assert [change.kind for change in changes] in (["meter changed"], ["rollover"], [])
    for change in changes:
        added = change.final - change.first
        whole = [(t, n + (added if at >= planted.at else 0)) for at, (t, n) in enumerate(planted.points)]
        assert diagnose_points(whole, series.unit)[0] == []


@given(seeds)
@settings(max_examples=60, deadline=None)
def test_a_planted_rollover_is_found(seed: int) -> None:
    chance = random.Random(seed)
    true = weekly_truck(chance, "V01")
    low = true.points[0][1] - chance.randrange(96_000, 99_000)
    planted = roll_over(Series("V01", "mi", [(t, n - low) for t, n in true.points]))
    if planted is None or planted.at < 10 or len(planted.points) - planted.at < 3:
        return
    found, changes = diagnose_points(planted.points, "mi")
    assert [(c.kind, c.final, c.first) for c in changes] == [("rollover", LIMIT, 0)]
    assert {one.kind for one in found} == {"rollover"}


@pytest.mark.parametrize(
    ("kind", "kind_right", "near"),
    [
        ("digit lost", 0.90, 0.85), ("digit added", 0.95, 0.90), ("digits swapped", 0.95, 0.95),
        ("miles as km", 0.95, 0.95), ("another vehicle", 0.95, 0.95), ("date slip", 0.90, 0.90),
        ("wrong digit", 0.80, 0.85),
    ],
)  # fmt: skip
def test_hit_rates_stay_what_they_were(kind: str, kind_right: float, near: float) -> None:
    """From a fixed seed; a lost low digit leaves several numbers that fit, so its value counts within a day's use."""
    chance = random.Random(7)
    fleet = [daily_car(chance, f"C{n}") for n in range(40)]
    found = score(kind, fleet, 120, chance)
    assert found.refused >= 40
    assert found.kind_right >= kind_right * found.refused
    assert found.within_a_day >= near * found.refused


def test_vehicles_that_fit_are_those_within_a_day_of_their_line() -> None:
    one = Series("V01", "km", every_day("84000", "40"))
    other = Series("V02", "km", every_day("15800", "60"))
    time = one.points[10][0]
    assert [(v.vehicle_id, v.exact) for v in vehicles_that_fit(Decimal(16400), time, one, [one, other])] == [
        ("V02", True)
    ]
    assert vehicles_that_fit(Decimal(16461), time, one, [one, other]) == []


def test_restarts_of_a_clean_series_are_none() -> None:
    points = every_day("500", "40")
    chains = find_restarts([t for t, _ in points], [int(n) for _, n in points], 1500)
    assert (chains.believed, chains.restarts) == (list(range(21)), [])


def test_words_of_a_meter_change() -> None:
    change = MeterChange("meter changed", microseconds(date(2025, 2, 3)), Decimal(9210), Decimal(0), "h")
    said = diagnosis_words(Diagnosis(4, "meter changed", None, None, 0, 0), change)
    assert said == (
        "The meter was probably exchanged about 2025-02-03 without a line in meter_changes.csv: "
        "the reading itself fits once the suggested line is in meter_changes.csv."
    )


def believed_at(points: list[tuple[float, float]], most: int = 150) -> _Believed:
    """Believed readings by day and km, with the most of a day."""
    return _Believed([round(day * DAY) for day, _ in points], [round(km * SCALE) for _, km in points], most * SCALE)


def fits(believed: _Believed, day: float, km: float) -> bool:
    return believed.fits(round(day * DAY), round(km * SCALE))


@pytest.mark.parametrize(
    ("day", "least", "most"),
    [
        # Between 100 and 200 of one day: neither lower nor higher than these, however short the time.
        (1.5, 100, 200), (1.01, 100, 200),
        # With another reading of the same time: after the one before, before the one after.
        (1, 0, 200),
        # 150 a day beyond the last and before the first, a day's worth at least.
        (4, 200, 350), (6, 200, 650), (3.5, 200, 350), (-1, 0, 0), (0, 0, 100),
    ],
)  # fmt: skip
def test_a_reading_fits_between_its_neighbours(day: float, least: float, most: float) -> None:
    around = believed_at([(0, 0), (1, 100), (3, 200)])
    assert [fits(around, day, km) for km in (least - 0.1, least, most, most + 0.1)] == [False, True, True, False]


def test_a_reading_before_the_first_lies_no_further_below_it_than_a_day_takes_it() -> None:
    around = believed_at([(5, 500), (6, 600)])
    assert [fits(around, 4, km) for km in (349, 350, 500, 501)] == [False, True, True, False]
    assert [fits(around, 3, km) for km in (199, 200)] == [False, True]
    assert not fits(believed_at([]), 4, 350)


def test_a_reading_lies_no_further_below_the_next_than_its_days_take_it() -> None:
    around = believed_at([(0, 0), (5, 600)])
    assert [fits(around, 4, km) for km in (449, 450, 600, 601)] == [False, True, True, False]


def test_readings_of_one_time_are_taken_in_order_of_value() -> None:
    around = believed_at([(0, 0), (1, 100), (1, 240), (2, 300)])
    assert [fits(around, 1, km) for km in (0, 90, 170, 300)] == [True, True, True, True]
    assert not fits(around, 1, 301)
    # 240 more at once would be too far, with 120 between it is not.
    apart = believed_at([(0, 0), (1, 0), (1, 240), (2, 300)])
    assert [fits(apart, 1, km) for km in (80, 90, 150, 160)] == [False, True, True, False]


@pytest.mark.parametrize(
    ("day", "line", "spread"),
    [
        (1.5, 1150, 50), (2, 1200, 50), (0, 1000, 50), (4, 1400, 50), (1.1, 1110, 50),
        # Beyond the last and before the first at the use of the readings there; the further, the less sure.
        (6, 1600, 200), (-2, 800, 200), (4.25, 1425, 50), (-12, 0, 1200),
    ],
)  # fmt: skip
def test_what_a_meter_is_expected_to_show(day: float, line: float, spread: float) -> None:
    around = believed_at([(n, 1000 + 100 * n) for n in range(5)])
    assert [part / SCALE for part in around.expected(round(day * DAY))] == pytest.approx([line, spread])


def test_in_a_gap_the_nearer_reading_tells_how_sure_it_is() -> None:
    around = believed_at([(0, 0), (10, 1000)])
    assert [around.expected(day * DAY)[1] / SCALE for day in (3, 5, 8)] == [300, 500, 200]
    # A meter that stands still is sure to half a km.
    assert believed_at([(0, 700), (10, 700)]).expected(5 * DAY) == (700 * SCALE, SCALE // 2)
    # Readings of one time count as a day apart.
    assert believed_at([(1, 0), (1, 60)]).expected(2 * DAY) == (120 * SCALE, 60 * SCALE)


def test_ten_readings_on_either_side_tell_the_use() -> None:
    steps = [(n, 5000 + 100 * n - (1000 if n < 4 else 0) + (3000 if n > 25 else 0)) for n in range(30)]
    assert believed_at(steps).expected(14 * DAY + DAY // 4)[1] == 50 * SCALE
    assert believed_at(steps).expected(12 * DAY + DAY // 4)[1] > 50 * SCALE
    assert believed_at(steps).expected(16 * DAY + DAY // 4)[1] > 50 * SCALE
    # On the day of one of them, ten before it and ten after it.
    assert [believed_at(steps).expected(day * DAY)[1] for day in (14, 15)] == [50 * SCALE] * 2


@pytest.mark.parametrize(
    ("km", "step", "share"),
    [(1150, 1, 1 / 100), (1200, 1, exp(-1) / 100), (1100, 1, exp(-1) / 100), (1150, 10, 1 / 10), (1150, 1000, 1.0),
     (10**9, 1, exp(-500) / 100)],
)  # fmt: skip
def test_the_share_of_true_readings_falls_with_the_distance_from_the_line(km: int, step: int, share: float) -> None:
    around = believed_at([(n, 1000 + 100 * n) for n in range(5)])
    assert around.likelihood(round(1.5 * DAY), km * SCALE, step * SCALE) == pytest.approx(share, rel=1e-9, abs=0)


def test_two_readings_after_a_rollover_share_its_line() -> None:
    points = every_day("99610", "34", 11)
    rolled = [*points, *((microseconds(FIRST + timedelta(days=14 + n)), Decimal(86 + 34 * n)) for n in range(2))]
    found, changes = diagnose_points(rolled, "km")
    assert [(one.kind, one.suggestion, one.change) for one in found] == [
        ("rollover", "100086", 0), ("rollover", "100120", 0),
    ]  # fmt: skip
    assert [(c.kind, c.at, c.final, c.first) for c in changes] == [("rollover", rolled[11][0] // DAY * DAY, 100_000, 0)]


@pytest.mark.parametrize(
    ("off", "drive", "exact", "alike", "among", "likelihood"),
    [
        # 0.3 for the kind, half of it where neither depot nor class is the same, shared among the vehicles there are.
        (0, 60, True, True, 59, 0.3 / 59), (0, 60, True, False, 59, 0.15 / 59), (0, 60, True, True, 0, 0.3),
        # A km of the 120 within a day's drive either way, the less the further off.
        (0, 60, False, True, 59, 0.3 / 120 / 59), (30, 60, False, True, 59, 0.3 / 120 * exp(-0.5) / 59),
        # One that hardly moves counts as one that drives a km a day.
        (1, 0, False, True, 1, 0.3 / 2 * exp(-1)),
    ],
)  # fmt: skip
def test_another_vehicle_is_the_likelier_the_nearer_and_the_fewer_there_are(
    off: int, drive: int, exact: bool, alike: bool, among: int, likelihood: float
) -> None:
    other = OtherVehicle("V02", off * SCALE, drive * SCALE, exact, alike, among)
    guess = _of_other(other, SCALE)
    assert guess[:3] == ("another vehicle", "vehicle", "V02")
    assert guess.likelihood == pytest.approx(likelihood, rel=1e-12)


def test_the_likeliest_is_named_a_tie_by_kind_and_figure_and_each_other_counted_once() -> None:
    guesses = [
        _Guess("wrong digit", "reading", "90", 0.2), _Guess("digit lost", "reading", "81", 0.2),
        _Guess("digit lost", "reading", "80", 0.2), _Guess("date slip", "date", "80", 0.1),
        _Guess("digit added", "reading", "90", 0.0),
    ]  # fmt: skip
    assert _best(7, guesses) == Diagnosis(7, "digit lost", "reading", "80", 3, None)
    assert _best(7, [*guesses, _Guess("rollover", "reading", "100", 0.3)])[1:5] == ("rollover", "reading", "100", 4)
    assert _best(7, guesses[:1]) == Diagnosis(7, "wrong digit", "reading", "90", 0, None)
    assert _best(7, []) == Diagnosis(7, "none", None, None, 0, None)
