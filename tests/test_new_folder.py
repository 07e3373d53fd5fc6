"""`fleetreport new`: what it writes is accepted at once, knows every setting, and never touches what is there."""

import re
import subprocess
import sys
import tomllib
from datetime import date
from pathlib import Path

import pytest

from fleetreport.checking.fleet_check import check_fleet
from fleetreport.problem import CannotReadOrWrite, WrongCall
from fleetreport.settings.fleet_toml import Settings
from fleetreport.starting.new_folder import FILES, WRITTEN_FOR, as_argument, make_folder, starter_texts
from fleetreport.tables import BY_NAME
from fleetreport.week import make_week

SETTINGS = (FILES / "fleet.toml").read_text(encoding="utf-8")
# Settings that have no default to show.
EXAMPLES = {("workshop", "crews"), ("stock", "confirmed")}
TAKEN_IN = re.sub(r"^# (?=[a-z_]+ += |\[+[a-z])", "", SETTINGS, flags=re.MULTILINE)


def test_check_and_week_accept_it_at_once(tmp_path: Path) -> None:
    """Nothing to mend, nothing to look at, each vehicle judged, something to order."""
    today = date(2027, 2, 28)
    make_folder(tmp_path / "fleet", today)
    found = check_fleet(tmp_path / "fleet", today, tmp_path / "out")
    assert (found.findings.listed, found.notes) == ([], [])
    done = make_week(tmp_path / "fleet", today, tmp_path / "out")
    assert (done.vehicles, done.overdue, done.due, done.not_judged, done.set_aside, done.notes) == (2, 0, 1, 0, 0, [])
    assert len((tmp_path / "out/data/order.csv").read_text().splitlines()) == 2


def test_the_command_says_what_to_do_next(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "fleetreport", "new", "my fleet"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    )
    assert (tmp_path / "my fleet/vehicles.csv").is_file()
    assert "  fleetreport check 'my fleet'\n  fleetreport week 'my fleet'\n" in done.stdout
    assert "fleetreport check 'my fleet'" in (tmp_path / "my fleet/README.md").read_text()


def test_dates_move_with_the_day() -> None:
    """From 2026-11-25 to 2026-12-05 are ten days."""
    moved = starter_texts(Path("f"), date(2026, 12, 5))
    assert "V01,roadworthiness,2027-01-25" in moved["expiries.csv"]
    assert starter_texts(Path("f"), WRITTEN_FOR)["expiries.csv"] == (FILES / "expiries.csv").read_text()
    assert "`2026-11-25`" in moved["README.md"]


def test_a_folder_with_anything_in_it_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / ".hidden").write_text("mine")
    with pytest.raises(WrongCall, match=r"holds \.hidden, expected an empty one"):
        make_folder(tmp_path, WRITTEN_FOR)
    assert [path.name for path in tmp_path.iterdir()] == [".hidden"]


def test_an_empty_folder_is_used(tmp_path: Path) -> None:
    assert make_folder(tmp_path, WRITTEN_FOR) == sorted(path.name for path in FILES.iterdir())
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(path.name for path in FILES.iterdir())


def test_a_file_in_its_place_and_a_place_that_cannot_be(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(WrongCall, match="found a file"):
        make_folder(tmp_path / "file", WRITTEN_FOR)
    with pytest.raises(CannotReadOrWrite, match="Not a directory"):
        make_folder(tmp_path / "file" / "below", WRITTEN_FOR)


def test_a_file_that_appears_in_between_is_not_written_over(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("fleetreport.starting.new_folder._must_be_empty", lambda folder: None)
    (tmp_path / "items.csv").write_text("mine")
    with pytest.raises(WrongCall, match=r"items\.csv: found this file"):
        make_folder(tmp_path, WRITTEN_FOR)
    assert (tmp_path / "items.csv").read_text() == "mine"


def test_every_setting_stands_in_it_with_its_default() -> None:
    """With the # of each commented setting taken away it is still right, and holds every key there is."""
    found = tomllib.loads(TAKEN_IN)
    Settings.model_validate(found)
    as_default = Settings.model_validate({}).model_dump(mode="json")
    shown = Settings.model_validate(tomllib.loads(SETTINGS)).model_dump(mode="json")
    # Of the others the keys are a person's own, or there may be many of them.
    free = {"mail", "source", "wording"}
    assert set(found) >= set(as_default) - free
    for section in set(as_default) - free:
        assert set(found[section]) == set(as_default[section]), section
    # What is commented out shows its default, but for those that are examples.
    for section in ("week", "workshop", "meters", "stock", "outputs", "machine"):
        for key, value in found[section].items():
            is_example = (section, key) in EXAMPLES
            assert is_example or value in (as_default[section][key], shown[section][key]), (section, key)


def test_each_table_has_known_columns_and_is_explained() -> None:
    """A header, one to five rows, and a line in the README."""
    readme = (FILES / "README.md").read_text(encoding="utf-8")
    for path in FILES.iterdir():
        assert path.name == "README.md" or f"| `{path.name}` |" in readme
        if path.suffix == ".csv":
            header, *rows = path.read_text(encoding="utf-8").splitlines()
            assert set(header.split(",")) <= {column.name for column in BY_NAME[path.stem].columns}
            assert 1 <= len(rows) <= 5


@pytest.mark.parametrize(("path", "typed"), [("a/b-c", "a/b-c"), ("a b", "'a b'"), ("it's", "'it'\"'\"'s'")])
def test_a_path_is_typed_so_that_a_shell_takes_it_whole(path: str, typed: str) -> None:
    assert as_argument(Path(path)) == typed
    assert subprocess.run(["sh", "-c", f"printf %s {typed}"], capture_output=True, text=True, check=True).stdout == path
