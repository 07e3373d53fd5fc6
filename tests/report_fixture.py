"""Fleets made up for the tests of the reports: the tables that the queries would hand over, figures in step.

`report_tables(vehicles)` works every row out of an invented vehicle (its daily distance, its last services),
so that due point, meter now, what is left, date and status agree with each other by plain arithmetic. Nothing
random and nothing measured: the same call gives the same rows.
"""

from datetime import date, timedelta
from decimal import Decimal
from math import ceil
from typing import NamedTuple

import duckdb

from fleetreport.workbooks.workshop_sheets import SHEETS, WorkshopSheet

AS_OF = date(2026, 11, 25)
DUE_DAYS, HORIZON_DAYS = 7, 56
DEPOTS = ("North yard", "Harbour", "Quarry road", "")
TENTH = Decimal("0.1")

TABLES = {
    "week_at_a_glance": """
        fleet_name varchar, as_of date, iso_week varchar, due_until date, horizon_until date, currency
        varchar, distance_unit varchar, stale_days integer, vehicles integer, vehicles_overdue integer, vehicles_due
        integer, tasks integer, tasks_overdue integer, tasks_due integer, tasks_upcoming integer,
        tasks_later integer, rows_read integer, rows_loaded integer,
        rows_repeated integer, rows_quarantined integer, values_quarantined integer,
        readings_quarantined integer, not_judged integer""",
    "due_list": """
        vehicle_id varchar, vehicle_title varchar, class varchar, depot varchar, cost_centre varchar,
        task varchar, task_title varchar, status varchar, governed_by varchar, due_on date, due_on_early
        date, due_on_late date, days_left integer, late_by_pct decimal(10,1), distance_unit varchar,
        due_odometer decimal(18,1), distance_left decimal(18,1), odometer_now decimal(18,1),
        last_done_odometer decimal(18,1), odometer_offset decimal(18,1), odometer_read_on date,
        due_hours decimal(18,1), hours_left decimal(18,1), hours_now decimal(18,1), last_done_hours
        decimal(18,1), hours_offset decimal(18,1), hours_read_on date, rate_per_day decimal(18,3),
        last_done_on date, refused_odometer decimal(18,7), refused_unit varchar, refused_hours
        decimal(18,7), interval_distance decimal(18,1), interval_months integer, interval_hours
        decimal(18,1), basis varchar, due_rule varchar, follows_task_title varchar, duty varchar,
        labour_hours decimal(10,2), source varchar, caution varchar""",
    "depot_summary": """
        depot varchar, vehicles integer, vehicles_overdue integer, vehicles_due integer, tasks_overdue
        integer, tasks_due integer, tasks_upcoming integer, labour_hours_overdue decimal(10,2),
        labour_hours_due decimal(10,2), labour_hours_per_week decimal(10,2)""",
    "not_judged": """
        vehicle_id varchar, vehicle_title varchar, depot varchar, task varchar, task_title varchar,
        reason varchar, meter varchar, last_reading_on date""",
    "stale_meters": """
        vehicle_id varchar, vehicle_title varchar, depot varchar, meter varchar, last_reading_on date,
        days_old integer, shown_now decimal(18,1), shown_now_low decimal(18,1), shown_now_high decimal(18,1),
        unit varchar, tasks_unsettled integer, tasks_hanging integer, worst integer""",
    "quarantine": """
        file varchar, line integer, "table" varchar, "column" varchar, "value" varchar, reason varchar,
        scope varchar, diagnosis varchar, suggested_value varchar, suggested_column varchar""",
    "suggested_meter_changes": """csv_line varchar, kind varchar, readings_settled integer""",
    "unmatched": """
        description varchar, lines integer, vehicles integer, cost decimal(18,2), labour_hours decimal(18,1),
        first_on date, last_on date, file varchar, line integer, nearest_tasks varchar, rule varchar""",
    "loads": """
        file varchar, "table" varchar, rows_read integer, rows_loaded integer, rows_repeated integer,
        rows_quarantined integer, columns_ignored varchar""",
    "depot_weeks": """
        depot varchar, iso_week varchar, week_starts_on date, is_full_plan boolean, visits bigint, tasks bigint,
        law_tasks bigint, late_tasks bigint, labour_hours decimal(18,2), hours_available decimal(18,2),
        visits_saved bigint, saved decimal(18,2), given_away decimal(18,2)""",
    "bulk_weeks": """
        item varchar, title varchar, kind varchar, iso_week varchar, from_day date, to_day date,
        litres decimal(18,2), planned decimal(18,2)""",
    "visits_summary": """
        visits bigint, visits_saved bigint, saved decimal(18,2), given_away decimal(18,2),
        plan_gap_pct decimal(9,2), unplaced bigint""",
    "dated_visits": """
        iso_week varchar, visit_on date, depot varchar, vehicle_id varchar, titles varchar""",
    "visit_limits": """
        vehicle_id varchar, not_with varchar, days varchar, visits bigint, next_on date, next_vehicle varchar""",
    "followups": """
        vehicle_id varchar, title varchar, depot varchar, kind varchar, task varchar, task_title varchar,
        item varchar, since_on date, age_days integer, due_on date, status varchar, km_since decimal(18,1),
        limit_km decimal(18,1), condition varchar, note varchar""",
    "ready_backlog": """
        depot varchar, ready_tasks bigint, ready_hours decimal(18,2), tasks_without_hours bigint,
        crew_hours_per_week decimal(18,2), backlog_weeks decimal(18,2)""",
    "notes": "turn integer, note varchar",
    "last_week": "iso_week varchar, as_of date",
    "since_last_week": """
        vehicle_id varchar, depot varchar, task varchar, title varchar, change varchar, status_before varchar,
        status varchar, due_on_before date, due_on date, done_on date, planned_on date, reason varchar""",
    "order_offers": """
        item varchar, title varchar, supplier varchar, pack varchar, min_count integer, product varchar,
        size decimal(18,7), unit varchar, price decimal(18,4), available integer, count bigint,
        to_order decimal(18,3), ask_first boolean""",
    "order_items": """
        item varchar, title varchar, unit varchar, needed decimal(18,3), planned decimal(18,3), unplanned decimal(18,3),
        safety decimal(18,3), on_hand decimal(18,3), on_order decimal(18,3), to_order decimal(18,3), until date,
        lead_time_days integer, arrives_on date, counted_on date, used_since decimal(18,3), is_overdrawn boolean,
        runs_out_on date, bought decimal(18,3), surplus decimal(18,3), short decimal(18,3), cost decimal(18,4),
        cost_one_size decimal(18,4), cost_listed decimal(18,4), cost_held decimal(18,4), cost_instead decimal(18,4),
        instead varchar, instead_is_listed boolean, is_measured boolean, wanted_by date, is_listed boolean,
        is_outlasted boolean, is_unproven boolean, works_lacking bigint, first_lacking_on date, method varchar,
        demand_class varchar,
        per_period double, error double, bar_error double, with_use integer, periods integer,
        economic_quantity decimal(18,1)""",
    "on_time": """
        class varchar, month varchar, done integer, on_time integer, on_time_pct decimal(5,1)""",
    "due": """
        vehicle_id varchar, task varchar, title varchar, status varchar, governed_by varchar, due_on
        date, days_left integer, due_odometer decimal(18,1), distance_left decimal(18,1), due_hours
        decimal(18,1), hours_left decimal(18,1), distance_unit varchar, last_done_on date,
        last_done_odometer decimal(18,1), odometer_now decimal(18,1), odometer_read_on date,
        rate_per_day decimal(18,3), due_on_early date, due_on_late date, late_by_pct decimal(10,1)""",
}


