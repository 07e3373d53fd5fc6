"""`fleetreport check`: everything wrong in one go, whatever is missing, the worst first."""

import csv
import os
import pty
import re
import subprocess
import sys
from collections import Counter
from datetime import date
from html.parser import HTMLParser
from pathlib import Path

import duckdb
import pytest
from conftest import ROOT, SAMPLE_FLEET, WriteFleet

from fleetreport.checking.check_report import Line, report_lines, summary, wrapped
from fleetreport.checking.fleet_check import Checked, check_fleet
from fleetreport.week import make_week

AS_OF = date(2026, 11, 25)
VEHICLES = """
    vehicle_id,class,in_service_on
    V1,van,2025-01-01
"""
TASKS = """
    class,task,every_months
    van,oil,12
"""


@pytest.fixture(scope="module")
def sample_check(tmp_path_factory: pytest.TempPathFactory) -> tuple[Checked, Path]:
    out = tmp_path_factory.mktemp("check") / "out"
    return check_fleet(SAMPLE_FLEET, AS_OF, out), out


def test_every_planted_fault_is_counted_once(sample_check: tuple[Checked, Path]) -> None:
    done, out = sample_check
    with (ROOT / "tests" / "planted_faults.csv").open(encoding="utf-8", newline="") as file:
        planted = Counter((f["file"], f["line"], f["column"], f["scope"]) for f in csv.DictReader(file))
    with (out / "data" / "check.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["is_to_mend"] == "true"]
    assert Counter((row["file"], row["line"], row["column"], row["kind"]) for row in rows) == planted
    assert done.findings.to_mend == sum(planted.values())
    assert (
        sum(finding.places for finding, _ in done.findings.listed) == done.findings.to_mend + done.findings.to_look_at
    )


def test_the_worst_stands_first_and_the_most_frequent_of_a_kind(sample_check: tuple[Checked, Path]) -> None:
    done, _ = sample_check
    kinds = [kind for kind, _ in done.findings.by_kind()]
    order = ["setting", "file", "row", "value", "reading", "wording", "price", "judged", "alike", "unused"]
    assert kinds == [kind for kind in order if kind in kinds]
    assert {"row", "value", "reading", "wording", "judged", "unused"} <= set(kinds)
    for _, some in done.findings.by_kind():
        counts = [finding.places for finding, _ in some]
        assert counts == sorted(counts, reverse=True)


def test_a_reading_comes_with_its_diagnosis_and_a_wording_with_its_nearest_task(
    sample_check: tuple[Checked, Path],
) -> None:
    text = "\n".join(line.text for line in report_lines(sample_check[0].findings))
    assert "A digit was probably lost: 147872 would fit." in text
    assert 'no rule reads "engin oyl chanegd"; nearest tasks: engine_oil (1)' in text
    assert 'no rule reads "Wash and grease"' in text


def test_the_page_stands_alone_and_says_what_the_text_says(sample_check: tuple[Checked, Path]) -> None:
    done, out = sample_check
    page = (out / "check.html").read_text(encoding="utf-8")
    tags: list[tuple[str, dict[str, str | None]]] = []

    class Reader(HTMLParser):
        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            tags.append((tag, dict(attrs)))

    Reader().feed(page)
    assert not {"script", "img", "link", "iframe"} & {tag for tag, _ in tags}
    assert all((value or "").startswith("#") for tag, attrs in tags for name, value in attrs.items() if name == "href")
    targets = {attrs.get("id") for _, attrs in tags}
    assert {(attrs["href"] or "")[1:] for tag, attrs in tags if tag == "a"} <= targets
    assert summary(done.findings).replace("\u00a0", " ") in page.replace("\u00a0", " ")
    assert len(re.findall(r'<th scope="row">', page)) == len(done.findings.listed)


def test_the_same_check_writes_the_same_bytes(sample_check: tuple[Checked, Path], tmp_path: Path) -> None:
    check_fleet(SAMPLE_FLEET, AS_OF, tmp_path / "out")
    for name in ("check.html", "data/check.csv"):
        assert (tmp_path / "out" / name).read_bytes() == (sample_check[1] / name).read_bytes()


def test_what_cannot_be_read_is_listed_and_the_rest_goes_on(write_fleet: WriteFleet, tmp_path: Path) -> None:
    fleet = write_fleet(
        settings='[fleet]\nnam = "x"\n[[wording]]\nwords = ["("]\n',
        tasks=TASKS,
        readings="""
            vehicle_id;read_at
        """,
        history="""
            vehicle_id,done_on,task
            V1,2026-02-30,oil
        """,
        items="""
            item,unit
            oil,L
        """,
    )
    (fleet / "meter_changes.csv").write_text("vehicle_id\n", encoding="utf-8")
    (fleet / "fuel.csv").write_text("a\n", encoding="utf-8")
    done = check_fleet(fleet, AS_OF, tmp_path / "out")
    found = [(one.kind, one.reason, place.file, place.line) for one, places in done.findings.listed for place in places]
    missing = "reading: found no column of this name, expected it in a readings table"
    assert ("file", missing, "readings.csv", 1) in found
    assert ("file", "found no such file, expected one in the fleet folder", "vehicles.csv", 0) in found
    assert len([one for one in found if one[0] == "file" and one[2] == "meter_changes.csv"]) == 2
    assert [one[2] for one in found if one[0] == "setting"] == ["fleet.toml"] * 2
    assert ("row", "expected a date such as 2026-11-25, not blank", "history.csv", 2) in found
    assert ("price", "no price: neither a unit cost nor a pack with a price", "items.csv", 2) in found
    assert ("unused", "this file belongs to no table and was not read", "fuel.csv", 0) in found
    assert [note.split(":")[0] for note in done.notes][1:] == ["vehicles"]
    assert "settings are the defaults" in done.notes[0]


def test_an_empty_folder_is_told_what_it_needs(tmp_path: Path) -> None:
    fleet = tmp_path / "fleet"
    fleet.mkdir()
    done = check_fleet(fleet, AS_OF, tmp_path / "out")
    assert [place.file for _, places in done.findings.listed for place in places] == ["tasks.csv", "vehicles.csv"]
    assert len(done.notes) == 2


def test_rows_are_not_blamed_for_a_vehicle_list_that_is_missing(write_fleet: WriteFleet, tmp_path: Path) -> None:
    fleet = write_fleet(tasks=TASKS, readings="vehicle_id,read_at,reading\nV1,2026-01-01,5\nV2,2026-01-01,5\n")
    done = check_fleet(fleet, AS_OF, tmp_path / "out")
    rows = [(one.reason, one.places) for one, _ in done.findings.listed if one.kind == "row"]
    assert rows == [("cannot be placed while no vehicle is known", 2)]


def run(fleet: Path, out: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "fleetreport", "check", fleet, "--as-of", "2026-11-25", "--out", out],
        capture_output=True, text=True, check=False, env={**os.environ, **environment},
    )  # fmt: skip


