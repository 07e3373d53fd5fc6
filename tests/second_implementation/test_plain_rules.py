"""The plain arithmetic against cases worked by hand from the contract and its clarifications."""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from plain_fleet import read_fleet
from plain_tasks import tasks_in_force
from small_fleets import fleet_folder, one_vehicle, row_of, work

# Due points, statuses and occurrences by hand


@pytest.mark.parametrize(
    ("done", "due"), [(1_000, 20_000), (14_999, 20_000), (15_000, 30_000), (24_900, 30_000), (26_000, 40_000)]
)
def test_fixed_steps(tmp_path: Path, done: int, due: int) -> None:
    """By hand from the contract: nearest step, a tie for the later, at least 1; due is the one after."""
    fleet_folder(
        tmp_path,
        vehicles=one_vehicle(),
        tasks="class,task,every_distance,basis\nvan,service,10000,fixed",
        history=f"vehicle_id,done_on,task,odometer\nV01,2020-02-01,service,{done}",
    )
    assert row_of(work(tmp_path, "2020-02-01"), "service").due_odometer == due


@pytest.mark.parametrize(("in_service", "due"), [("0", 10_000), ("10000", 20_000), ("9999.9", 10_000)])
def test_fixed_never_done(tmp_path: Path, in_service: str, due: int) -> None:
    tasks = "class,task,every_distance,basis\nvan,service,10000,fixed"
    fleet_folder(tmp_path, vehicles=one_vehicle("2020-01-01", in_service), tasks=tasks)
    assert row_of(work(tmp_path, "2020-01-01"), "service").due_odometer == due


@pytest.mark.parametrize(
    ("as_of", "status", "due_on", "left"),
    [
        ("2020-02-28", "later", "2020-04-10", 4_200),
        ("2020-03-01", "upcoming", "2020-04-10", 4_000),
        ("2020-04-03", "due", "2020-04-10", 700),
        ("2020-04-10", "due", "2020-04-10", 0),
        ("2020-04-11", "overdue", "2020-04-10", -100),
    ],
)
def test_statuses_of_a_steady_vehicle(tmp_path: Path, as_of: str, status: str, due_on: str, left: int) -> None:
    """By hand: 100 km a day from 0 on 2020-01-01, due at 10,000 km, which is day 100; horizon 40 days."""
    fleet_folder(
        tmp_path,
        toml="[week]\nhorizon_days = 40",
        vehicles=one_vehicle(),
        tasks="class,task,every_distance\nvan,service,10000",
        readings="vehicle_id,read_at,reading\nV01,2020-01-11,1000\nV01,2020-01-21,2000",
    )
    row = row_of(work(tmp_path, as_of), "service")
    assert (row.status, row.due_on) == (status, date.fromisoformat(due_on))
    assert row.distance_left == left
    assert row.late_by_pct == (Fraction(1) if status == "overdue" else None)


def test_passed_today_is_overdue_today(tmp_path: Path) -> None:
    """Clarification 15: left is -50 at 100 km a day, so ceil(-0.5) = 0 days: due on A, and overdue."""
    fleet_folder(
        tmp_path,
        vehicles=one_vehicle(),
        tasks="class,task,every_distance\nvan,service,950",
    )
    row = row_of(work(tmp_path, "2020-01-11"), "service")
    assert (row.status, row.due_on, row.days_left) == ("overdue", date(2020, 1, 11), 0)


@pytest.mark.parametrize(
    ("rate", "reading", "status", "due_on"),
    [
        ("0", 9_000, "later", None),
        ("0", 10_000, "due", "2020-03-01"),
        ("0", 10_001, "overdue", "2020-02-01"),
        (None, 9_000, "unknown", None),
        (None, 10_000, "unknown", None),
        (None, 10_001, "overdue", "2020-02-01"),
    ],
)
def test_standing_still_and_no_rate(
    tmp_path: Path, rate: str | None, reading: int, status: str, due_on: str | None
) -> None:
    """Contract and clarifications 6 and 15, by hand; the last reading is of 2020-02-01."""
    fleet_folder(
        tmp_path,
        vehicles=one_vehicle(),
        tasks="class,task,every_distance\nvan,service,10000",
        readings=f"vehicle_id,read_at,reading\nV01,2020-02-01,{reading}",
    )
    row = row_of(work(tmp_path, "2020-03-01", rate), "service")
    assert (row.status, row.due_on) == (status, date.fromisoformat(due_on) if due_on else None)


