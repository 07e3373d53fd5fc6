"""Past weeks stay: what changed is told, a week run twice replaces itself, what is damaged is told and left out."""

import csv
import shutil
from datetime import date
from decimal import Decimal
from email import message_from_bytes
from email.message import EmailMessage
from email.policy import default
from pathlib import Path

import duckdb
import pytest
from conftest import SAMPLE_FLEET
from icalendar import Calendar
from test_week import files_of

from fleetreport.pages.frame import vehicle_page_path
from fleetreport.storing.past_weeks import bring_last_week, past_weeks
from fleetreport.week import make_week

VEHICLES = (
    "vehicle_id,class,in_service_on,retired_on\nV1,van,2026-01-01,\nV2,van,2026-01-01,\nV3,van,2026-01-01,{gone}\n"
)
TASKS = "class,task,title,every_months\nvan,oil,Oil,10\nvan,belt,Belt,11\nvan,wash,Wash,120\n"
FIRST, SECOND = date(2026, 11, 4), date(2026, 11, 11)


def changes(out: Path) -> dict[tuple[str, str], tuple[str, str]]:
    with (out / "data/since_last_week.csv").open(encoding="utf-8", newline="") as file:
        return {(r["vehicle_id"], r["task"]): (r["change"], r["reason"]) for r in csv.DictReader(file)}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a fleet, its store and two weeks.

    The oil of three vehicles is overdue in the first week; in the second V1's is done and V3 is retired.
    """
    folder = tmp_path_factory.mktemp("weeks")
    fleet = folder / "fleet"
    fleet.mkdir()
    (fleet / "vehicles.csv").write_text(VEHICLES.format(gone=""))
    (fleet / "tasks.csv").write_text(TASKS)
    make_week(fleet, FIRST, folder / "out", folder / "store.duckdb")
    (fleet / "history.csv").write_text("vehicle_id,done_on,task\nV1,2026-11-06,oil\n")
    (fleet / "vehicles.csv").write_text(VEHICLES.format(gone="2026-11-09"))
    make_week(fleet, SECOND, folder / "out", folder / "store.duckdb")
    return folder


@pytest.fixture
def two_weeks(made: Path, tmp_path: Path) -> Path:
    """The output folder of a copy of it, in `tmp_path`."""
    shutil.copytree(made, tmp_path, dirs_exist_ok=True)
    return tmp_path / "out"


def test_a_first_run_says_that_there_is_no_earlier_week(sample_week: Path) -> None:
    assert (
        "No earlier week is kept here, so there is nothing to compare with." in (sample_week / "week.html").read_text()
    )
    assert len((sample_week / "data/since_last_week.csv").read_text().splitlines()) == 1


def test_done_dropped_and_slipped_are_told_apart(two_weeks: Path) -> None:
    """By hand: in service 2026-01-01, so 10 months end on 2026-11-01 and 11 months on 2026-12-01."""
    found = changes(two_weeks)
    assert found[("V1", "oil")] == ("done", "")
    assert found[("V2", "oil")][0] in ("slipped", "still")
    assert found[("V3", "oil")] == ("dropped", "retired")
    assert ("V1", "wash") not in found
    page = (two_weeks / "week.html").read_text()
    assert "Since week 2026-W45" in page
    assert "The vehicle has been retired." in page


def test_past_weeks_stay_as_they_were_published(two_weeks: Path) -> None:
    kept = two_weeks / "weeks"
    assert sorted(path.name for path in kept.iterdir()) == ["2026-W45", "2026-W46"]
    newest, own = files_of(two_weeks), files_of(kept / "2026-W46")
    top = {name: data for name, data in newest.items() if not name.startswith("weeks/")}
    assert sorted(top) == sorted(own)
    assert [name for name in own if own[name] != top[name]] == ["index.html"]
    assert 'href="weeks/2026-W45/index.html"' in (two_weeks / "index.html").read_text()
    assert 'href="../2026-W45/index.html"' in (kept / "2026-W46/index.html").read_text()


def test_a_week_run_twice_replaces_itself_and_compares_with_the_week_before(two_weeks: Path, tmp_path: Path) -> None:
    """The vehicle that is gone by then leaves its page in the earlier week only."""
    before = files_of(two_weeks)
    gone = vehicle_page_path("V3")
    assert [name for name in before if name.endswith(gone)] == [f"weeks/2026-W45/{gone}"]
    make_week(tmp_path / "fleet", SECOND, two_weeks, tmp_path / "another.duckdb")
    assert files_of(two_weeks) == before


def test_a_vehicle_that_goes_within_the_week_leaves_no_page_in_it(two_weeks: Path, tmp_path: Path) -> None:
    mine = two_weeks / "vehicles" / "mine.html"
    mine.write_text("mine")
    (tmp_path / "fleet/vehicles.csv").write_text(VEHICLES.format(gone="2026-11-09").replace("V2,", "W2,"))
    make_week(tmp_path / "fleet", SECOND, two_weeks, tmp_path / "store.duckdb")
    for folder in (two_weeks, two_weeks / "weeks/2026-W46"):
        assert not (folder / vehicle_page_path("V2")).exists()
        assert (folder / vehicle_page_path("W2")).exists()
    assert mine.read_text() == "mine"
    assert changes(two_weeks)[("V2", "oil")] == ("dropped", "no vehicle")


def test_later_weeks_and_other_fleets_are_not_compared_with(two_weeks: Path) -> None:
    assert [week.iso_week for week in past_weeks(two_weeks, SECOND, "fleet")[0]] == ["2026-W45"]
    assert past_weeks(two_weeks, FIRST, "fleet") == ([], [])
    assert past_weeks(two_weeks, SECOND, "another") == ([], [])


@pytest.mark.parametrize(
    "damage",
    [
        "",
        "a,b\n1,2\n",
        'fleet_name,as_of\n"fleet\n',
        "\x00",
        "fleet_name,as_of\nfleet,soon\n",
        "fleet_name,as_of,vehicles,tasks_overdue,tasks_due\nfleet,2026-11-04,3\n",
    ],
)
def test_a_damaged_past_week_is_told_and_the_run_goes_on(two_weeks: Path, tmp_path: Path, damage: str) -> None:
    (two_weeks / "weeks/2026-W45/data/week_at_a_glance.csv").write_text(damage)
    done = make_week(tmp_path / "fleet", SECOND, two_weeks, tmp_path / "store.duckdb")
    assert [note for note in done.notes if "this past week cannot be read" in note]
    assert "nothing to compare with" in (two_weeks / "week.html").read_text()


HEADER = "vehicle_id,task,title,status,due_on,due_odometer,due_hours,last_done_on\n"


@pytest.mark.parametrize("damage", ["vehicle_id\nV1\n", "\xff\xfe", HEADER + "V1,oil,Oil,due,the 3rd,,,\n"])
def test_a_damaged_due_list_of_last_week_is_not_compared_with(two_weeks: Path, damage: str) -> None:
    (two_weeks / "weeks/2026-W45/data/due.csv").write_bytes(damage.encode("latin-1"))
    db = duckdb.connect()
    db.execute("begin")
    notes = bring_last_week(db, SECOND, past_weeks(two_weeks, SECOND, "fleet")[0])
    db.execute("commit")
    assert [note for note in notes if "due.csv: cannot be read" in note] == notes != []
    assert db.execute("from last_week").fetchall() == db.execute("from due_last_week").fetchall() == []


MONEY_FLEET = {
    "vehicles.csv": "vehicle_id,class,cost_centre,in_service_on,budget_per_year\n"
    "V1,van,north,2026-01-01,3650\nV2,van,south,2026-01-01,\n",
    "tasks.csv": "class,task,every_months,labour_hours,category\nvan,oil,2,1,oils\n",
    "fleet.toml": '[fleet]\nname = "fleet"\ncurrency = "EUR"\n[workshop]\nlabour_rate = {rate}\n'
    '[mail]\nforecast = ["a@fleet.example"]\n',
}


def money_week(folder: Path, day: date, rate: str) -> list[str]:
    fleet = folder / "money"
    fleet.mkdir(exist_ok=True)
    for name, text in MONEY_FLEET.items():
        (fleet / name).write_text(text.replace("{rate}", rate))
    return make_week(fleet, day, folder / "out", folder / "money.duckdb").notes


def sums(path: Path, months: set[str]) -> Decimal:
    with path.open(encoding="utf-8", newline="") as file:
        return sum((Decimal(row["total"]) for row in csv.DictReader(file) if row["month"] in months), Decimal(0))


def test_the_forecast_is_compared_with_that_of_a_month_ago(tmp_path: Path) -> None:
    """Labour went from 60 to 90 an hour; what moved is told on the page and in the letter.

    By hand: overdue work falls on the as-of date and comes again every two months. From 14 October that is six times
    within December to October (2 vans, 1 h at 60: 720), from 11 November five times (at 90: 900).

    The week before last lies closer than four weeks and is passed over.
    """
    out = tmp_path / "out"
    money_week(tmp_path, date(2026, 10, 14), "60.0")
    assert "No week that is at least four weeks old is kept here" in (out / "forecast.html").read_text()
    money_week(tmp_path, date(2026, 11, 4), "70.0")
    money_week(tmp_path, date(2026, 11, 11), "90.0")
    both = {f"2026-{month:02d}" for month in (12,)} | {f"2027-{month:02d}" for month in range(1, 11)}
    then, now = sums(out / "weeks/2026-W42/data/forecast.csv", both), sums(out / "data/forecast.csv", both)
    assert (then, now) == (720, 900)
    with (out / "data/moved_since_last_month.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [(row["level"], row["cost_centre"]) for row in rows] == [
        ("all", ""), ("cost centre", "north"), ("cost centre", "south"), ("line", "north"), ("line", "south"),
    ]  # fmt: skip
    assert [Decimal(row["change"]) for row in rows[:1]] == [now - then]
    assert sum(Decimal(row["change"]) for row in rows if row["level"] == "line") == now - then
    said = f"The months 2026-12 to 2027-10 are forecast at {now:,.0f} EUR, {now - then:,.0f} more than on 14 Oct 2026."
    assert said in (out / "forecast.html").read_text().replace("\u00a0", " ")
    letter = message_from_bytes((out / "mail/forecast.eml").read_bytes(), policy=default)
    assert isinstance(letter, EmailMessage)
    text = letter.get_body(("plain",))
    assert text is not None
    assert said in " ".join(text.get_content().split())


def test_a_damaged_forecast_of_last_month_is_told_and_not_compared_with(tmp_path: Path) -> None:
    money_week(tmp_path, date(2026, 10, 14), "60.0")
    (tmp_path / "out/weeks/2026-W42/data/forecast.csv").write_text("month,total\n2026-12,much\n")
    notes = money_week(tmp_path, date(2026, 11, 11), "60.0")
    assert [note for note in notes if "forecast.csv: cannot be read" in note]
    assert "there is no earlier month to compare with" in (tmp_path / "out/forecast.html").read_text()


def test_the_letter_says_what_changed(tmp_path: Path, two_weeks: Path) -> None:
    fleet = tmp_path / "fleet"
    (fleet / "fleet.toml").write_text('[fleet]\nname = "fleet"\n[mail]\nweek = ["a@fleet.example"]\n')
    make_week(fleet, SECOND, two_weeks, tmp_path / "store.duckdb")
    said = " ".join((two_weeks / "mail/week.eml").read_text().split())
    assert "Since 2026-W45:" in said.replace("=", "")


def test_the_sample_fleets_two_weeks_add_up(tmp_path: Path, sample_week: Path) -> None:
    """What was overdue or due then is told once, and so is what is now."""
    out = tmp_path / "out"
    shutil.copytree(sample_week / "weeks", out / "weeks")
    make_week(SAMPLE_FLEET, date(2026, 12, 2), out, tmp_path / "store.duckdb")
    with duckdb.connect(tmp_path / "store.duckdb", read_only=True) as db:
        at_hand = "status in ('overdue', 'due')"
        then = db.execute(f"select count(*) from due_last_week where {at_hand}").fetchall()[0][0]
        now = db.execute(f"select count(*) from due where {at_hand}").fetchall()[0][0]
        rows = db.execute("select change, status_before, status from since_last_week").fetchall()
    assert sum(before in ("overdue", "due") for _, before, _ in rows) == then > 50
    assert sum(status in ("overdue", "due") for _, _, status in rows) == now > 50


def test_a_calendar_moves_its_events_instead_of_doubling(tmp_path: Path) -> None:
    """The first task of a visit is done alone: what is left keeps the visit's UID, with a greater SEQUENCE (RFC 5545,
    3.8.7.4); a visit whose vehicle is gone comes as CANCELLED. Read by icalendar.
    """
    fleet, out = tmp_path / "fleet", tmp_path / "out"
    fleet.mkdir()
    (fleet / "vehicles.csv").write_text(
        "vehicle_id,class,in_service_on,retired_on\nV1,van,2026-01-01,\nV2,van,2026-01-01,{gone}\n".format(gone="")
    )
    (fleet / "tasks.csv").write_text("class,task,every_months\nvan,belt,120\nvan,air,11\nvan,oil,11\n")
    make_week(fleet, FIRST, out, tmp_path / "store.duckdb")
    before = {str(e["UID"]): e for e in Calendar.from_ical((out / "due.ics").read_bytes()).walk("VEVENT")}
    assert sorted(str(event["SUMMARY"]).partition(":")[0] for event in before.values()) == ["V1", "V2"]
    (fleet / "history.csv").write_text("vehicle_id,done_on,task\nV1,2026-11-09,air\n")
    (fleet / "vehicles.csv").write_text(
        "vehicle_id,class,in_service_on,retired_on\nV1,van,2026-01-01,\nV2,van,2026-01-01,2026-11-10\n"
    )
    make_week(fleet, SECOND, out, tmp_path / "store.duckdb")
    after = {str(e["UID"]): e for e in Calendar.from_ical((out / "due.ics").read_bytes()).walk("VEVENT")}
    assert set(after) == set(before)
    for uid, event in after.items():
        assert event["SEQUENCE"] > before[uid]["SEQUENCE"]
        gone = str(event["SUMMARY"]).startswith("V2")
        assert event["STATUS"] == ("CANCELLED" if gone else "TENTATIVE")
        assert ("Air" in str(event["SUMMARY"])) == gone


def test_without_an_earlier_week_its_tables_are_empty() -> None:
    db = duckdb.connect()
    assert bring_last_week(db, SECOND) == []
    for table in ("last_week", "due_last_week", "visits_last_week", "events_last_week"):
        assert db.execute(f"select count(*) from {table}").fetchall() == [(0,)]