def test_a_clean_fleet_ends_with_0_and_one_to_mend_with_1(write_fleet: WriteFleet, tmp_path: Path) -> None:
    fleet = write_fleet(vehicles=VEHICLES, tasks=TASKS)
    done = run(fleet, tmp_path / "out")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("2026-11-25: nothing to mend and nothing to look at\n")
    # A line that no rule reads is there to be looked at.
    fleet = write_fleet(history="vehicle_id,done_on,description\nV1,2026-01-01,usual\n")
    assert run(fleet, tmp_path / "out").returncode == 0
    fleet = write_fleet(history="vehicle_id,done_on,task\nV1,in May,oil\n")
    done = run(fleet, tmp_path / "out")
    assert done.returncode == 1
    assert "history.csv:2: in May" in done.stdout
    assert "\x1b" not in done.stdout
    assert not (fleet / ".fleetreport").exists()


@pytest.mark.parametrize(("no_color", "has_colour"), [("", True), ("1", False)])
def test_a_terminal_gets_weight_unless_it_asks_for_none(
    write_fleet: WriteFleet, tmp_path: Path, no_color: str, has_colour: bool
) -> None:
    """NO_COLOR as no-color.org has it: set and not empty."""
    fleet = write_fleet(vehicles=VEHICLES, tasks=TASKS, history="vehicle_id,done_on,task\nV1,in May,oil\n")
    parent, child = pty.openpty()
    subprocess.run(
        [sys.executable, "-m", "fleetreport", "check", fleet, "--out", tmp_path / "out"],
        stdout=child, stderr=subprocess.DEVNULL, check=False, env={**os.environ, "NO_COLOR": no_color, "COLUMNS": "40"},
    )  # fmt: skip
    os.close(child)
    shown = os.read(parent, 100_000).decode()
    os.close(parent)
    assert ("\x1b[1m" in shown) is has_colour
    plain = re.sub(r"\x1b\[\d*m", "", shown).splitlines()
    assert [line for line in plain if len(line) > 40 and "/" not in line] == []


def test_long_lines_are_broken_at_blanks_and_indented() -> None:
    lines = list(wrapped([Line("place", "      " + "word " * 30)], 40))
    assert all(len(line.text) <= 40 for line in lines)
    assert all(line.text.startswith("        word") for line in lines[1:])
    assert " ".join(" ".join(line.text for line in lines).split()) == ("word " * 30).strip()


