"""The measures by which projections are judged, held to published values."""

import duckdb
import pytest
from conftest import QUERIES

from fleetreport.query import load_macros


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
