"""`fleetreport why`: every sum that is written out adds up as written, and every figure is one of the run's."""

import re
from datetime import date, timedelta
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from pathlib import Path

import duckdb
import pytest
from conftest import SAMPLE_FLEET, WriteFleet
from dateutil.relativedelta import relativedelta

from fleetreport.problem import WrongCall
from fleetreport.why.explain import short_task_lines, task_lines, vehicle_lines
from fleetreport.why.sums import addition, carried, days_of, what_is_left
from fleetreport.why.why import why

AS_OF = date(2026, 11, 25)
N = r"(-?[\d,]+(?:\.\d+)?)"
UNIT = r"(?:km|mi|h)"
ADDITION = re.compile(rf"{N} {UNIT} \([^)]*\) \+ {N} {UNIT} = {N} {UNIT}")
LEFT = re.compile(rf"{N} {UNIT} - {N} {UNIT} now = {N} {UNIT} (left|past)")
DAYS = re.compile(rf"{N} {UNIT} ÷ {N} {UNIT} a day =(?: {N}, rounded up)? {N} days? → (\S+)")
CARRIED = re.compile(rf"{N} {UNIT} \+ {N} days? × {N} {UNIT} a day = {N} {UNIT}")
MONTHS = re.compile(r"(\d{4}-\d\d-\d\d) \([^)]*\) \+ (?:(\d+) × )?(\d+) months? = (\d{4}-\d\d-\d\d)")
MIX = re.compile(rf"([\d.]+) % × {N} {UNIT} a day")


def figure(text: str) -> Decimal:
    return Decimal(text.replace(",", ""))


def figures(*texts: str) -> list[Decimal]:
    return [figure(text) for text in texts]


@pytest.fixture(scope="module")
def explained(full_look: duckdb.DuckDBPyConnection) -> duckdb.DuckDBPyConnection:
    """The sample fleet with the tables of queries/why."""
    return full_look


@pytest.fixture(scope="module")
def told(explained: duckdb.DuckDBPyConnection) -> dict[tuple[str, str], str]:
    """The text of every vehicle and task, and of every vehicle under the task ''."""
    texts = {}
    for (vehicle,) in explained.execute("select vehicle_id from vehicles order by all").fetchall():
        texts[vehicle, ""] = "\n".join(line.text for line in vehicle_lines(explained, vehicle))
        list(short_task_lines(explained, vehicle))
    for vehicle, task in explained.execute("select vehicle_id, task from task_plan order by all").fetchall():
        texts[vehicle, task] = "\n".join(line.text for line in task_lines(explained, vehicle, task))
    return texts


def test_every_due_point_adds_up_as_written(told: dict[tuple[str, str], str]) -> None:
    sums = [figures(*found) for text in told.values() for found in ADDITION.findall(text)]
    assert len(sums) > 400
    assert [(a, b, c) for a, b, c in sums if a + b != c] == []


def test_what_is_left_adds_up_as_written(told: dict[tuple[str, str], str]) -> None:
    lefts = [found for text in told.values() for found in LEFT.findall(text)]
    assert len(lefts) > 400
    wrong = [one for one in lefts if figure(one[0]) - figure(one[1]) != figure(one[2])]
    assert wrong == []
    assert [one for one in lefts if (one[3] == "past") != (figure(one[2]) < 0)] == []


def test_the_days_follow_from_what_is_left_and_the_rate_as_written(told: dict[tuple[str, str], str]) -> None:
    found = [one for text in told.values() for one in DAYS.findall(text)]
    assert len(found) > 350
    for left, rate, quotient, days, day in found:
        exact = figure(left) / figure(rate)
        assert exact.to_integral_value(ROUND_CEILING) == figure(days), (left, rate, days)
        if quotient:
            places = Decimal(1).scaleb(-len(quotient.partition(".")[2]))
            assert exact.quantize(places, ROUND_HALF_UP) == figure(quotient)
        assert AS_OF + timedelta(int(figure(days))) == date.fromisoformat(day)


