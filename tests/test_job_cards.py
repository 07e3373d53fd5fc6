"""Job cards: filled in and fed back as history they lose nothing; a card says what a card must say."""

import csv
from datetime import date
from pathlib import Path

import duckdb
import pytest
from conftest import WriteFleet

from fleetreport.languages.catalogues import ENGLISH, GERMAN
from fleetreport.pages.job_cards import cards_page
from fleetreport.tables import HISTORY
from fleetreport.week import make_week

AS_OF = date(2026, 11, 25)
FLEET = {
    "vehicles": """
        vehicle_id,title,class,depot,in_service_on,distance_unit,make,serial
        V1,"Van, 3.5 t",van,North,2024-01-10,km,Maker A,X1
        T1,,truck,North,2023-05-01,mi,,
        """,
    "tasks": """
        class,task,title,every_distance,every_months,first_distance,after,labour_hours,source,caution
        van,oil,Engine oil,20000,12,,,1.5,maker,Hot oil scalds.
        van,wheels,Wheels off,,12,,,1,own,
        van,nuts,Wheel nuts re-torqued,,,80,wheels,0.2,maker,
        truck,look,"Inspection, ""yearly"" one",,12,,,,law,
        """,
    "items": "item,title,unit,grade,needs,unit_cost\noil_a,Oil,L,5W-30,ACEA C3;SAE 5W-30,6\nwasher,Washer,piece,,,1\n",
    "task_items": "class,task,item,quantity\nvan,oil,oil_a,12.25\nvan,oil,washer,1\n",
    "readings": """
        vehicle_id,read_at,reading
        V1,2026-01-10,40000
        V1,2026-11-20,60000
        T1,2026-01-10,1000
        T1,2026-11-20,11000
        """,
}


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture
def fleet(write_fleet: WriteFleet) -> Path:
    return write_fleet(**FLEET)


def test_the_columns_are_those_of_the_history_table(fleet: Path, tmp_path: Path) -> None:
    make_week(fleet, AS_OF, tmp_path / "out")
    with (tmp_path / "out/jobcards.csv").open(encoding="utf-8", newline="") as file:
        assert next(csv.reader(file)) == [column.name for column in HISTORY.columns]


