"""When work counts as on time: US Army, FTA, SMRP, a trade column."""

from datetime import date, timedelta

from published.checks import MEMORY, READ, Source, in_case, sql
from published.fleets import due_row, on_time_of

ARMY = Source("US Army AR 750-1 and DA Pam 750-8 (PS Magazine, 18 December 2019)", READ, "example values ours")
PS_569 = Source("US Army, PS Magazine 569", READ)
PS_580 = Source("US Army, PS Magazine 580", READ)
FTA = Source("US FTA review practice; TCRP Synthesis 81 (2010)", MEMORY)
SMRP = Source("SMRP metric 5.4.9, ready backlog (27 September 2012)", READ, "numbers ours")
COLUMN = Source("Plant Services, column on the 10 per cent rule", READ)
NESTED = Source("A local government's A, B and C services", READ)
INTERVALS = (5400, 5900, 6000, 6100, 6300, 6500, 6600, 6601, 7000, 5200)
ANCHORED = "due_by_anchor/within_ten_per_cent_stays_on_the_plan"


@ARMY.says_each(
    "10 % of the interval",
    "every 10,000 km, due at 50,000, done at {0}: next due",
    [(50_800, "60000"), (49_000, "60000"), (51_500, "61500"), (48_900, "58900")],
)
def ten_per_cent(done: int) -> object:
    return due_row(
        "2024-06-01",
        "service",
        vehicles="vehicle_id,class,in_service_on,in_service_odometer\nV01,van,2024-01-01,40000",
        tasks="class,task,every_distance,basis\nvan,service,10000,anchored",
        readings=f"vehicle_id,read_at,reading\nV01,2024-06-01,{done}",
        history=f"vehicle_id,done_on,task,odometer\nV01,2024-06-01,service,{done}",
    ).due_odometer


@ARMY.says_each(
    "10 % of the interval",
    "the same one interval later, in SQL, done {0}",
    [("late", "70000"), ("early", "70000"), ("too_late", "71500"), ("too_early", "68900")],
)
def in_sql(vehicle: str) -> object:
    return in_case(ANCHORED, "due_km", vehicle_id=vehicle, service_no=3)


@PS_569.says(
    "360 days x 10 %", "15 May 2000: window of 36 days (10 Apr is printed, a day off)", "2000-04-09, 2000-06-20"
)
def annual_window() -> list[date]:
    due = date(2000, 5, 15)
    inside = [off for off in range(-60, 61) if sql("within_tolerance(?, 10, 360)", off)]
    return [due + timedelta(inside[0]), due + timedelta(inside[-1])]


@PS_580.says("separate windows", "quarterly, half-yearly, yearly together, 20 days late: late?", "yes, yes, no")
def separate() -> list[object]:
    case = "service_timing/services_done_together_keep_their_own_windows"
    return [in_case(case, "is_late", task=task) for task in ("quarterly", "half_year", "yearly")]


@PS_580.says("separate windows", "a fleet of one the same: services of that day on time", "1 of 3")
def separate_in_a_fleet() -> str:
    tables = {
        "vehicles": "vehicle_id,class,in_service_on\nV01,van,2024-01-15",
        "tasks": "class,task,first_months,every_months,basis\n"
        + "\n".join(f"van,every_{m},{m},{m},anchored" for m in (3, 6, 12)),
        "history": "vehicle_id,done_on,task\n"
        + "\n".join(f"V01,{day},every_3" for day in ("2024-04-15", "2024-07-15", "2024-10-15"))
        + "\nV01,2024-07-15,every_6\n"
        + "\n".join(f"V01,2025-02-04,every_{m}" for m in (3, 6, 12)),
    }
    done, good = on_time_of("2025-02-10", **tables)
    # The four before were done on their days.
    return f"{good - 4} of {done - 4}"


@FTA.says("10 % of 6,000 mi", "ten inspections, late only: in time", "8 of 10")
def late_only() -> str:
    odometer, day, lines = 0, date(2020, 1, 1), []
    for gap in INTERVALS:
        odometer, day = odometer + gap, day + timedelta(60)
        lines.append(f"V01,{day},inspection,{odometer},mi")
    done, good = on_time_of(
        "2022-01-01",
        vehicles="vehicle_id,class,in_service_on\nV01,van,2020-01-01",
        tasks="class,task,every_distance,distance_unit\nvan,inspection,6000,mi",
        history="vehicle_id,done_on,task,odometer,unit\n" + "\n".join(lines),
    )
    return f"{good} of {done}"


@FTA.says("10 % of 6,000 mi", "the same by the query", "8")
def late_only_in_sql() -> object:
    return in_case("on_time/late_by_more_than_ten_per_cent", "on_time", month="2026-01")


@FTA.says_each("10 % of 6,000 mi", "{0} mi is late", [("6600", "no"), ("6601", "yes")])
def bound(gap: str) -> object:
    vehicle = f"V{INTERVALS.index(int(gap)) + 1}"
    return in_case("service_timing/ten_per_cent_of_six_thousand_miles", "is_late", vehicle_id=vehicle)


@FTA.says("80 % on time", "late only and two-sided, per cent, and whether met", "80.0, 70.0, yes, no")
def eighty() -> list[object]:
    case = "on_time_by/eight_of_ten_and_seven_of_ten"
    columns = ("late_only_pct", "two_sided_pct", "late_only_met", "two_sided_met")
    return [in_case(case, column, month="2026-01") for column in columns]


@SMRP.says("5.4.9", "640 h ready, 160 h a week: weeks", "4.0")
def backlog() -> object:
    weeks = in_case("ready_backlog/smrp_5_4_9", "backlog_weeks")
    return next(one for one in weeks if one is not None) if isinstance(weeks, list) else weeks


@COLUMN.says("30-day task gets 3 days", "done on day 33 and on day 34: inside", "yes, no")
def three_days() -> list[object]:
    return [sql("within_tolerance(?, 10, 30)", off) for off in (3, 4)]


@COLUMN.says("one completion in each month", "30-day task done on day 3, then on day 59: in time", "1 of 2")
def two_months_apart() -> str:
    done, good = on_time_of(
        "2024-02-29",
        vehicles="vehicle_id,class,in_service_on\nV01,van,2024-01-01",
        tasks="class,task,every_months,basis\nvan,monthly,1,anchored",
        history="vehicle_id,done_on,task\nV01,2024-01-04,monthly\nV01,2024-02-29,monthly",
    )
    return f"{good} of {done}"


@NESTED.says("B holds A, C holds B", "done together: A is done with, B is done with", "b, c")
def nested() -> list[object]:
    return [in_case("visit_tasks/nested_services_of_one_visit", "done_with", task=task) for task in ("a", "b")]