def test_months_lead_to_the_day_as_written(told: dict[tuple[str, str], str]) -> None:
    """Held to python-dateutil, which clamps to the month's end as the contract does."""
    found = [one for text in told.values() for one in MONTHS.findall(text)]
    assert len(found) > 600
    for start, steps, months, day in found:
        reached = date.fromisoformat(start) + relativedelta(months=int(steps or 1) * int(months))
        assert reached == date.fromisoformat(day), (start, steps, months)


def test_meters_are_carried_on_as_written(told: dict[tuple[str, str], str]) -> None:
    found = [figures(*one) for (_, task), text in told.items() if not task for one in CARRIED.findall(text)]
    assert len(found) > 50
    tenth = Decimal("0.1")
    wrong = [(a, n, r, b) for a, n, r, b in found if (a + n * r).quantize(tenth, ROUND_HALF_UP) != b]
    assert wrong == []


def test_the_parts_of_each_rate_add_up(explained: duckdb.DuckDBPyConnection) -> None:
    off = explained.execute(
        """select vehicle_id, meter, sum(weight), sum(weight * w.rate) * any_value(factor) - any_value(m.rate)
        from why_rate w join why_meters m using (vehicle_id, meter) group by all"""
    ).fetchall()
    assert len(off) > 50
    assert [one for one in off if abs(one[2] - 1) > 1e-9 or abs(one[3]) > 1e-6] == []


def test_every_figure_is_the_due_lists(explained: duckdb.DuckDBPyConnection) -> None:
    """What `why` names as due, left and day is what due_state holds, task by task."""
    due = explained.execute(
        """select vehicle_id, task, s.due_on, s.governed_by, p.falls_on, p.trigger
        from due_state s join why_points p using (vehicle_id, task) where p.governs"""
    ).fetchall()
    with_a_day = explained.execute("select count(*) from due_state where due_on is not null").fetchall()[0][0]
    assert len(due) == with_a_day > 800
    assert [one for one in due if one[2] != one[4] or one[3] != one[5]] == []
    off = explained.execute(
        """select * from why_points p join due_state s using (vehicle_id, task) join vehicles using (vehicle_id)
        where p.trigger = 'distance' and (abs(p.due_at - from_km(s.due_km, distance_unit)) > 1e-6
            or abs(p.left_over - from_km(s.km_left, distance_unit)) > 1e-6)"""
    ).fetchall()
    assert off == []


def test_what_is_counted_from_the_last_doing_starts_at_its_meter(explained: duckdb.DuckDBPyConnection) -> None:
    lost = explained.execute(
        """select vehicle_id, task, trigger from why_points p where counted_from = 'last done' and unit is not null
            and not exists (from why_last_meters m where m.vehicle_id = p.vehicle_id and m.task = p.task
                and m.meter = if(p.trigger = 'hours', 'hours', 'odometer') and abs(m.value - p.base) < 1e-6)"""
    ).fetchall()
    assert lost == []


def test_every_doing_has_its_lines(explained: duckdb.DuckDBPyConnection) -> None:
    lost = """select vehicle_id, task from last_done where done_on is not null
        except select vehicle_id, task from why_last_done"""
    assert explained.execute(lost).fetchall() == []


def test_places_named_are_where_it_stands(
    explained: duckdb.DuckDBPyConnection, told: dict[tuple[str, str], str]
) -> None:
    """The lines of the files say what the text says of them."""
    places = explained.execute(
        "select file, line, vehicle_id from why_meters union select file, line, vehicle_id from why_last_done"
    ).fetchall()
    assert len(places) > 700
    lines: dict[str, list[str]] = {}
    for file, line, vehicle in places:
        if file not in lines:
            lines[file] = (SAMPLE_FLEET / file).read_text(encoding="utf-8-sig").split("\n")
        assert vehicle in lines[file][line - 1].split(","), (file, line)


def test_a_covered_task_a_wording_and_a_rule_are_named(told: dict[tuple[str, str], str]) -> None:
    assert "as service_b covers service_a" in told["T03", "service_a"]
    assert "fit wording rule 1 (oil change" in told["L15", "engine_oil"]
    assert re.search(r"fleet\.toml:\d+\)", told["L15", "engine_oil"])
    assert "vehicle_tasks.csv:12 (this vehicle's own cells" in told["T03", "service_a"]
    assert "the meter was changed: its dial shows" in told["P06", ""]
    assert "A digit too many was probably written: 43666 would fit" in told["P06", ""]


