"""The plain arithmetic against published values; the source stands beside each check.

`(M)`: the value was noted from memory of the source, not read in it.
"""

from datetime import date, timedelta
from pathlib import Path

import pytest
from dateutil.relativedelta import relativedelta
from plain_cells import add_months
from small_fleets import fleet_folder, one_vehicle, row_of, work

# Months


@pytest.mark.parametrize("months", [1, 3, 6, 12, 18, 24, -1])
def test_months_as_dateutil_adds_them(months: int) -> None:
    """10,731 cases over all `months`, compared with python-dateutil 4.0.0 relativedelta."""
    first, last = date(2019, 12, 25), date(2024, 3, 5)
    days = [first + timedelta(n) for n in range((last - first).days + 1)]
    assert len(days) * 7 == 10_731
    assert [add_months(day, months) for day in days] == [day + relativedelta(months=months) for day in days]


def test_months_of_w3c_xml_schema_part_2_appendix_e() -> None:
    """The examples for adding durations to dateTimes, their date parts."""
    assert add_months(date(2000, 3, 31), 1) == date(2000, 4, 30)  # (2000-03-30 + P1D) + P1M
    after_a_month = add_months(date(2000, 3, 30), 1)
    assert after_a_month is not None
    assert after_a_month + timedelta(1) == date(2000, 5, 1)
    assert add_months(date(2000, 1, 1), -3) == date(1999, 10, 1)
    after_15_months = add_months(date(2000, 1, 12), 15)
    assert after_15_months is not None
    assert after_15_months + timedelta(5) == date(2001, 4, 17)


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


@pytest.mark.parametrize(
    ("done", "due", "on_time"),
    [(50_800, 60_000, 1), (49_000, 60_000, 1), (51_500, 61_500, 0), (48_900, 58_900, 1)],
)
def test_ten_per_cent_window(tmp_path: Path, done: int, due: int, on_time: int) -> None:
    """US Army AR 750-1, DA Pam 750-8: within 10 % counts as on schedule. Values: standards.md 2.1."""
    fleet_folder(
        tmp_path,
        vehicles=one_vehicle("2024-01-01", "40000"),
        tasks="class,task,every_distance,basis\nvan,service,10000,anchored",
        readings=f"vehicle_id,read_at,reading\nV01,2024-06-01,{done}",
        history=f"vehicle_id,done_on,task,odometer\nV01,2024-06-01,service,{done}",
    )
    worked = work(tmp_path, "2024-06-01")
    assert row_of(worked, "service").due_odometer == due
    assert worked.on_time == {("van", "2024-06"): (1, on_time)}


@pytest.mark.parametrize(("done", "due"), [(102, 200), (111, 211)])
def test_the_excess_over_100_hours_counts_in_the_next_100(tmp_path: Path, done: int, due: int) -> None:
    """US 14 CFR 91.409(b): up to 10 h over, and the excess counts in the next 100 h (standards.md 2.4)."""
    fleet_folder(
        tmp_path,
        vehicles=one_vehicle(),
        tasks="class,task,every_hours,basis\nvan,inspection,100,anchored",
        history=f"vehicle_id,done_on,task,hours\nV01,2020-03-01,inspection,{done}",
    )
    assert row_of(work(tmp_path, "2020-03-01", h_a_day="2"), "inspection").due_hours == due


def test_windows_stay_separate(tmp_path: Path) -> None:
    """PS Magazine 580 (standards.md 2.3): three due the same day, done 20 d late: two late, one on time."""
    fleet_folder(
        tmp_path,
        vehicles=one_vehicle("2024-01-15"),
        tasks="class,task,first_months,every_months,basis\n"
        + "\n".join(f"van,every_{m},{m},{m},anchored" for m in (3, 6, 12)),
        history="vehicle_id,done_on,task\n"
        + "\n".join(f"V01,{day},every_3" for day in ("2024-04-15", "2024-07-15", "2024-10-15"))
        + "\nV01,2024-07-15,every_6\n"
        + "\n".join(f"V01,2025-02-04,every_{m}" for m in (3, 6, 12)),
    )
    worked = work(tmp_path, "2025-02-10", None)
    assert worked.on_time["van", "2025-02"] == (3, 1)
    assert row_of(worked, "every_3").due_on == date(2025, 5, 4)
    assert row_of(worked, "every_12").due_on == date(2026, 1, 15)


def test_late_only_ten_per_cent_of_the_fta(tmp_path: Path) -> None:
    """FTA review practice, TCRP Synthesis 81 (2010) (M), standards.md 2.5: 8 of 10; 6,600 mi counts."""
    odometer, day, lines = 0, date(2020, 1, 1), []
    for gap in (5400, 5900, 6000, 6100, 6300, 6500, 6600, 6601, 7000, 5200):
        odometer, day = odometer + gap, day + timedelta(60)
        lines.append(f"V01,{day},inspection,{odometer},mi")
    fleet_folder(
        tmp_path,
        vehicles=one_vehicle(),
        tasks="class,task,every_distance,distance_unit\nvan,inspection,6000,mi",
        history="vehicle_id,done_on,task,odometer,unit\n" + "\n".join(lines),
    )
    on_time = work(tmp_path, "2022-01-01").on_time.values()
    assert (sum(done for done, _ in on_time), sum(good for _, good in on_time)) == (10, 8)


# Calendars of law and follow-ups


def test_first_and_later_roadworthiness_tests_of_eu_2014_45(tmp_path: Path) -> None:
    """Directive 2014/45/EU art. 5 (standards.md 1.12): N1 4 years, then 2; N2 yearly; 160 000 km once."""
    tasks = """class,task,first_months,every_months,first_distance
    van,n1_test,48,24,
    van,n2_test,12,12,
    van,early_test,,,160000"""
    fleet_folder(tmp_path, vehicles=one_vehicle("2022-02-28"), tasks=tasks)
    worked = work(tmp_path, "2022-03-01")
    assert row_of(worked, "n1_test").due_on == date(2026, 2, 28)
    assert row_of(worked, "n2_test").due_on == date(2023, 2, 28)
    assert row_of(worked, "early_test").due_odometer == 160_000
    history = "vehicle_id,done_on,task,odometer\nV01,2026-02-28,n1_test,\nV01,2026-02-28,early_test,155000"
    fleet_folder(tmp_path, history=history)
    worked = work(tmp_path, "2026-03-01")
    assert row_of(worked, "n1_test").due_on == date(2028, 2, 28)
    assert (row_of(worked, "early_test").status, row_of(worked, "early_test").due_on) == ("later", None)


@pytest.mark.parametrize(("odometer", "status"), [(80, "due"), (81, "overdue")])
def test_wheel_nuts_are_checked_again_within_80_km(tmp_path: Path, odometer: int, status: str) -> None:
    """SOE/IRTE advice, BS AU 50-2 s.7a quoted (standards.md 1.10): again after 40-80 km."""
    fleet_folder(
        tmp_path,
        vehicles=one_vehicle(),
        tasks="class,task,every_distance,after,first_distance\nvan,wheel_off,50000,,\nvan,retorque,,wheel_off,80",
        history="vehicle_id,done_on,task,odometer\nV01,2020-02-01,wheel_off,1000",
        readings=f"vehicle_id,read_at,reading\nV01,2020-02-02,{1000 + odometer}",
    )
    worked = work(tmp_path, "2020-02-02", "80")
    assert row_of(worked, "retorque").status == status
    assert row_of(worked, "retorque").due_odometer == 1080
    assert worked.occurrences["V01", "retorque"] == [date(2020, 2, 2)]


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
