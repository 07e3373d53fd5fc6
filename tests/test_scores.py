"""The measures by which projections are judged, held to published values."""

import duckdb
import pytest
from conftest import QUERIES

from fleetreport.query import load_macros

# Quarterly beer production in Australia, megalitres, 1992 Q1 to 2007 Q4, and the ten quarters that followed.
BEER = [
    443, 410, 420, 532, 433, 421, 410, 512, 449, 381, 423, 531, 426, 408, 416, 520,
    409, 398, 398, 507, 432, 398, 406, 526, 428, 397, 403, 517, 435, 383, 424, 521,
    421, 402, 414, 500, 451, 380, 416, 492, 428, 408, 406, 506, 435, 380, 421, 490,
    435, 390, 412, 454, 416, 403, 408, 482, 438, 386, 405, 491, 427, 383, 394, 473,
]  # fmt: skip
FOLLOWED = [420, 390, 410, 488, 415, 398, 419, 488, 414, 374]


@pytest.fixture
def db() -> duckdb.DuckDBPyConnection:
    db = duckdb.connect()
    load_macros(db, QUERIES)
    return db


def test_pinball_loss_of_the_median_is_half_the_absolute_error(db: duckdb.DuckDBPyConnection) -> None:
    """By its definition (Koenker & Bassett 1978)."""
    found = db.execute("select pinball_loss(0.5, 100, 80), pinball_loss(0.5, 80, 100)").fetchone()
    assert found == (pytest.approx(10), pytest.approx(10))


def test_a_series_too_short_has_no_scale(db: duckdb.DuckDBPyConnection) -> None:
    assert db.execute("select naive_scale([5.0], 1), naive_scale([5.0, 8.0, 6.0], 1)").fetchone() == (None, 2.5)
