"""The largest believable set of readings: checked against trying every set, and its tie rule by hand."""

from itertools import combinations, pairwise

import duckdb
from hypothesis import given, settings
from hypothesis import strategies as st

from fleetreport.meters.believed import DAY, NOT_BELIEVED, lengths_by_value, lengths_looking_back, longest_chain
from fleetreport.query import beside_the_package, load_macros

MOST_PER_DAY = 200
HOUR = DAY // 24

# Coarse on purpose, so that ties, equal values and gains of exactly the most a day allows are common.
readings = st.lists(
    st.tuples(
        st.one_of(st.integers(0, 6).map(lambda day: day * DAY), st.integers(0, 120).map(lambda hour: hour * HOUR)),
        st.integers(0, 12).map(lambda step: step * 100),
    ),
    max_size=12,
).map(sorted)


def could_follow(earlier: tuple[int, int], later: tuple[int, int]) -> bool:
    """The contract's rule: 0 <= gain <= most per day * max(1, days apart)."""
    gain, apart = later[1] - earlier[1], later[0] - earlier[0]
    return gain >= 0 and gain * DAY <= MOST_PER_DAY * max(DAY, apart)


def believable(some: list[tuple[int, int]]) -> bool:
    return all(could_follow(earlier, later) for earlier, later in pairwise(some))


def best_of_all(some: list[tuple[int, int]]) -> list[int]:
    """By trying every set: the largest, of these the one whose last reading is the latest, then the last but one, and
    so on.
    """
    sets = (places for size in range(len(some) + 1) for places in combinations(range(len(some)), size))
    return list(max((p for p in sets if believable([some[at] for at in p])), key=lambda p: (len(p), p[::-1])))


@given(readings)
@settings(max_examples=400, deadline=None)
def test_no_larger_or_later_believable_set_exists(some: list[tuple[int, int]]) -> None:
    times, values = [time for time, _ in some], [value for _, value in some]
    assert longest_chain(times, values, MOST_PER_DAY) == best_of_all(some)


@given(readings)
@settings(max_examples=400, deadline=None)
def test_both_ways_to_the_largest_set_end_alike(some: list[tuple[int, int]]) -> None:
    times, values = [time for time, _ in some], [value for _, value in some]
    by_value = lengths_by_value(times, values, MOST_PER_DAY)
    assert lengths_looking_back(times, values, MOST_PER_DAY, len(some) ** 2) == by_value
    backwards = [-time for time in times[::-1]], [-value for value in values[::-1]], MOST_PER_DAY
    assert lengths_looking_back(*backwards, len(some) ** 2) == lengths_by_value(*backwards)


def test_looking_back_gives_up_where_each_reading_has_many_to_look_at() -> None:
    # The later half starts again from a little above the first reading: none of it can follow the rest.
    times = [day * DAY for day in range(400)]
    values = [0, *range(20_000, 59_800, 200), *range(1, 201)]
    assert lengths_looking_back(times, values, MOST_PER_DAY, 16 * len(times)) is None
    assert lengths_looking_back(times, values, MOST_PER_DAY, 400 * len(times)) == lengths_by_value(
        times, values, MOST_PER_DAY
    )
    # The first and the later half are 201 readings; the others between, 199.
    assert longest_chain(times, values, MOST_PER_DAY) == [0, *range(200, 400)]


def test_a_day_is_so_many_microseconds() -> None:
    assert DAY == 24 * 60 * 60 * 1_000_000


def test_one_wrong_reading_does_not_drag_the_right_ones_with_it() -> None:
    days = [day * DAY for day in range(6)]
    assert longest_chain(days, [100, 200, 30, 400, 500, 600], MOST_PER_DAY) == [0, 1, 3, 4, 5]
    assert longest_chain(days, [100, 200, 3000, 400, 500, 600], MOST_PER_DAY) == [0, 1, 3, 4, 5]


def test_of_two_equal_sets_the_one_that_ends_later_is_kept() -> None:
    days = [day * DAY for day in range(4)]
    assert longest_chain(days, [1000, 1100, 100, 200], MOST_PER_DAY) == [2, 3]


def test_several_readings_of_one_day_may_each_gain_what_a_day_allows() -> None:
    """The rule is between neighbours: 200 and 200 more on one day pass, though together they are more than a day
    allows.
    """
    assert longest_chain([0, HOUR, 2 * HOUR], [0, 200, 400], MOST_PER_DAY) == [0, 1, 2]
    assert longest_chain([0, 2 * HOUR], [0, 400], MOST_PER_DAY) == [1]


def test_nothing_gives_nothing() -> None:
    assert longest_chain([], [], MOST_PER_DAY) == []


def test_each_broken_meter_is_told_apart_and_what_is_left_out_of_it_kept() -> None:
    """By hand; of two sets alike in size the one with the later readings. V1's hours are no broken meter."""
    db = duckdb.connect()
    load_macros(db, beside_the_package("queries"))
    db.execute(
        "create table run as select 1500::decimal(18, 7) as most_km_per_day, 24::decimal(18, 7) as most_h_per_day"
    )
    db.execute(
        """create table readings_in_order (vehicle_id varchar, meter varchar, seq bigint, read_at timestamp,
            value decimal(18, 7))"""
    )
    meters = {
        ("V2", "odometer"): [1_000, 2_500, 2_400, 2_600],
        ("V2", "hours"): [10, 900, 12, 5, 20],
        ("V1", "hours"): [3, 2, 1],
        ("V1", "odometer"): [100, 50, 300],
    }
    for (vehicle, meter), values in meters.items():
        rows = [(vehicle, meter, at, f"2026-01-{at:02}", value) for at, value in enumerate(values, 1)]
        db.executemany("insert into readings_in_order values (?, ?, ?, ?, ?)", rows)
    db.execute("create table broken_meters (vehicle_id varchar, meter varchar)")
    db.executemany("insert into broken_meters values (?, ?)", [one for one in meters if one != ("V1", "hours")])
    NOT_BELIEVED.make(db)
    assert db.execute("from not_believed order by all").fetchall() == [
        ("V1", "odometer", 1), ("V2", "hours", 2), ("V2", "hours", 4), ("V2", "odometer", 2),
    ]  # fmt: skip
