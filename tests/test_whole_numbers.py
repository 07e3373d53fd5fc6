"""Answers of the integer solver are checked in whole numbers: an answer that breaks a row or a bound is an error."""

import ctypes
from types import SimpleNamespace

import pytest
import scipy.optimize

from fleetreport.items.whole_numbers import (
    EFFORT,
    LARGEST,
    MOST_NODES,
    Row,
    best_whole_numbers,
    nodes_for,
    without_a_word,
)


@pytest.mark.parametrize(
    ("least", "most", "value", "holds"),
    [
        (2, 5, 1, False), (2, 5, 2, True), (2, 5, 5, True), (2, 5, 6, False),
        (2, None, 1, False), (2, None, 9, True), (None, 5, 0, True), (None, 5, 6, False), (None, None, 7, True),
    ],
)  # fmt: skip
def test_a_row_holds_between_its_bounds(least: int | None, most: int | None, value: int, holds: bool) -> None:
    assert Row({1: 1}, least, most).holds([99, value]) is holds


def test_numbers_up_to_a_million_millions_are_solved_and_larger_ones_refused() -> None:
    assert LARGEST == 1_000_000_000_000
    assert best_whole_numbers([(0, LARGEST)], [Row({0: 1}, -LARGEST, LARGEST)], [{0: LARGEST}]) == [0]
    far = LARGEST + 1
    for bounds, rows, aim in (
        ([(0, far)], [], {0: 1}),
        ([(-far, 5)], [], {0: 1}),
        ([(0, 5)], [Row({0: far})], {0: 1}),
        ([(0, 5)], [Row({0: 1}, -far, None)], {0: 1}),
        ([(0, 5)], [Row({0: 1}, None, far)], {0: 1}),
        ([(0, 5)], [], {0: -far}),
    ):
        with pytest.raises(OverflowError):
            best_whole_numbers(bounds, rows, [aim])


@pytest.mark.parametrize("answer", [[1, 4], [4, 1], [-1, 6], [6, 0], [0, 0]])
def test_an_answer_of_the_solver_that_breaks_a_row_or_a_bound_is_an_error(
    answer: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    """At most 3 of the first, at most 3 of the second, 5 in all, each from 0 to 5: 2 and 3 is one that holds."""
    rows = [Row({0: 1}, None, 3), Row({1: 1}, None, 3), Row({0: 1, 1: 1}, 5, None)]
    bounds = [(0, 5), (0, 5)]
    found = best_whole_numbers(bounds, rows, [{0: 1}])
    assert found == [2, 3]
    monkeypatch.setattr(scipy.optimize, "milp", lambda *_, **__: SimpleNamespace(status=0, x=answer, message=""))
    with pytest.raises(ArithmeticError, match="does not stand in whole numbers"):
        best_whole_numbers(bounds, rows, [{0: 1}])


def test_an_answer_out_of_one_bound_alone_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(scipy.optimize, "milp", lambda *_, **__: SimpleNamespace(status=0, x=[2, 9], message=""))
    with pytest.raises(ArithmeticError):
        best_whole_numbers([(0, 5), (0, 5)], [], [{0: 1}])


def test_what_cannot_be_has_no_answer_and_a_solver_that_stops_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    assert best_whole_numbers([(0, 5)], [Row({0: 1}, 6, None)], [{0: 1}]) is None
    monkeypatch.setattr(scipy.optimize, "milp", lambda *_, **__: SimpleNamespace(status=1, x=None, message="time"))
    with pytest.raises(ArithmeticError, match="the solver stopped: time"):
        best_whole_numbers([(0, 5)], [], [{0: 1}])


def test_the_second_aim_is_bettered_only_where_the_first_stays_the_best() -> None:
    """At least 12 out of twos and threes, at the least sum: 4 threes are the fewest pieces, 6 twos the most."""
    rows = [Row({0: 2, 1: 3}, 12, None)]
    assert best_whole_numbers([(0, 9), (0, 9)], rows, [{0: 2, 1: 3}, {0: 1, 1: 1}]) == [0, 4]
    assert best_whole_numbers([(0, 9), (0, 9)], rows, [{0: 2, 1: 3}, {0: -1, 1: -1}]) == [6, 0]


def test_an_answer_on_its_bounds_stands() -> None:
    assert best_whole_numbers([(0, 5), (2, 9)], [Row({0: 1}, 5, None)], [{0: 1, 1: 1}]) == [5, 2]


def test_an_answer_that_is_not_proved_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    """At its limit of nodes the solver gives the best it has met."""
    monkeypatch.setattr(scipy.optimize, "milp", lambda *_, **__: SimpleNamespace(status=1, x=[3], message="nodes"))
    with pytest.raises(ArithmeticError, match="the solver stopped: nodes"):
        best_whole_numbers([(0, 5)], [], [{0: 1}])


def test_nodes_fall_with_the_square_of_the_variables() -> None:
    assert [nodes_for(variables, MOST_NODES, EFFORT) for variables in (0, 1, 70, 71, 100, 101, 10_000, 10_001)] == [
        20_000, 20_000, 20_000, 19_837, 10_000, 9_802, 1, 1,
    ]  # fmt: skip
    assert nodes_for(99, MOST_NODES, EFFORT) == 10_203


def test_what_the_solver_says_by_itself_is_not_the_programs_word(capfd: pytest.CaptureFixture[str]) -> None:
    """Written by C, as HiGHS does; what Python printed before stays, and what comes after is heard again."""
    print("before")
    with without_a_word():
        ctypes.CDLL(None).puts(b"a line for its makers")
    print("after")
    assert capfd.readouterr().out == "before\nafter\n"