class Plan(NamedTuple):
    """One task of the made-up plan."""

    task: str
    title: str
    every_km: int | None = None
    every_hours: int | None = None
    months: int | None = None
    basis: str = "last_done"
    rule: str = "interval"
    source: str | None = "maker"
    labour: str | None = "1.0"
    caution: str | None = None
    after: str | None = None


PLAN = (
    Plan("engine_oil", "Engine oil and filter", every_km=20000, months=12, labour="1.2",
         caution="Used oil harms skin and water: gloves, and a drained-oil container."),
    Plan("brake_check", "Brake pads and discs, measured", every_km=30000, labour="1.5",
         caution="Support the vehicle on stands rated for it; never work under a jack alone."),
    Plan("brake_fluid", "Brake fluid", months=24, labour="0.8"),
    Plan("coolant", "Coolant", every_km=120000, months=60, basis="fixed"),
    Plan("tyre_rotation", "Tyre rotation", every_km=15000, basis="anchored", source="own", labour="0.7"),
    Plan("wheel_nuts", "Wheel nuts retightened", every_km=100, rule="follow_up", after="Wheel changed",
         source="own", labour="0.2"),
    Plan("inspection", "Yearly inspection", rule="expiry", source="law", labour="2.0"),
    Plan("winter_check", "Winter check", rule="every_year", source="own", labour="0.5"),
    Plan("lift_service", "Tail-lift service", every_hours=250, months=6, source="contract", labour="2.5"),
    Plan("cabin_filter", "Cabin filter", every_km=40000, months=24, source=None, labour=None),
)  # fmt: skip


