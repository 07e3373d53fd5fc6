"""What several tests need: the project's folders, a week of the sample fleet made once, small fleets."""

import os
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from textwrap import dedent

import duckdb
import pytest
from hypothesis import settings
from simulated_fleet import LAST_DAY, LOOKS, simulated_fleet

from fleetreport.checking.fleet_check import write_faults
from fleetreport.query import (
    Query,
    beside_the_package,
    in_order,
    load_macros,
    load_queries,
    run_all,
)
from fleetreport.reading.rows import find_files
from fleetreport.settings.fleet_toml import read_settings
from fleetreport.storing.loading import keep, stage
from fleetreport.storing.store import begin_run, open_store
from fleetreport.trials.backtest import make_backtest
from fleetreport.week import PARTS, STEPS, make_week

# A busy machine fails no test.
settings.register_profile("untimed", deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "untimed"))

ROOT = Path(__file__).parent.parent
SAMPLE_FLEET = ROOT / "sample_fleet"
QUERIES = beside_the_package("queries")
ALL_QUERIES: list[Query] = load_queries(QUERIES)

# The folders of queries/ that only a backtest runs.
REPLAYED = ("hindsight", "replay", "backtest")
# Those that only `check` and `why` run, after the week's.
LOOKED_AT = ("check", "why")

RunOf = Callable[[Query], duckdb.DuckDBPyConnection]
WriteFleet = Callable[..., Path]


@pytest.fixture(scope="session")
def sample_week(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The published week of the sample fleet at 2026-11-25, with its database beside it as store.duckdb."""
    folder = tmp_path_factory.mktemp("sample")
    make_week(SAMPLE_FLEET, date(2026, 11, 25), folder / "out", folder / "store.duckdb")
    return folder / "out"


@pytest.fixture(scope="session")
def full_run(sample_week: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    """The database of the sample fleet's week, with every table that the queries made."""
    db = duckdb.connect(sample_week.parent / "store.duckdb", read_only=True)
    db.execute((QUERIES / "macros.sql").read_text(encoding="utf-8"))
    yield db
    db.close()


@pytest.fixture(scope="session")
def full_look(tmp_path_factory: pytest.TempPathFactory) -> Iterator[duckdb.DuckDBPyConnection]:
    """The database of the sample fleet's week with the tables of `check` and `why`."""
    settings = read_settings(SAMPLE_FLEET)
    db = open_store(tmp_path_factory.mktemp("look") / "store.duckdb", settings)
    keep(db, stage(db, find_files(SAMPLE_FLEET)[0], settings))
    begin_run(db, settings, date(2026, 11, 25), "sample")
    write_faults(db, [("unused", "notes.txt: this file belongs to no table and was not read")])
    load_macros(db, QUERIES)
    run_all(db, in_order([*load_queries(QUERIES, [*PARTS, *LOOKED_AT]), *STEPS]))
    yield db
    db.close()


@pytest.fixture(scope="session")
def full_backtest(tmp_path_factory: pytest.TempPathFactory) -> Iterator[duckdb.DuckDBPyConnection]:
    """The database of a backtest of the simulated fleet, with every table that the queries made."""
    folder = tmp_path_factory.mktemp("backtest")
    make_backtest(simulated_fleet(folder / "fleet"), LAST_DAY, folder / "out", folder / "store.duckdb", LOOKS)
    db = duckdb.connect(folder / "store.duckdb", read_only=True)
    db.execute((QUERIES / "macros.sql").read_text(encoding="utf-8"))
    yield db
    db.close()


@pytest.fixture
def run_of(request: pytest.FixtureRequest) -> RunOf:
    """The database in which a query's table and those it reads were made."""

    def made_in(query: Query) -> duckdb.DuckDBPyConnection:
        by_folder = {**dict.fromkeys(REPLAYED, "full_backtest"), **dict.fromkeys(LOOKED_AT, "full_look")}
        db: duckdb.DuckDBPyConnection = request.getfixturevalue(by_folder.get(query.folder, "full_run"))
        return db

    return made_in


@pytest.fixture
def write_fleet(tmp_path: Path) -> WriteFleet:
    """Write a fleet folder: `write_fleet(vehicles="...", tasks="...")`, each the text of a CSV file."""

    def write(**tables: str) -> Path:
        fleet = tmp_path / "fleet"
        fleet.mkdir(exist_ok=True)
        for name, text in tables.items():
            file = fleet / ("fleet.toml" if name == "settings" else f"{name}.csv")
            file.write_text(dedent(text).lstrip("\n"), encoding="utf-8")
        return fleet

    return write
