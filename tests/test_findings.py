"""The advisor of intervals: what its interval estimate leads to, and that it never goes beyond the maker."""

from decimal import Decimal
from itertools import product

import pytest

from fleetreport.record.findings import Intervals, advice, share_interval

NOW = Intervals(Decimal(10000), None, 12)
TWICE = Intervals(Decimal(20000), None, 24)


def test_the_interval_of_none_of_n() -> None:
    """1 - (alpha / 2) ^ (1 / n), by hand."""
    assert share_interval(0, 20, 0.95) == pytest.approx((0, 1 - 0.025 ** (1 / 20)), abs=2e-6)


def test_a_share_of_nothing_is_an_error() -> None:
    with pytest.raises(ValueError, match="n"):
        share_interval(0, 0)


def test_a_clean_record_of_seventeen_lets_it_run_longer_and_of_sixteen_does_not() -> None:
    """1 - 0.025 ^ (1 / n) falls below 0.2 at n = 17 (0.1951), not at 16 (0.2059)."""
    assert advice(17, 0, 0, NOW, TWICE) == ("longer", Intervals(Decimal(12500), None, 15))
    assert advice(16, 0, 0, NOW, TWICE).advice == "too few"


def test_what_comes_out_contaminated_should_run_shorter() -> None:
    """3 of 5: the lower limit is 0.1466 (0.147 in tables of Clopper and Pearson; from memory), above one in ten."""
    assert advice(5, 3, 3, NOW, NOW) == ("shorter", Intervals(Decimal(7500), None, 9))
    assert advice(5, 2, 2, NOW, NOW).advice == "too few"
    assert advice(40, 8, 2, NOW, TWICE).advice == "keep"


def test_the_makers_interval_is_the_limit() -> None:
    assert advice(100, 0, 0, NOW, Intervals(Decimal(11000), None, 12)).proposed == (Decimal(11000), None, 12)
    assert advice(100, 0, 0, NOW, NOW).advice == "at maker's limit"
    assert advice(100, 0, 0, NOW, Intervals(None, None, None)) == ("maker not given", None)
    assert advice(100, 0, 0, NOW, Intervals(Decimal(8000), None, None)) == (
        "beyond maker's limit", Intervals(Decimal(8000), None, 12),
    )  # fmt: skip


def test_no_proposal_is_ever_beyond_the_maker() -> None:
    lengths = (None, Decimal(3), Decimal(100), Decimal(9999))
    for of, soiled, bad in ((3, 0, 0), (20, 0, 0), (500, 1, 0), (20, 19, 15)):
        for now, most in product(product(lengths, repeat=2), repeat=2):
            maker = Intervals(most[0], most[1], None)
            found = advice(of, soiled, bad, Intervals(now[0], now[1], None), maker).proposed
            for proposed, limit in zip(found or (), maker, strict=False):
                assert proposed is None or limit is None or proposed <= limit