def _order_item(number: int) -> dict[str, object]:
    needed, safety, on_hand = Decimal(12 + number), Decimal(2), Decimal(number)
    return {
        "item": f"oil_{number}", "title": f"Oil {number}", "unit": "L", "needed": needed, "planned": needed,
        "unplanned": Decimal(0), "safety": safety, "on_hand": on_hand, "on_order": Decimal(0),
        "to_order": needed + safety - on_hand, "until": AS_OF + timedelta(14), "lead_time_days": 7,
        "arrives_on": AS_OF + timedelta(7), "used_since": Decimal(0), "is_overdrawn": False, "works_lacking": 0,
    }  # fmt: skip


def _order_offer(number: int) -> dict[str, object]:
    return {
        "item": f"oil_{number}", "title": f"Oil {number}", "supplier": f"Supplier {number % 2}", "pack": "can_5L",
        "min_count": 1, "product": f"Product {number}", "size": Decimal(5), "unit": "L", "price": Decimal("18.90"),
        "count": 3, "to_order": Decimal(14), "ask_first": False,
    }  # fmt: skip


def report_tables(vehicles: int, unit: str = "km") -> duckdb.DuckDBPyConnection:
    """A database in memory holding every table the reports read, for a fleet of so many vehicles."""
    db = empty_tables()
    due_rows = [row for number in range(vehicles) for row in _tasks_of(number, unit)]
    listed = [row for row in due_rows if row["status"] in ("overdue", "due", "upcoming")]
    _insert(db, "due_list", listed)
    _insert(db, "due", [{**row, "title": row["task_title"]} for row in due_rows])
    _insert(db, "stale_meters", [_stale_meter(number) for number in range(0, vehicles, 7) if vehicles > 3])
    _insert(db, "not_judged", [_not_judged(number) for number in range(0, vehicles, 9) if vehicles > 3])
    _fill_record_tables(db, vehicles)
    _insert(db, "order_items", [_order_item(number) for number in range(min(vehicles, 4))])
    _insert(db, "order_offers", [_order_offer(number) for number in range(min(vehicles, 4))])
    db.execute(
        """insert into depot_summary
        select depot, count(distinct vehicle_id),
            count(distinct vehicle_id) filter (status = 'overdue'),
            count(distinct vehicle_id) filter (status = 'due'),
            count(*) filter (status = 'overdue'), count(*) filter (status = 'due'),
            count(*) filter (status = 'upcoming'),
            coalesce(sum(labour_hours) filter (status = 'overdue'), 0),
            coalesce(sum(labour_hours) filter (status = 'due'), 0),
            case when depot <> '' then 80 end
        from due_list group by depot"""
    )
    _fill_week(db, vehicles, unit)
    return db


