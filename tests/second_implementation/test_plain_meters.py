"""The plain meters: the chain against every subset, and cases worked by hand from the clarifications."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, time, timedelta
from decimal import Decimal
from itertools import combinations, pairwise
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st
from plain_fleet import MeterChange
from plain_meters import Meter, Reading, accumulated, constant_rate, could_follow, in_order, longest_chain
from small_fleets import fleet_folder, one_vehicle, work

KM_0 = Decimal(0)


def test_meter_change_and_the_reading_of_its_day() -> None:
    """Clarification 4 by hand: the old meter ends at 80,000, the new one starts at 100; a tie is old."""
    change = MeterChange("V01", "odometer", date(2024, 5, 10), Decimal(80_000), Decimal(100))
    on_the_scale: Callable[[str, int], Decimal] = lambda day, value: accumulated(  # noqa: E731
        Decimal(value), date.fromisoformat(day), [change]
    )
    assert on_the_scale("2024-05-09", 79_000) == 79_000
    assert on_the_scale("2024-05-10", 79_990) == 79_990
    assert on_the_scale("2024-05-10", 40_050) == 40_050
    assert on_the_scale("2024-05-10", 40_049) == 40_049 + 79_900
    assert on_the_scale("2024-05-11", 300) == 80_200


def test_meter_between_two_readings_is_cut_at_the_seventh_place() -> None:
    kept = [Reading(date(2024, 1, 1), None, Decimal(0)), Reading(date(2024, 1, 4), None, Decimal(200))]
    meter = Meter(kept, Decimal("1.5"))
    assert meter.at(date(2024, 1, 3)) == Decimal("133.3333333")
    assert meter.at(date(2023, 1, 1)) == 0
    assert meter.at(date(2024, 1, 6)) == 203


def test_constant_rate() -> None:
    start = date(2024, 1, 1)
    line = [Reading(start + timedelta(n), None, Decimal(216 * n)) for n in (0, 3, 30)]
    assert constant_rate(line) == 216
    assert constant_rate(line[:1]) is None
    assert constant_rate([*line, Reading(start + timedelta(31), None, Decimal(216 * 31 + 1))]) is None


readings_near_each_other = st.lists(
    st.builds(
        Reading,
        day=st.integers(0, 5).map(lambda n: date(2024, 1, 1) + timedelta(n)),
        clock=st.sampled_from([None, time(6), time(12), time(18)]),
        value=st.sampled_from([0, 50, 100, 150, 200, 250, 301, 500]).map(Decimal),
        line=st.integers(1, 3),
    ),
    max_size=12,
)


@settings(max_examples=150, deadline=None)
@given(readings_near_each_other)
def test_no_larger_set_and_no_later_one_exists(readings: list[Reading]) -> None:
    """Every subset is tried; of the largest, the one that ends latest, then its last but one, and so on."""
    ordered, most = in_order(readings), Decimal(100)
    places = range(len(ordered))
    follows = {(a, b) for b in places for a in range(b) if could_follow(ordered[a], ordered[b], most)}
    believable = [
        subset
        for size in range(len(ordered) + 1)
        for subset in combinations(places, size)
        if all(pair in follows for pair in pairwise(subset))
    ]
    best = max(believable, key=lambda subset: (len(subset), subset[::-1]))
    assert longest_chain(readings, most) == [ordered[place] for place in best]


def test_could_follow_is_not_transitive() -> None:
    """Three readings of one day, 100 km apart, at most 100 a day: the last could not follow the first."""
    first, middle, last = (Reading(date(2024, 1, 1), None, Decimal(n)) for n in (0, 100, 200))
    assert could_follow(first, middle, Decimal(100))
    assert could_follow(middle, last, Decimal(100))
    assert not could_follow(first, last, Decimal(100))
    assert longest_chain([last, middle, first], Decimal(100)) == [first, middle, last]


def test_days_apart_by_the_clock_a_day_without_a_time_from_midnight() -> None:
    """By hand: 36 h allow 2,250 km at 1,500 a day; from 00:00 to the next day's 18:00 it is 42 h: 2,625."""
    morning = Reading(date(2024, 1, 1), time(6), KM_0)
    no_time = Reading(date(2024, 1, 1), None, KM_0)
    evening = Reading(date(2024, 1, 2), time(18), Decimal(2250))
    assert could_follow(morning, evening, Decimal(1500))
    assert could_follow(no_time, replace(evening, value=Decimal(2625)), Decimal(1500))
    assert not could_follow(no_time, replace(evening, value=Decimal("2625.1")), Decimal(1500))


def test_repeated_rows_are_read_once_and_wrong_ones_are_named(tmp_path: Path) -> None:
    """Clarification 20: 1000 is 1000.0 and a blank unit is the vehicle's. The slip of a digit is refused."""
    fleet_folder(
        tmp_path,
        vehicles=one_vehicle(),
        tasks="class,task,every_months\nvan,service,6",
        readings="""vehicle_id,read_at,reading,unit
        V01,2020-01-11,1000,
        V01,2020-01-11,1000.0,km
        V01,2020-01-12,11000,
        V01,2020-01-13,1200,""",
    )
    worked = work(tmp_path, "2020-02-01")
    assert len(worked.kept["V01", "odometer"].kept) == 3
    assert worked.refused_readings == {("readings.csv", 4, "reading", "11000")}
