"""The plain arithmetic against published values; the source stands beside each check.

`(M)`: the value was noted from memory of the source, not read in it.
"""

from datetime import date
from pathlib import Path

import pytest
from plain_cells import add_months
from small_fleets import fleet_folder, one_vehicle, row_of, work

# Months


def test_months_stop_at_the_end_of_the_calendar() -> None:
    assert add_months(date(9999, 11, 30), 1) == date(9999, 12, 30)
    assert add_months(date(9999, 12, 1), 1) is None


def test_fixed_months_are_added_from_in_service(tmp_path: Path) -> None:
    """Month drift, standards.md 12.4: 31 Jan, 28 Feb, 31 Mar from the anchor, not 28 Mar."""
    fleet_folder(
        tmp_path,
        vehicles=one_vehicle("2026-01-31"),
        tasks="class,task,every_months,basis\nvan,check,1,fixed\nvan,drift,1,anchored",
        history="vehicle_id,done_on,task\nV01,2026-02-28,check\nV01,2026-02-28,drift",
    )
    worked = work(tmp_path, "2026-03-01")
    assert row_of(worked, "check").due_on == date(2026, 3, 31)
    assert row_of(worked, "drift").due_on == date(2026, 3, 28)


# Anchored and on time


# Calendars of law and follow-ups


@pytest.mark.parametrize(
    ("checks", "due_on"),
    [
        ([], "2024-04-08"),
        (["2024-03-01"], "2024-04-08"),
        (["2024-04-01"], None),
        (["2024-03-07"], "2024-04-08"),
        (["2024-03-08"], None),
        (["2024-03-01", "2024-03-20"], None),
        (["2024-03-20", "2024-04-02"], None),
    ],
)
def test_a_follow_up_is_met_from_the_day_of_its_parent(tmp_path: Path, checks: list[str], due_on: str | None) -> None:
    """By hand: the parent was done on 2024-03-01 and 2024-03-08; the follow-up falls due a month later."""
    checks_as_lines = "".join(f"\nV01,{day},retorque" for day in checks)
    fleet_folder(
        tmp_path,
        vehicles=one_vehicle(),
        tasks="class,task,after,first_months\nvan,wheel_off,,\nvan,retorque,wheel_off,1",
        history="vehicle_id,done_on,task\nV01,2024-03-01,wheel_off\nV01,2024-03-08,wheel_off" + checks_as_lines,
    )
    row = row_of(work(tmp_path, "2024-04-02", None), "retorque")
    assert row.due_on == (date.fromisoformat(due_on) if due_on else None)
    assert row.status == ("due" if due_on else "later")


@pytest.mark.parametrize(
    ("done", "due"),
    [
        (None, "2023-02-28"),
        ("2023-12-30", "2024-02-29"),
        ("2023-12-31", "2025-02-28"),
        ("2024-02-29", "2025-02-28"),
        ("2024-12-29", "2025-02-28"),
        ("2024-12-30", "2026-02-28"),
    ],
)
def test_every_year_on_29_february(tmp_path: Path, done: str | None, due: str) -> None:
    """By hand: 29 Feb 2024 less 60 days is 31 Dec 2023; 28 Feb 2025 less 60 days is 30 Dec 2024."""
    lines = f"\nV01,{done},tax" if done else ""
    fleet_folder(
        tmp_path,
        vehicles=one_vehicle("2022-02-28"),
        tasks="class,task,every_year_on\nvan,tax,02-29",
        history="vehicle_id,done_on,task" + lines,
    )
    row = row_of(work(tmp_path, "2025-01-10", None), "tax")
    assert (row.due_on, row.governed_by) == (date.fromisoformat(due), "date")
