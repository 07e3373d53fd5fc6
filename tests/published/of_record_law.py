"""Duties to keep records and to test: US 49 CFR 396 and 580, 14 CFR 91.409, Great Britain's guide, EU 2014/45."""

from published.checks import READ, Source, in_case, sql
from published.fleets import due_of, due_row, status_of

CFR_396 = Source("US 49 CFR 396", READ)
CFR_91 = Source("US 14 CFR 91.409(b)", READ, "quoted")
EU_TESTS = Source("Directive 2014/45/EU, article 5", READ, "summary of the law")
GB_GUIDE = Source("Great Britain, Guide to maintaining roadworthiness", READ, "as told by others")
WHEELS = Source("SOE/IRTE advice on wheel nuts; BS AU 50-2 s. 7a", READ, "quoted")
KEPT = "work_record/how_long_a_record_is_kept"


@CFR_396.says("396.3(a)(2)", "2026-01-31 and 90 days", "2026-05-01")
def ninety_days() -> object:
    return sql("day_after(date '2026-01-31', 90)")


@CFR_396.says("396.3(a)(2)", "three months are another day", "2026-04-30")
def three_months() -> object:
    return sql("add_months(date '2026-01-31', 3)")


@CFR_396.says("396.3(b)(1)", "fields that identify a vehicle", "number, make, serial, year, tyre_size, owner")
def fields() -> object:
    return in_case("register_fields/missing_is_said", "field", vehicle_id="V1")


@CFR_396.says("396.3(b)(1)", "of these not given in the example, and said to be missing", "2")
def missing() -> int:
    gone = in_case("register_fields/missing_is_said", "is_missing", vehicle_id="V1")
    assert isinstance(gone, list)
    return sum(gone)


@CFR_396.says("396.3(c)", "record of 2025-03-10: kept a year", "2026-03-10")
def a_year() -> object:
    return in_case(KEPT, "keep_until", vehicle_id="V1", nature="Oil")


@CFR_396.says("396.3(c)", "the same, the vehicle gone on 2026-01-15: six months more", "2026-07-15")
def gone() -> object:
    return in_case(KEPT, "keep_until", vehicle_id="V2")


@CFR_396.says("396.21", "report of a yearly inspection of 2025-01-31: 14 months", "2026-03-31")
def report() -> object:
    return in_case(KEPT, "keep_report_until", nature="Test")


@GB_GUIDE.says("maintenance records", "15 months from 2025-01-31, at the month's end", "2026-04-30")
def fifteen_months() -> object:
    return in_case(KEPT, "keep_15_months_until", nature="Test")


@CFR_91.says("100-hour inspection", "done at 102 h: the excess counts, next at", "200")
def excess() -> object:
    return in_case("due_by_anchor/excess_counts_in_the_next_interval", "due_hours", vehicle_id="kept", service_no=2)


@CFR_91.says("100-hour inspection", "done at 111 h (a breach): counted from there", "211")
def breach() -> object:
    return in_case("due_by_anchor/excess_counts_in_the_next_interval", "due_hours", vehicle_id="broken", service_no=2)


TESTS = """class,task,first_months,every_months,first_distance
van,n1_test,48,24,
van,n2_test,12,12,
van,early_test,,,160000"""
REGISTERED = "vehicle_id,class,in_service_on\nV01,van,2022-02-28"


@EU_TESTS.says_each(
    "5(1)",
    "{0} registered on 2022-02-28: first test",
    [("n1_test", "2026-02-28"), ("n2_test", "2023-02-28")],
)
def first_test(task: str) -> object:
    return due_of("2022-03-01", task, vehicles=REGISTERED, tasks=TESTS)


@EU_TESTS.says_each(
    "5(1)",
    "{0} done on {1}: the next",
    [("n1_test", "2026-02-28", "2028-02-28"), ("n2_test", "2023-02-28", "2024-02-28")],
)
def next_test(task: str, done: str) -> object:
    return due_of(done, task, vehicles=REGISTERED, tasks=TESTS, history=f"vehicle_id,done_on,task\nV01,{done},{task}")


@EU_TESTS.says("5(4)(c)", "mileage at which a State may ask for an early test, km", "160000")
def early_test() -> object:
    return due_row("2022-03-01", "early_test", vehicles=REGISTERED, tasks=TESTS).due_odometer


@EU_TESTS.says_each(
    "5(4)(c)",
    "early test at {0} km on record {1}",
    [
        (100_000, "none", "later"),
        (160_000, "none", "due"),
        (160_001, "none", "overdue"),
        (161_500, "at 160500 km", "later"),
    ],
)
def early_status(odometer: int, done: str) -> str:
    history = "vehicle_id,done_on,task,odometer"
    if done != "none":
        history += "\nV01,2023-05-01,early_test,160500"
    return status_of(
        "2023-06-01", "early_test", vehicles=REGISTERED, tasks=TESTS, history=history,
        readings=f"vehicle_id,read_at,reading\nV01,2023-05-31,{odometer}\nV01,2023-06-01,{odometer}",
    )  # fmt: skip


@EU_TESTS.says("5(4)(c)", "early test done at 160,500 km: no second one, the yearly test goes on", "none, 2024-02-28")
def after_the_early_test() -> list[object]:
    tables = {
        "vehicles": REGISTERED,
        "tasks": TESTS,
        "history": "vehicle_id,done_on,task,odometer\nV01,2023-05-01,early_test,160500\nV01,2023-02-28,n2_test,150000",
    }
    return [due_row("2023-06-01", task, **tables).due_on for task in ("early_test", "n2_test")]


@WHEELS.says_each("40 to 80 km", "wheels off at 1,000 km, dial at {0}", [(1080, "due"), (1081, "overdue")])
def wheel_nuts(odometer: int) -> str:
    return status_of(
        "2020-02-02",
        "retorque",
        vehicles="vehicle_id,class,in_service_on\nV01,van,2020-01-01",
        tasks="class,task,every_distance,after,first_distance\nvan,wheel_off,50000,,\nvan,retorque,,wheel_off,80",
        history="vehicle_id,done_on,task,odometer\nV01,2020-02-01,wheel_off,1000",
        readings=f"vehicle_id,read_at,reading\nV01,2020-02-02,{odometer}",
    )


@WHEELS.says("40 to 80 km", "the wheels off again at 52,000 km: due points one after the other", "40080, 52080")
def again() -> object:
    return in_case("due_by_follow_up/wheel_nuts_after_wheels_off", "due_km", vehicle_id="again")