def test_unknown_beats_upcoming_but_not_due(tmp_path: Path) -> None:
    """By hand: hours are never read, so 500 h cannot be worked out; the months can."""
    fleet_folder(
        tmp_path,
        vehicles=one_vehicle(),
        tasks="class,task,every_months,every_hours\nvan,soon,6,500\nvan,now,3,500",
    )
    worked = work(tmp_path, "2020-03-28")
    assert (row_of(worked, "soon").status, row_of(worked, "soon").due_on) == ("unknown", date(2020, 7, 1))
    assert (row_of(worked, "now").status, row_of(worked, "now").governed_by) == ("due", "time")


def test_no_record(tmp_path: Path) -> None:
    """Contract: records from later than in service, never recorded: unknown; an expiry still counts."""
    fleet_folder(
        tmp_path,
        toml="[fleet]\nrecords_from = 2022-01-01",
        vehicles=one_vehicle(),
        tasks="class,task,every_months\nvan,service,6\nvan,test,12",
        expiries="vehicle_id,task,expires_on\nV01,test,2023-01-05\nV01,test,2022-01-05",
    )
    worked = work(tmp_path, "2023-01-01", None)
    assert (row_of(worked, "service").status, row_of(worked, "service").due_on) == ("unknown", None)
    assert (row_of(worked, "test").status, row_of(worked, "test").due_on) == ("due", date(2023, 1, 5))
    assert worked.occurrences["V01", "service"] == []
    assert worked.occurrences["V01", "test"] == [date(2023, 1, 5)]


def test_covers_in_a_chain_and_work_of_one_day(tmp_path: Path) -> None:
    """Contract: a covers b, b covers c, so a covers c. Lines of one day make one service."""
    fleet_folder(
        tmp_path,
        vehicles=one_vehicle(),
        tasks="class,task,every_distance,covers\nvan,a,40000,b\nvan,b,20000,c\nvan,c,10000,\n*,c,1,\n*,d,5000,",
        history="""vehicle_id,done_on,task,odometer,kind
        V01,2020-02-01,c,3000,
        V01,2020-02-01,a,3010,
        V01,2020-02-05,c,3400,top_up""",
    )
    worked = work(tmp_path, "2020-02-10")
    due = {task: row_of(worked, task).due_odometer for task in "abcd"}
    assert due == {"a": 43_010, "b": 23_010, "c": 13_010, "d": 5_000}


def test_occurrences_of_the_three_bases(tmp_path: Path) -> None:
    """By hand: 500 km a day from 0 on day 0, A is day 30, done at 10,500 km, the horizon ends on day 90.

    last_done 20,500 is day 41; fixed and anchored both count it for 10,000, and 20,000 is day 40.
    """
    fleet_folder(
        tmp_path,
        toml="[week]\nhorizon_days = 60",
        vehicles=one_vehicle(),
        tasks="""class,task,every_distance,basis
        van,last,10000,last_done
        van,fixed,10000,fixed
        van,anchored,10000,anchored""",
        readings="vehicle_id,read_at,reading\nV01,2020-01-21,10000\nV01,2020-01-31,15000",
        history="\n".join(
            ["vehicle_id,done_on,task,odometer"]
            + [f"V01,2020-01-22,{task},10500" for task in ("last", "fixed", "anchored")]
        ),
    )
    worked = work(tmp_path, "2020-01-31", "500")
    days = {
        task: [(day - date(2020, 1, 1)).days for day in worked.occurrences["V01", task]]
        for task in ("last", "fixed", "anchored")
    }
    assert days == {"last": [41, 61, 81], "fixed": [40, 60, 80], "anchored": [40, 60, 80]}


