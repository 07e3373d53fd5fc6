"""Solve small integer programmes exactly, one aim after the other, by SciPy's HiGHS.

All coefficients, bounds and answers are whole numbers, so that what the solver gives in floating point can be
rounded and checked in exact arithmetic: an answer that breaks a row is an error, never a result. Aims are
taken in order: the best of the first is kept while the second is bettered, and so on.

SciPy is slow to import, so it is imported when the first programme is solved. Knows nothing of packs or oils.
"""

import ctypes
import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import NamedTuple

# Beyond this a double no longer tells neighbouring whole numbers apart with the solver's tolerances.
LARGEST = 10**12
# What one aim may take, see `nodes_for`.
MOST_NODES = 20_000
EFFORT = 100_000_000

Sum = Mapping[int, int]  # variable number -> coefficient


class Row(NamedTuple):
    """A sum of variables that must lie between two bounds (None: no bound)."""

    terms: Sum
    least: int | None = None
    most: int | None = None

    def holds(self, values: Sequence[int]) -> bool:
        """Whether whole-number values obey the row."""
        found = value_of(self.terms, values)
        return (self.least is None or found >= self.least) and (self.most is None or found <= self.most)


def value_of(terms: Sum, values: Sequence[int]) -> int:
    """The sum at these values."""
    return sum(factor * values[at] for at, factor in terms.items())


def best_whole_numbers(bounds: Sequence[tuple[int, int]], rows: Sequence[Row], aims: Sequence[Sum]) -> list[int] | None:
    """Values within `bounds` (least, most) that obey `rows` and make each of `aims` least in turn.

    None where no values obey. Raises OverflowError for numbers too large to be solved exactly, ArithmeticError where
    the solver's answer does not stand in whole numbers, or nothing is proved within the effort allowed. That is counted
    in nodes, not in time, so that the same programme ends alike on any machine.
    """
    factors = (factor for terms in (*(row.terms for row in rows), *aims) for factor in terms.values())
    limits = (limit for pair in (*bounds, *(row[1:] for row in rows)) for limit in pair if limit is not None)
    if any(abs(number) > LARGEST for number in (*factors, *limits)):
        raise OverflowError("a number is too large for an exact answer")
    kept = list(rows)
    values: list[int] | None = None
    for aim in aims:
        found = _solve(bounds, kept, aim)
        if found is None and values is not None:
            # What met the earlier aims obeys the rows: the solver lost it to its own tolerances.
            raise ArithmeticError("the solver finds nothing where an answer is known")
        if found is None:
            return None
        values = found
        kept.append(Row(aim, None, value_of(aim, values)))
    return values


@contextmanager
def without_a_word() -> Iterator[None]:
    """Keep what HiGHS prints by itself, now and then a line meant for its makers, off the standard output."""
    try:
        kept = os.dup(1)
    except OSError:  # there is none
        yield
        return
    if sys.stdout:
        sys.stdout.flush()
    with Path(os.devnull).open("wb") as nowhere:
        os.dup2(nowhere.fileno(), 1)
        try:
            yield
        finally:
            # What C holds back would be printed later; where there is no such call, it will be.
            with suppress(AttributeError, OSError, TypeError):
                ctypes.CDLL(None).fflush(None)
            os.dup2(kept, 1)
            os.close(kept)


def nodes_for(variables: int, most: int, effort: int) -> int:
    """How many nodes a programme of so many variables may take: `most`, fewer the larger it is, and one in any case.

    What a node takes grows with the square of the variables; `effort` is the most of that times the nodes.
    """
    return max(1, min(most, effort // max(1, variables) ** 2))


def _solve(bounds: Sequence[tuple[int, int]], rows: Sequence[Row], aim: Sum) -> list[int] | None:
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csc_array

    cost = np.zeros(len(bounds))
    for at, factor in aim.items():
        cost[at] = factor
    entries = [(factor, line, at) for line, row in enumerate(rows) for at, factor in row.terms.items()]
    factors, lines, places = zip(*entries, strict=True) if entries else ((), (), ())
    matrix = csc_array((np.array(factors, dtype=float), (lines, places)), shape=(len(rows), len(bounds)))
    least = [-np.inf if row.least is None else row.least for row in rows]
    most = [np.inf if row.most is None else row.most for row in rows]
    with without_a_word():
        found = milp(
            cost,
            integrality=np.ones(len(bounds), dtype=np.int8),
            bounds=Bounds(np.array([low for low, _ in bounds]), np.array([high for _, high in bounds])),
            constraints=LinearConstraint(matrix, np.array(least), np.array(most)),
            options={"mip_rel_gap": 0, "node_limit": nodes_for(len(bounds), MOST_NODES, EFFORT)},
        )
    if found.status == 2:  # infeasible
        return None
    if found.status != 0 or found.x is None:
        raise ArithmeticError(f"the solver stopped: {found.message}")
    values = [round(value) for value in found.x]
    if not all(row.holds(values) for row in rows) or not _within(values, bounds):
        raise ArithmeticError("the solver's answer does not stand in whole numbers")
    return values


def _within(values: Sequence[int], bounds: Sequence[tuple[int, int]]) -> bool:
    return all(low <= value <= high for value, (low, high) in zip(values, bounds, strict=True))