def test_filled_in_and_fed_back_nothing_is_lost(fleet: Path, tmp_path: Path) -> None:
    """A week's cards, filled in with awkward words, loaded by the next week's run as they are: every cell comes back,
    the work counts as done, its follow-up is due.
    """
    make_week(fleet, AS_OF, tmp_path / "out")
    filled = rows_of(tmp_path / "out/jobcards.csv")
    assert {(row["vehicle_id"], row["task"], row["item"]) for row in filled} == {
        ("V1", "oil", ""), ("V1", "oil", "oil_a"), ("V1", "oil", "washer"), ("V1", "wheels", ""), ("T1", "look", ""),
    }  # fmt: skip
    for number, row in enumerate(filled):
        row |= {"done_on": "2026-11-26", "odometer": {"V1": "60350", "T1": "11120"}[row["vehicle_id"]]}
        if not row["item"]:
            row |= {"labour_hours": "1.75", "condition": "soiled", "note": f'said "no", then; yes,\nline {number} é'}
            row |= {"done_by": "fitter, one", "verified_by": "=fitter 2", "still_open": "part" * (row["task"] == "oil")}
        elif row["item"] == "oil_a":
            row["below_mark"] = "0.75"
    (fleet / "history").mkdir()
    with (fleet / "history/week-48.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, filled[0])
        writer.writeheader()
        writer.writerows(filled)
    make_week(fleet, date(2026, 11, 27), tmp_path / "after", tmp_path / "store.duckdb")
    loads = {row["file"]: row for row in rows_of(tmp_path / "after/data/loads.csv")}["history/week-48.csv"]
    assert (loads["rows_read"], loads["rows_loaded"]) == (str(len(filled)), str(len(filled)))
    assert rows_of(tmp_path / "after/data/quarantine.csv") == []
    names = ", ".join(f'"{column.name}"' for column in HISTORY.columns)
    with duckdb.connect(tmp_path / "store.duckdb", read_only=True) as db:
        back = db.execute(f"select {names} from history order by line").fetchall()
    numbers = {"odometer", "quantity", "labour_hours", "below_mark"}
    for row, cells in zip(filled, back, strict=True):
        for (name, written), cell in zip(row.items(), cells, strict=True):
            if name in numbers and written:
                assert float(written) == float(cell)
            else:
                assert written == ("" if cell is None else str(cell)), name
    due = {(row["vehicle_id"], row["task"]): row for row in rows_of(tmp_path / "after/data/due.csv")}
    assert [due["V1", task]["last_done_on"] for task in ("oil", "wheels")] == ["2026-11-26", "2026-11-26"]
    assert due["T1", "look"]["last_done_on"] == "2026-11-26"
    open_now = rows_of(tmp_path / "after/data/followups.csv")
    assert sorted((row["vehicle_id"], row["kind"], row["task"]) for row in open_now) == [
        ("V1", "follow_up", "nuts"), ("V1", "part", "oil"),
    ]  # fmt: skip
    # Nothing is known of the level before, so the dip begins a stretch and is no use yet.
    assert rows_of(tmp_path / "after/data/fluid_stretches.csv") == []


def test_dips_of_two_cards_are_fluid_used_between_them(fleet: Path, tmp_path: Path) -> None:
    """Filled on 10 March at 43,800 km, 0.75 L below the mark on 20 November at 60,000 km: 0.75 / 16.2 a 1,000 km."""
    make_week(fleet, AS_OF, tmp_path / "out")
    card = next(row for row in rows_of(tmp_path / "out/jobcards.csv") if row["item"] == "oil_a")
    before = card | {"done_on": "2026-03-10", "odometer": "43800", "below_mark": "0.4"}
    after = card | {"done_on": "2026-11-20", "odometer": "60000", "below_mark": "0.75"}
    with (fleet / "history.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, card)
        writer.writeheader()
        writer.writerows([before, after])
    make_week(fleet, AS_OF, tmp_path / "after")
    (stretch,) = rows_of(tmp_path / "after/data/fluid_stretches.csv")
    assert (stretch["from_on"], stretch["dipped_on"], stretch["used"]) == ("2026-03-10", "2026-11-20", "0.75")
    assert float(stretch["run"]) == 16200
    assert float(stretch["used_per"]) == pytest.approx(0.75 / 16.2, abs=5e-4)
    (use,) = rows_of(tmp_path / "after/data/fluid_use.csv")
    assert (use["top_ups"], use["dips"], use["quantity"]) == ("0", "1", "0.75")


def test_a_card_says_which_part_is_short_and_comes_too_late(write_fleet: WriteFleet, tmp_path: Path) -> None:
    items = "item,title,unit,on_hand,lead_time_days\noil_a,Oil,L,10,5\nwasher,Washer,piece,4,5\n"
    fleet = write_fleet(**FLEET | {"items": items})
    make_week(fleet, AS_OF, tmp_path / "out")
    page = (tmp_path / "out/jobcards.html").read_text(encoding="utf-8")
    assert "2.25\u00a0L of <bdi>Oil</bdi> short by expected use" in page
    assert "ordered today it would come on 30\u00a0Nov\u00a02026, after this visit" in page
    assert "<bdi>Washer</bdi> short" not in page


def test_a_line_without_a_day_is_work_not_done_and_is_listed(fleet: Path, tmp_path: Path) -> None:
    make_week(fleet, AS_OF, tmp_path / "out")
    (fleet / "history.csv").write_bytes((tmp_path / "out/jobcards.csv").read_bytes())
    make_week(fleet, AS_OF, tmp_path / "after")
    assert {row["column"] for row in rows_of(tmp_path / "after/data/quarantine.csv")} == {"done_on"}
    due, before = ((tmp_path / name / "data/due.csv").read_text() for name in ("after", "out"))
    assert due == before


def test_a_card_says_what_a_card_must_say(fleet: Path, tmp_path: Path) -> None:
    make_week(fleet, AS_OF, tmp_path / "out")
    page = (tmp_path / "out/jobcards.html").read_text(encoding="utf-8")
    assert page.count("<article") == 2
    van, truck = sorted(page.split("<article")[1:], key=lambda card: "V1" not in card)
    for words in (
        "Odometer, km", "12.25&nbsp;L", "asks for", "Hot oil scalds.", "Torque", "Fill", "Levels dipped before",
        "Dip, L below mark",
        "none of the old ring left", "Run, let rest, dipped again", "with the vehicle on its wheels",
        "marked once tight", "Done", "Verified", "Wheel nuts re-torqued", "licensed", "never means safe",
    ):  # fmt: skip
        assert words in van, words
    assert "Odometer, mi" in truck
    assert "Levels dipped" not in truck
    assert truck.count("not given") == 4
    assert "without planned hours" in truck


def test_quantities_of_a_card_have_the_languages_marks(fleet: Path, tmp_path: Path) -> None:
    """All their decimals: 12.25 L in English, 12,25 in German (CLDR)."""
    make_week(fleet, AS_OF, tmp_path / "out", tmp_path / "store.duckdb")
    with duckdb.connect(tmp_path / "store.duckdb", read_only=True) as db:
        for words, shown, other in ((ENGLISH, "12.25", "12,25"), (GERMAN, "12,25", "12.25")):
            cards = cards_page(db, words)
            assert shown in cards
            assert other not in cards


def test_a_crew_gives_its_depot_hours(tmp_path: Path, write_fleet: WriteFleet) -> None:
    """5 people of 40 h, 20 h overtime, less 60 h of other duties are 160 h a week (SMRP 5.4.9; the numbers are ours).

    2 h of ready work are 0.01 weeks (0.0125); the weeks' visits stand against those hours.
    """
    crew = '[workshop.crews."North"]\npeople = 5\novertime = 20\nother_duties = 60\n'
    fleet = write_fleet(
        vehicles="vehicle_id,class,depot,in_service_on\nV1,van,North,2025-11-01\n",
        tasks="class,task,every_months,labour_hours\nvan,oil,12,2\n",
        settings=crew,
    )
    make_week(fleet, AS_OF, tmp_path / "out")
    (row,) = rows_of(tmp_path / "out/data/ready_backlog.csv")
    assert (row["ready_hours"], row["crew_hours_per_week"], row["backlog_weeks"]) == ("2.00", "160.00", "0.01")
    assert {row["hours_available"] for row in rows_of(tmp_path / "out/data/depot_weeks.csv")[1:]} == {"160.00"}


def test_visits_keep_to_availability_and_pairs_and_reach_half_a_year(tmp_path: Path, write_fleet: WriteFleet) -> None:
    """A class N1 vehicle's first test is due 4 years after first registration, then every 2 (Directive 2014/45/EU,
    art. 5): 2022-02-28 gives 2026-02-28, a Saturday; seen 24 weeks before, planned on the Friday. Two of a pair never
    on one day.
    """
    fleet = write_fleet(
        vehicles="vehicle_id,class,in_service_on\nN1,n1,2022-02-28\nN2,n1,2022-02-28\nN3,n1,2022-02-28\n",
        tasks="class,task,every_months,first_months,labour_hours,source\nn1,test,24,48,1,law\n",
        availability="vehicle_id,weekday\nN3,wed\n",
        pairs="vehicle_id,not_with\nN1,N2\n",
    )
    make_week(fleet, date(2025, 9, 15), tmp_path / "out")
    on = {row["vehicle_id"]: row["visit_on"] for row in rows_of(tmp_path / "out/data/visits.csv")}
    assert sorted((on["N1"], on["N2"])) == ["2026-02-26", "2026-02-27"]
    assert on["N3"] == "2026-02-25"


def test_no_hours_no_place_and_it_is_said(tmp_path: Path, write_fleet: WriteFleet) -> None:
    fleet = write_fleet(
        vehicles="vehicle_id,class,depot,in_service_on\nV1,van,North,2025-11-01\n",
        tasks="class,task,every_months,labour_hours\nvan,oil,12,2\n",
        settings='[workshop.hours_per_week]\n"North" = 0\n',
    )
    make_week(fleet, AS_OF, tmp_path / "out")
    assert rows_of(tmp_path / "out/data/visits.csv") == []
    assert [row["visit_on"] for row in rows_of(tmp_path / "out/data/visit_tasks.csv")] == [""]
    assert "No hours or days were found for 1\u00a0task" in (tmp_path / "out/week.html").read_text(encoding="utf-8")