def test_own_cells_keep_their_own_unit(tmp_path: Path) -> None:
    """Clarification 7: a distance is in the unit of the row it stands in; 1 mi = 1.609344 km exactly."""
    fleet_folder(
        tmp_path,
        vehicles=one_vehicle("2020-01-01", ",severe"),
        tasks="class,task,every_distance,first_distance,distance_unit\nvan,service,10000,1000,mi",
        vehicle_tasks="vehicle_id,task,every_distance,severe_distance,distance_unit\nV01,service,9000,8000,km",
    )
    fleet = read_fleet(tmp_path)
    task = tasks_in_force(fleet, fleet.vehicles["V01"])["service"]
    assert task.interval["distance"] == 8000
    assert task.first["distance"] == Decimal("1609.344")


@pytest.mark.parametrize(("retired_on", "rows"), [("2020-03-01", 0), ("2020-03-02", 1), ("", 1)])
def test_retired_on_the_day_has_no_tasks(tmp_path: Path, retired_on: str, rows: int) -> None:
    tasks = "class,task,every_months\nvan,service,6"
    fleet_folder(tmp_path, vehicles=one_vehicle("2020-01-01", f"0,,{retired_on}"), tasks=tasks)
    assert len(work(tmp_path, "2020-03-01").due) == rows


@pytest.mark.parametrize(("done", "due_on"), [("2023-02-14", "2023-03-01"), ("2023-02-15", "2023-04-01")])
def test_fixed_months_half_way(tmp_path: Path, done: str, due_on: str) -> None:
    """By hand: 15 February is 14 days from 1 February and from 1 March; it counts for 1 March."""
    fleet_folder(
        tmp_path,
        vehicles=one_vehicle("2023-01-01"),
        tasks="class,task,every_months,basis\nvan,check,1,fixed",
        history=f"vehicle_id,done_on,task\nV01,{done},check",
    )
    assert row_of(work(tmp_path, "2023-02-20", None), "check").due_on == date.fromisoformat(due_on)


@pytest.mark.parametrize(("records_from", "due"), [("2022-01-01", 20_500), ("2020-01-01", 20_000)])
def test_anchored_from_the_first_service_on_record(tmp_path: Path, records_from: str, due: int) -> None:
    """Clarification 11 by hand: due at 10,000, done at 10,500; with records begun late it counts there."""
    fleet_folder(
        tmp_path,
        toml=f"[fleet]\nrecords_from = {records_from}",
        vehicles=one_vehicle(),
        tasks="class,task,every_distance,basis\nvan,service,10000,anchored",
        history="vehicle_id,done_on,task,odometer\nV01,2022-02-01,service,10500",
    )
    assert row_of(work(tmp_path, "2022-02-01"), "service").due_odometer == due


def test_a_later_expiry_comes_up_beside_the_interval(tmp_path: Path) -> None:
    """By hand: monthly from 2024-01-10; the expiry of 2024-02-20 comes up once, and the rhythm moves on."""
    fleet_folder(
        tmp_path,
        toml="[week]\nhorizon_days = 90",
        vehicles=one_vehicle("2023-12-10"),
        tasks="class,task,every_months\nvan,check,1",
        expiries="vehicle_id,task,expires_on\nV01,check,2024-02-20",
    )
    days = work(tmp_path, "2024-01-01", None).occurrences["V01", "check"]
    assert [day.isoformat() for day in days] == ["2024-01-10", "2024-02-10", "2024-02-20", "2024-03-20"]


def test_on_time_judges_own_services_with_a_trigger_only(tmp_path: Path) -> None:
    """By hand, records from 2023: the first service is not judged, nor one that covers.

    small, monthly: 2023-01-31 not judged, 2023-02-28 covered, 2023-04-05 is 8 d late, 10 % is 2.8 d.
    follow-up within a month of big: the same day is on time; the second finds nothing pending.
    """
    fleet_folder(
        tmp_path,
        toml="[fleet]\nrecords_from = 2023-01-01",
        vehicles=one_vehicle("2022-01-01", "0,,2023-03-01"),
        tasks="""class,task,every_months,covers,after,first_months
        van,small,1,,,
        van,big,12,small,,
        van,follow,,,big,1""",
        history="""vehicle_id,done_on,task
        V01,2023-01-31,small
        V01,2023-02-28,big
        V01,2023-02-28,follow
        V01,2023-03-02,follow
        V01,2023-04-05,small""",
    )
    assert work(tmp_path, "2023-04-05", None).on_time == {
        ("van", "2023-02"): (1, 1),
        ("van", "2023-04"): (1, 0),
    }