# Tables of which the reports show every column in a sheet: made from the sheets' columns.
SQL_TYPES = {"text": "varchar", "long": "varchar", "status": "varchar", "date": "date", "count": "bigint"}
YES_OR_NO = {"over_limit", "late_only_met", "two_sided_met"}
SHOWN_WHOLE = {sheet.table: sheet for sheet in SHEETS if sheet.table not in TABLES}
KEYS = {"visit_tasks": "task varchar, occurrence_no bigint", "findings_by_year": "task varchar",
        "interval_findings": "task varchar", "fluid_use": "item varchar"}  # fmt: skip


def _whole_table(sheet: WorkshopSheet) -> str:
    columns = [
        f"{name} {'boolean' if name in YES_OR_NO else SQL_TYPES.get(column.kind, 'decimal(18,3)')}"
        for column, name in sheet.columns
    ]
    return ", ".join(columns + ([KEYS[sheet.table]] if sheet.table in KEYS else []))


TABLES |= {table: _whole_table(sheet) for table, sheet in SHOWN_WHOLE.items()}


def empty_tables() -> duckdb.DuckDBPyConnection:
    """The tables without a row."""
    db = duckdb.connect()
    for table, columns in TABLES.items():
        db.execute(f'create table "{table}" ({columns})')
    return db


def insert_week(db: duckdb.DuckDBPyConnection, fleet_name: str = "Example fleet", **counts: int) -> None:
    """One row into `week_at_a_glance`; counts not given are 0."""
    if db.execute("select count(*) from visits_summary").fetchall() == [(0,)]:
        db.execute("insert into visits_summary values (0, 0, 0, 0, null, 0)")
    names = [c[0] for c in db.execute("describe week_at_a_glance").fetchall()]
    fixed = {
        "fleet_name": fleet_name, "as_of": AS_OF, "iso_week": "2026-W48",
        "due_until": AS_OF + timedelta(DUE_DAYS), "horizon_until": AS_OF + timedelta(HORIZON_DAYS),
        "currency": "EUR", "distance_unit": "km", "stale_days": 35,
    }  # fmt: skip
    _insert(db, "week_at_a_glance", [{name: fixed.get(name, counts.get(name, 0)) for name in names}])


def _tasks_of(number: int, unit: str) -> list[dict[str, object]]:
    rows = [_due_row(number, index, plan, unit) for index, plan in enumerate(PLAN) if (number + index) % 4]
    return [row for row in rows if row["due_rule"] != "follow_up" or number % 5 == 2]


def _due_row(number: int, index: int, plan: Plan, unit: str) -> dict[str, object]:
    rate = Decimal(60 + number * 37 % 240)
    spread = 3 + number % 5
    odometer = Decimal(48_000 + number * 7_919 % 210_000)
    phase = Decimal((number * 31 + index * 17) % 109) / 100  # how far through its interval the task is
    offset = odometer - 4_200 if number % 11 == 5 else Decimal(0)
    row: dict[str, object] = {
        "vehicle_id": f"V-{number + 1:03d}", "vehicle_title": _vehicle_title(number), "class": _class(number),
        "depot": DEPOTS[number * 5 % 7 % 4], "cost_centre": f"CC-{10 + number % 4}", "task": plan.task,
        "task_title": plan.title, "distance_unit": unit, "odometer_now": odometer, "odometer_offset": offset,
        "odometer_read_on": AS_OF - timedelta(number % 9), "hours_offset": 0, "basis": plan.basis,
        "due_rule": plan.rule, "follows_task_title": plan.after,
        "duty": "severe" if number % 6 == 0 else "normal",
        "labour_hours": plan.labour, "source": plan.source, "caution": plan.caution,
        "interval_distance": plan.every_km, "interval_hours": plan.every_hours,
        "interval_months": plan.months,
    }  # fmt: skip
    days = int((1 - phase) * (plan.months or 12) * 30)
    if plan.every_km:
        row.update(_meter_due("distance", plan.every_km, odometer, rate, phase, spread))
    elif plan.every_hours:
        row.update(_meter_due("hours", plan.every_hours, Decimal(900 + number), Decimal("4.5"), phase, spread))
    else:
        governed = "date" if plan.rule != "interval" else "time"
        late = Decimal(-days * 100) / ((plan.months or 12) * 30) if days < 0 and plan.rule != "expiry" else None
        row.update(governed_by=governed, due_on=AS_OF + timedelta(days), days_left=days, late_by_pct=late)
    if plan.rule == "interval" and (number + index) % 13 == 0:
        row.update(last_done_on=None, last_done_odometer=None, last_done_hours=None)
    elif plan.rule != "expiry":
        row["last_done_on"] = AS_OF - timedelta(int(phase * (plan.months or 12) * 30) + 1)
    left = row.get("distance_left") or row.get("hours_left")
    row["status"] = _status(int(str(row["days_left"])), left is not None and Decimal(str(left)) < 0)
    return row