def test_ids_that_can_be_taken_for_one_another_are_told_with_both_places(
    write_fleet: WriteFleet, tmp_path: Path
) -> None:
    """Case, a no-break space, a zero-width space, a Cyrillic letter: each is a vehicle by itself, with its reading."""
    ids = ("AV 1", "av 1", "AV\u00a01", "AV\u200b 1", "\u0410V 1", "AV 2")
    rows = "".join(f"{one},van,2025-01-01\n" for one in ids)
    readings = "".join(f"{one},2026-11-0{day},{day}\n" for day, one in enumerate(ids, 1))
    fleet = write_fleet(
        vehicles=f"vehicle_id,class,in_service_on\n{rows}",
        tasks=TASKS,
        readings=f"vehicle_id,read_at,reading\n{readings}",
        history="vehicle_id,done_on,task\nA V1,2026-10-01,oil\n\u0410V\u00a02,2026-10-01,oil\n",
    )
    done = check_fleet(fleet, AS_OF, tmp_path / "out")
    told = {(place.line, one.reason.rpartition(" in ")[2], place.note)
            for one, places in done.findings.listed if one.kind == "alike" for place in places}  # fmt: skip
    first, unseen = 'the other is "AV 1" (vehicles.csv:2)', "characters that look alike or cannot be seen"
    assert told == {
        (3, "case", first),
        (4, "blanks", f"{first}; U+0020, U+00A0"),
        (5, unseen, f"{first}; U+200B"),
        (6, unseen, f"{first}; U+0041, U+0410"),
    }
    assert done.findings.to_mend == 2
    notes = [place.note for one, places in done.findings.listed if one.kind == "value" for place in places]
    assert notes == ["did you mean AV 1 or AV\u00a01?", "did you mean AV 2?"]
    week = make_week(fleet, AS_OF, tmp_path / "week")
    assert 'vehicles.csv:3: vehicle "av 1" and "AV 1" (vehicles.csv:2) differ only in case; each is kept by itself' in (
        week.notes
    )
    with duckdb.connect(fleet / ".fleetreport" / "store.duckdb", read_only=True) as db:
        read = db.execute("select vehicle_id, reading from readings order by 2").fetchall()
    assert read == [(one, day) for day, one in enumerate(ids, 1)]


def test_many_ids_that_are_alike_are_told_in_a_few_lines(write_fleet: WriteFleet, tmp_path: Path) -> None:
    rows = "".join(f"{one}{number},van,2025-01-01\n" for number in range(100, 120) for one in "Vv")
    fleet = write_fleet(vehicles=f"vehicle_id,class,in_service_on\n{rows}", tasks=TASKS)
    notes = [note for note in make_week(fleet, AS_OF, tmp_path / "week").notes if "vehicle" in note]
    assert len(notes) == 6
    assert notes[-1].startswith("15 more vehicles differ from another by so little")


NAMES = """
[workshop.hours_per_week]
"North yard" = 40
"Nort yard" = 40

[workshop.crews.Soth]
people = 2

[money.growth]
labour = 0.03
"*" = 0.02
fluid = 0.01
fluids = 0.01

[stock]
only_listed_for = ["oil",
  "oyl"]

[[stock.confirmed]]
item = "oil"
product = "a 10 "
said = "the maker"

[[stock.confirmed]]
item = "oil"
product = "A 11"
said = "the maker"

[[stock.confirmed]]
item = "oli"
product = "A 10"
said = "the maker"
"""


def test_names_in_settings_that_nobody_knows_are_told_as_other_faults_of_fleet_toml(
    write_fleet: WriteFleet, tmp_path: Path
) -> None:
    """By key and line, with what was probably meant; what is known is not told, nor are labour and all else (`*`)."""
    fleet = write_fleet(
        vehicles="vehicle_id,class,depot,in_service_on\nV1,van,North yard,2025-01-01\nV2,van,South,2025-01-01\n",
        tasks=TASKS,
        items="item,title,unit,kind\noil,Oil,L,fluid\n",
        packs="item,pack,size,price,supplier,product\noil,can,5,12,S,A 10\n",
    )
    (fleet / "fleet.toml").write_text(NAMES, encoding="utf-8")
    faults = [
        (4, 'workshop.hours_per_week.Nort yard: found "Nort yard", expected a depot that stands in vehicles '
            "(did you mean North yard?): it is not used"),
        (6, 'workshop.crews.Soth: found "Soth", expected a depot that stands in vehicles (did you mean South?): '
            "it is not used"),
        (13, 'money.growth.fluids: found "fluids", expected labour, * or a kind that stands in items '
             "(did you mean fluid?): it is not used"),
        (16, 'stock.only_listed_for 2: found "oyl", expected one that stands in items (did you mean oil?): '
             "it is not used"),
        (24, 'stock.confirmed 2: found item "oil", product "A 11", expected what stands in packs.csv '
             "(did you mean A 10?): it is not used"),
        (29, 'stock.confirmed 3: found item "oli", product "A 10", expected what stands in packs.csv '
             "(did you mean oil?): it is not used"),
    ]  # fmt: skip
    done = check_fleet(fleet, AS_OF, tmp_path / "out")
    listed = [
        (place.line, one.reason) for one, places in done.findings.listed if one.kind == "setting" for place in places
    ]
    assert sorted(listed) == faults
    assert done.notes == []
    notes = make_week(fleet, AS_OF, tmp_path / "week").notes
    assert [note for note in notes if "fleet.toml" in note] == [f"fleet.toml:{line}: {said}" for line, said in faults]