@pytest.mark.parametrize(("vehicle", "task", "near"), [("L5", None, "L05"), ("l05", None, "L05"), ("V1", "oyl", "oil")])
def test_a_mistyped_name_gets_the_nearest(write_fleet: WriteFleet, vehicle: str, task: str | None, near: str) -> None:
    fleet = write_fleet(
        vehicles="""
            vehicle_id,class,in_service_on
            V1,van,2025-01-01
            L05,van,2025-01-01
            L15,van,2025-01-01
        """,
        tasks="""
            class,task,every_months
            van,oil,12
            van,brake_fluid,24
        """,
    )
    with pytest.raises(WrongCall) as stop:
        why(fleet, vehicle, task, AS_OF)
    assert f"did you mean {near}" in stop.value.help
    assert not (fleet / ".fleetreport").exists()


def test_interpolation_names_both_readings(write_fleet: WriteFleet) -> None:
    """Half-way in time between 10,000 km and 12,000 km: 11,000 km (straight line, by hand)."""
    fleet = write_fleet(
        vehicles="""
            vehicle_id,class,in_service_on
            V1,van,2026-01-01
        """,
        tasks="""
            class,task,every_distance
            van,oil,5000
        """,
        readings="""
            vehicle_id,read_at,reading
            V1,2026-03-01,10000
            V1,2026-03-21,12000
        """,
        history="""
            vehicle_id,done_on,task
            V1,2026-03-11,oil
        """,
    )
    text = "\n".join(line.text for line in why(fleet, "V1", "oil", date(2026, 3, 21)).lines)
    assert (
        "odometer then: 11,000 km, on the straight line from 10,000 km on 2026-03-01 (readings.csv:2) "
        "to 12,000 km on 2026-03-21 (readings.csv:3)"
    ) in text
    assert (
        "11,000 km (last done on 2026-03-11) + 5,000 km = 16,000 km; 16,000 km - 12,000 km now = 4,000 km left" in text
    )


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (addition(Decimal(40000), Decimal(15000), Decimal(55000), "km", "x"), "40,000 km (x) + 15,000 km = 55,000 km"),
        # 0.25 and 0.15 rounded to tenths (0.3 + 0.2) would not give 0.4.
        (addition(Decimal("0.25"), Decimal("0.15"), Decimal("0.4"), "h", "x"), "0.25 h (x) + 0.15 h = 0.40 h"),
        (what_is_left(Decimal(10), Decimal(12), Decimal(-2), "km"), "10 km - 12 km now = -2 km past"),
        (days_of(Decimal(1790), Decimal("216.4"), 9, "km"), "1,790 km ÷ 216.4 km a day = 8.3, rounded up 9 days"),
        (days_of(Decimal(100), Decimal(50), 2, "km"), "100 km ÷ 50.0 km a day = 2 days"),
        # 100 / 50.01 is just below 2; at one decimal the rate would read 50.0.
        (days_of(Decimal(150), Decimal("49.99"), 4, "km"), "150 km ÷ 49.99 km a day = 3.001, rounded up 4 days"),
        (days_of(Decimal(-150), Decimal(100), -1, "km"), "-150 km ÷ 100.0 km a day = -1.5, rounded up -1 day"),
        (carried(Decimal(52000), 6, Decimal("201.6666667"), Decimal("53210.0000002"), "km"),
         "52,000 km + 6 days × 201.67 km a day = 53,210.0 km"),
    ],
)  # fmt: skip
def test_sums_are_shown_with_as_many_decimals_as_they_need(text: str, expected: str) -> None:
    assert text == expected


def test_a_folder_without_vehicles_is_no_fleet(tmp_path: Path) -> None:
    with pytest.raises(WrongCall) as stop:
        why(tmp_path, "V1", None, AS_OF)
    assert "--fleet: found no vehicles table" in stop.value.messages[0]