def _meter_due(meter: str, every: int, now: Decimal, rate: Decimal, phase: Decimal, spread: int) -> dict[str, object]:
    left = (every * (1 - phase)).quantize(TENTH)
    days = ceil(left / rate)
    due_on = AS_OF + timedelta(days)
    band = timedelta(abs(days) * spread // 20)
    row: dict[str, object] = {
        "governed_by": meter, "due_on": due_on, "days_left": days, "rate_per_day": rate,
        "due_on_early": due_on - band, "due_on_late": due_on + band,
        "late_by_pct": (-left * 100 / every).quantize(TENTH) if left < 0 else None,
    }  # fmt: skip
    if meter == "distance":
        return row | {
            "due_odometer": now + left,
            "distance_left": left,
            "last_done_odometer": now + left - every,
        }
    return row | {
        "due_hours": now + left, "hours_left": left, "hours_now": now, "last_done_hours": now + left - every,
        "hours_read_on": AS_OF - timedelta(3),
    }  # fmt: skip


def _status(days_left: int, past: bool) -> str:
    if past or days_left < 0:
        return "overdue"
    return "due" if days_left <= DUE_DAYS else "upcoming" if days_left <= HORIZON_DAYS else "later"


def _vehicle_title(number: int) -> str:
    kinds = ("Panel van, 3.5 t", "Box truck, 12 t", "Pick-up", "Minibus, 16 seats", "Tipper, 18 t")
    return f"{kinds[number % 5]} no. {number + 1}"


def _class(number: int) -> str:
    return ("van", "truck", "pick_up", "minibus", "tipper")[number % 5]


def _not_judged(number: int) -> dict[str, object]:
    reason = ("no record", "no reading", "no rate", "no plan")[number // 9 % 4]
    planned = reason != "no plan"
    return {
        "vehicle_id": f"V-{number + 1:03d}", "vehicle_title": _vehicle_title(number),
        "depot": DEPOTS[number * 5 % 7 % 4], "task": "coolant" if planned else None,
        "task_title": "Coolant" if planned else None, "reason": reason,
        "meter": "odometer" if reason in ("no reading", "no rate") else None,
        "last_reading_on": AS_OF - timedelta(90) if reason == "no rate" else None,
    }  # fmt: skip


def _stale_meter(number: int) -> dict[str, object]:
    days_old = 40 + number
    hours = number % 5 == 3
    now = Decimal(9_000 + number) if hours else Decimal(160_000 + 37 * number)
    return {
        "vehicle_id": f"V-{number + 1:03d}", "vehicle_title": _vehicle_title(number),
        "depot": DEPOTS[number * 5 % 7 % 4], "meter": "hours" if hours else "odometer",
        "last_reading_on": AS_OF - timedelta(days_old), "days_old": days_old, "shown_now": now,
        "shown_now_low": now - 5 * days_old, "shown_now_high": now + 7 * days_old, "unit": "h" if hours else "km",
        "tasks_unsettled": number % 3, "tasks_hanging": 1 + number % 4, "worst": number + 1,
    }  # fmt: skip


def _fill_record_tables(db: duckdb.DuckDBPyConnection, vehicles: int) -> None:
    if vehicles == 0:
        return
    aside = [
        (
            "readings/harbour.csv",
            118 + 7 * n,
            "readings",
            "reading",
            f"{84 + n}.120,5",
            f'found "{84 + n}.120,5", expected a number such as 84120.5',
            "row",
        )
        for n in range(4)
    ]
    aside += [
        (
            "history/2026.csv",
            40 + n,
            "history",
            "labour_cost",
            "12O.50",
            'found "12O.50", expected a number such as 120.50',
            "value",
        )
        for n in range(2)
    ]
    aside += [
        (
            "readings/north.csv",
            12 + n,
            "readings",
            "reading",
            str(910_000 + n),
            "gains 824,000 km in 3 days, more than 1,500 km a day",
            "reading",
            "One digit is probably wrong: 86000 would fit.",
            "86000",
            "reading",
        )
        for n in range(min(vehicles, 40))
    ]
    rows = [(*row, *[None] * (10 - len(row))) for row in aside]
    db.executemany("insert into quarantine values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", rows)
    if vehicles:
        line = "V-0001,2026-10-01,odometer,180000,0,km"
        db.execute("insert into suggested_meter_changes values (?, 'meter changed', 5)", [line])
    seen_on = AS_OF - timedelta(20)
    db.executemany("insert into unmatched values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", [
        (f"words {n}", 9 - n, 1 + n % 2, n * 12, n, seen_on, seen_on, "history/2026.csv", 40 + n,
         "engine_oil, air_filter" if n % 2 else None, "oil change" if n == 3 else None)
        for n in range(min(vehicles, 5))
    ])  # fmt: skip
    db.executemany("insert into loads values (?, ?, ?, ?, ?, ?, ?)", [
        ("vehicles.csv", "vehicles", vehicles, vehicles, 0, 0, ""),
        ("tasks.csv", "tasks", 61, 61, 0, 0, "every_km"),
        ("readings/harbour.csv", "readings", 14_600, 14_596, 0, 4, ""),
        ("readings/north.csv", "readings", 9_125, 8_760, 365, 0, "litres"),
        ("history/2026.csv", "history", 2_310, 2_310, 0, 0, ""),
    ])  # fmt: skip
    db.execute("insert into notes values (1, 'tasks.csv: columns that are not known and were not used: every_km')")
    _fill_visits(db, vehicles)
    _fill_on_time(db, vehicles)
    _fill_whole_tables(db)


def _fill_whole_tables(db: duckdb.DuckDBPyConnection) -> None:
    """Two rows each, the second of blanks but for what names it."""
    values = {"varchar": "=1+1", "date": AS_OF, "bigint": 3, "boolean": True}
    for table in SHOWN_WHOLE:
        typed = {name: kind.lower() for name, kind, *_ in db.execute(f"describe {table}").fetchall()}
        _insert(db, table, [{name: values.get(kind, Decimal("1.5")) for name, kind in typed.items()}, {}])


def _fill_visits(db: duckdb.DuckDBPyConnection, vehicles: int) -> None:
    weeks = [f"2026-W{w}" for w in range(48, 54)]
    rows: list[dict[str, object]] = [
        {"depot": depot, "iso_week": week, "is_full_plan": n < 5, "visits": n % 4, "tasks": n % 4 * 2,
         "late_tasks": n % 3,
         "labour_hours": 8 + n, "hours_available": 10 if depot else None, "visits_saved": 0}
        for depot in DEPOTS for n, week in enumerate(weeks)
    ]  # fmt: skip
    _insert(db, "depot_weeks", rows)
    fluids = [{"item": item, "title": title, "iso_week": week, "litres": litres + n}
              for item, title, litres in (("oil", "=Engine oil", 20), ("gear", "Gear oil", 3))
              for n, week in enumerate(weeks)]  # fmt: skip
    _insert(db, "bulk_weeks", fluids)
    db.execute("insert into visits_summary values (36, 12, 600, 41.5, 0.25, 1)")
    day = AS_OF - timedelta(15)
    nuts = {"vehicle_id": "V-001", "kind": "follow_up", "task": "wheel_nuts", "task_title": "Wheel nuts retightened",
            "item": "", "since_on": day, "age_days": 15, "status": "overdue", "km_since": 912,
            "limit_km": 80}  # fmt: skip
    lamp = {"vehicle_id": "V-002", "kind": "part", "task": "", "item": "lamp <left>", "since_on": day, "age_days": 15,
            "note": "ordered"}  # fmt: skip
    _insert(db, "followups", [nuts, lamp])
    db.execute("insert into ready_backlog values ('Harbour', 9, 42, 0, 40, 1.05), ('North yard', 8, 12, 2, 40, null)")
    db.execute("insert into last_week values ('2026-W47', ?)", [AS_OF - timedelta(7)])
    db.executemany("insert into since_last_week values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", [
        ("V-001", "Harbour", "t1", "Task <1>", "newly_overdue", "due", "overdue", day, day, None, day, None),
        ("V-002", "Harbour", "t1", "Task <1>", "newly_due", "upcoming", "due", day, day, None, None, None),
        ("V-003", "Harbour", "t1", "Task <1>", "slipped", "due", "due", day, day, None, day, None),
        ("V-003", "Harbour", "t2", "Task <2>", "done", "due", "later", day, day, day, day, None),
        ("V-004", "", "t1", "Task <1>", "dropped", "due", None, day, None, None, None, "retired"),
        ("V-005", "", "t1", "Task <1>", "still", "due", "due", day, day, None, None, None),
    ])  # fmt: skip
    if vehicles < 10:
        return
    later = AS_OF + timedelta(100)
    _insert(db, "dated_visits", [{"iso_week": "2027-W09", "visit_on": later, "depot": "Harbour", "vehicle_id": "V-003",
                                  "titles": "Yearly test"}])  # fmt: skip
    kept = [("V-001", "", "mon, 2026-12-03", 0, None, None), ("V-002", "V-003", "", 2, AS_OF, "V-003")]
    db.executemany("insert into visit_limits values (?, ?, ?, ?, ?, ?)", kept)


def _fill_on_time(db: duckdb.DuckDBPyConnection, vehicles: int) -> None:
    months = [f"2026-{m:02d}" for m in range(3, 12)]
    rows = [
        (_class(k), m, 10 + k, 10 + k - (i + k) % 4, round(100 * (10 + k - (i + k) % 4) / (10 + k), 1))
        for k in range(min(5, vehicles))
        for i, m in enumerate(months)
        if (i + k) % 8
    ]
    db.executemany("insert into on_time values (?, ?, ?, ?, ?)", rows)


def _fill_week(db: duckdb.DuckDBPyConnection, vehicles: int, unit: str) -> None:
    def count(query: str) -> int:
        found = db.execute(query).fetchone()
        assert found is not None
        return int(found[0])

    statuses = {
        s: count(f"select count(*) from due where status = '{s}'") for s in ("overdue", "due", "upcoming", "later")
    }
    late = {s: count(f"select count(distinct vehicle_id) from due where status = '{s}'") for s in ("overdue", "due")}
    sums = {
        c: count(f"select coalesce(sum({c}), 0) from loads")
        for c in ("rows_read", "rows_loaded", "rows_repeated", "rows_quarantined")
    }
    scopes = {s: count(f"select count(*) from quarantine where scope = '{s}'") for s in ("value", "reading")}
    insert_week(
        db, "Riverside Municipal Works", vehicles=vehicles, vehicles_overdue=late["overdue"],
        vehicles_due=late["due"], tasks=count("select count(*) from due"), tasks_overdue=statuses["overdue"],
        tasks_due=statuses["due"], tasks_upcoming=statuses["upcoming"], tasks_later=statuses["later"],
        not_judged=count("select count(*) from not_judged"), values_quarantined=scopes["value"],
        readings_quarantined=scopes["reading"], **sums,
    )  # fmt: skip
    db.execute("update week_at_a_glance set distance_unit = ?", [unit])


def _insert(db: duckdb.DuckDBPyConnection, table: str, rows: list[dict[str, object]]) -> None:
    names = [c[0] for c in db.execute(f'describe "{table}"').fetchall()]
    marks = "(" + ", ".join("?" * len(names)) + ")"
    for start in range(0, len(rows), 200):  # many rows a statement: a row each is slow
        block = rows[start : start + 200]
        values = [row.get(name) for row in block for name in names]
        db.execute(f'insert into "{table}" values {", ".join([marks] * len(block))}', values)
