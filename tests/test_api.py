"""The tables in Python: what `in Python` of the guides does not show (its examples are run by `test_guides.py`)."""

import subprocess
import sys
from datetime import date
from pathlib import Path

import duckdb
import pytest
from guide_blocks import GUIDE, write_files

import fleetreport
from fleetreport.storing.store import store_of


@pytest.fixture(scope="module")
def pocket(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("api")
    write_files(GUIDE / "worked_example.md", folder)
    return folder / "pocket"


def test_all_that_is_offered_is_there() -> None:
    assert set(fleetreport.__all__) <= set(dir(fleetreport))
    assert [name for name in fleetreport.__all__ if getattr(fleetreport, name) is None] == []
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        fleetreport.nothing  # noqa: B018
    assert (Path(fleetreport.__file__).parent / "py.typed").is_file()


@pytest.mark.parametrize(
    "call", ["import fleetreport", "import fleetreport.cli", "import fleetreport.commands.reports"]
)
def test_what_takes_long_comes_with_the_first_use(call: str) -> None:
    """So that --help and completion answer at once."""
    slow = (
        "duckdb",
        "numpy",
        "scipy",
        "matplotlib",
        "polars",
        "pyarrow",
        "openpyxl",
        "jinja2",
        "pydantic",
        "babel",
        "rich",
    )
    ask = f"{call}; import sys; print([name for name in {slow} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"


def test_a_fleet_is_open_until_it_is_closed_and_its_store_is_left_alone(pocket: Path) -> None:
    with fleetreport.load_fleet(str(pocket), date(2026, 6, 1)) as fleet:
        assert (fleet.as_of, fleet.settings.fleet.name, fleet.notes) == (date(2026, 6, 1), "Pocket fleet", [])
        due = fleet.due_list()
        frame = fleet.polars("due")
        arrow = fleet.arrow("due")
        assert len(due.fetchall()) == 12 == frame.height == arrow.num_rows
        assert due.columns == frame.columns == arrow.column_names
        assert {table.name for table in fleet.tables()} >= {"vehicles", "due", "forecast", "meter_now"}
        with pytest.raises(fleetreport.WrongCall) as wrong:
            fleet.table("dues")
        assert wrong.value.help == "did you mean due?"
        with pytest.raises(duckdb.Error, match="disabled"):
            fleet.sql(f"from '{pocket}/vehicles.csv'").fetchall()
    fleet.close()
    with pytest.raises(duckdb.Error):
        fleet.sql("select 1").fetchall()
    assert frame["task"].to_list()[0] == "coolant"
    assert not store_of(pocket).parent.exists()


@pytest.mark.parametrize(
    ("folder", "as_of", "kind", "said"),
    [
        ("nowhere", "2026-06-01", fleetreport.CannotReadOrWrite, "found no such folder"),
        ("", "June", fleetreport.WrongCall, 'as_of: found "June", expected a date such as 2026-11-25'),
        ("", "9999-12-31", fleetreport.WrongCall, 'as_of: found "9999-12-31", expected a date such as 2026-11-25'),
    ],
)
def test_what_is_wrong_is_said(pocket: Path, folder: str, as_of: str, kind: type[Exception], said: str) -> None:
    with pytest.raises(kind, match=said):
        fleetreport.load_fleet(pocket / folder, as_of)
