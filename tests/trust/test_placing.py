"""What lies ready in an output folder that came from elsewhere takes nothing away outside it."""

import json
from pathlib import Path

import pytest

from fleetreport.placing import finish_placing
from fleetreport.problem import CannotReadOrWrite


@pytest.mark.parametrize(
    "listed",
    [
        json.dumps(["../kept.txt"]),
        json.dumps(["data/../../kept.txt"]),
        "ABSOLUTE",
        json.dumps([5]),
        "{}",
        "[",
        "[" * 99_999,
    ],
)
def test_a_list_that_we_did_not_write_takes_nothing_away(listed: str, tmp_path: Path) -> None:
    kept = tmp_path / "kept.txt"
    kept.write_text("mine")
    ready = tmp_path / "out" / ".ready-x"
    (ready / "reports").mkdir(parents=True)
    (ready / "outdated.json").write_text(json.dumps([str(kept)]) if listed == "ABSOLUTE" else listed)
    with pytest.raises(CannotReadOrWrite, match=r"\.ready-x: found reports that fleetreport did not make ready$"):
        finish_placing(tmp_path / "out")
    assert kept.read_text() == "mine"


def test_a_list_of_ours_takes_away_what_is_outdated(tmp_path: Path) -> None:
    ready = tmp_path / "out" / ".ready-x"
    (ready / "reports" / "data").mkdir(parents=True)
    (ready / "reports" / "week.html").write_text("new")
    (ready / "outdated.json").write_text(json.dumps(["data/old.csv", "data/never.csv"]))
    (tmp_path / "out" / "data").mkdir()
    (tmp_path / "out" / "data" / "old.csv").write_text("old")
    finish_placing(tmp_path / "out")
    left = sorted(path.relative_to(tmp_path / "out").as_posix() for path in (tmp_path / "out").rglob("*"))
    assert left == ["data", "week.html"]
