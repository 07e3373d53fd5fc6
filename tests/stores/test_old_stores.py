"""Stores that earlier versions made, opened by this one: they end as a new store of the same folder would."""

import gzip
import shutil
from pathlib import Path

import duckdb
import pytest
from test_incremental_load import load, tables_of

from fleetreport.storing import loading
from fleetreport.storing.store import SCHEMA_VERSION, schema_version

HERE = Path(__file__).parent
KEPT = sorted(HERE.glob("schema_*.duckdb.gz"))


@pytest.fixture(params=KEPT, ids=lambda path: path.name)
def old_store(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """A store as it was kept, and beside it the folder that it was made from."""
    shutil.copytree(HERE / "fleet", tmp_path / "fleet")
    (tmp_path / "old.duckdb").write_bytes(gzip.decompress(request.param.read_bytes()))
    return tmp_path / "old.duckdb"


def kept_version(store: Path) -> int:
    with duckdb.connect(store, read_only=True) as db:
        return schema_version(db)


def events_of(store: Path) -> list[tuple[object, ...]]:
    with duckdb.connect(store, read_only=True) as db:
        return db.execute('select file, "table", event, rows_read from load_log order by all').fetchall()


def test_a_store_of_this_schema_is_kept() -> None:
    """Once a schema version is released its store is kept: tests/stores/make_store.py."""
    assert f"schema_{SCHEMA_VERSION}.duckdb.gz" in {path.name for path in KEPT}
    assert sum(path.stat().st_size for path in KEPT) < 1_000_000


def test_the_tables_are_those_of_the_files(old_store: Path) -> None:
    fleet, fresh = old_store.parent / "fleet", old_store.parent / "fresh.duckdb"
    assert kept_version(old_store) <= SCHEMA_VERSION
    load(fleet, fresh)
    load(fleet, old_store)
    assert kept_version(old_store) == SCHEMA_VERSION
    assert tables_of(old_store) == tables_of(fresh)
    assert len(tables_of(old_store)["input_readings"]) == 20


def test_what_it_remembers_of_loads_stays(old_store: Path) -> None:
    """Not of an earlier schema, which is built anew."""
    before = events_of(old_store) if kept_version(old_store) == SCHEMA_VERSION else []
    load(old_store.parent / "fleet", old_store)
    after = events_of(old_store)
    assert [event for event in before if event not in after] == []
    assert after


def test_it_stays_as_it_was_where_the_run_fails(old_store: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before, version = events_of(old_store), kept_version(old_store)
    (old_store.parent / "fleet" / "expiries.csv").unlink(missing_ok=True)
    (old_store.parent / "fleet" / "history.csv").write_text("vehicle_id,done_on,task\nV1,2026-02-05,oil\n")

    def fail(db: duckdb.DuckDBPyConnection) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(loading, "_account", fail)
    with pytest.raises(KeyboardInterrupt):
        load(old_store.parent / "fleet", old_store)
    assert (events_of(old_store), kept_version(old_store)) == (before, version)
