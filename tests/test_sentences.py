"""The sentence of why a task is due. Every expected text was written by hand from the figures beside it."""

import re
from datetime import date
from decimal import Decimal

import pytest

from fleetreport.languages.catalogues import ENGLISH
from fleetreport.report.cautions import cautions
from fleetreport.report.report_rows import DueRow
from fleetreport.report.sentences import day_range, due_at, due_day, gap, number, quantity, short_reason, why_due


def row(**cells: object) -> DueRow:
    """A task due in 5 days: at 99,120 km, 220 km left at 44 km a day. `cells` replace its own."""
    one: dict[str, object] = {
        "vehicle_id": "V-014", "vehicle_title": "Panel van", "vehicle_class": "van", "depot": "North yard",
        "cost_centre": "C1", "task": "oil", "task_title": "Engine oil", "status": "due",
        "governed_by": "distance", "due_on": date(2026, 11, 30), "due_on_early": date(2026, 11, 29),
        "due_on_late": date(2026, 12, 2), "days_left": 5, "late_by_pct": None, "distance_unit": "km",
        "due_odometer": Decimal("99120.0"), "distance_left": Decimal("220.0"),
        "odometer_now": Decimal("98900.0"),
        "last_done_odometer": Decimal("84120.0"), "odometer_offset": Decimal("0.0"),
        "odometer_read_on": date(2026, 11, 20), "due_hours": None, "hours_left": None, "hours_now": None,
        "last_done_hours": None, "hours_offset": Decimal("0.0"), "hours_read_on": None,
        "rate_per_day": Decimal("44.0"), "last_done_on": date(2026, 3, 3),
        "refused_odometer": None, "refused_unit": None, "refused_hours": None,
        "interval_distance": Decimal("15000.0"),
        "interval_months": None, "interval_hours": None, "basis": "last_done", "due_rule": "interval",
        "follows_task_title": None, "duty": "normal", "labour_hours": Decimal("1.5"), "source": "maker",
        "caution": None,
    }  # fmt: skip
    assert cells.keys() <= one.keys()
    return DueRow(**{**one, **cells})


def plain(text: str) -> str:
    """Without the spaces that do not break, which are hard to see in a test."""
    return text.replace("\u00a0", " ")


DATED = {
    "governed_by": "time", "due_odometer": None, "distance_left": None, "last_done_odometer": None,
    "rate_per_day": None, "interval_distance": None, "due_on_early": None, "due_on_late": None,
}  # fmt: skip
EXPIRY = DATED | {"governed_by": "date", "due_rule": "expiry", "last_done_on": None}
HOURS = {
    "governed_by": "hours", "interval_distance": None, "due_odometer": None, "distance_left": None,
    "interval_hours": Decimal("250.0"), "due_hours": Decimal("994.0"), "hours_left": Decimal("-7.5"),
    "hours_now": Decimal("1001.5"), "last_done_hours": Decimal("744.0"), "hours_read_on": date(2026, 11, 22),
    "rate_per_day": Decimal("4.5"), "due_on": date(2026, 11, 24), "days_left": -1, "status": "overdue",
    "late_by_pct": Decimal("3.0"),
}  # fmt: skip

EXAMPLES = {
    # 84,120 + 15,000 = 99,120; 99,120 - 98,900 = 220 left; 220 / 44 = 5 days from 25 November.
    "due by distance": (
        {},
        "Every 15,000 km. Last done on 3 Mar 2026 at 84,120 km. Due at 99,120 km on the odometer; now about "
        "98,900 km (last read 20 Nov 2026): 220 km left. At about 44 km a day that is 30 Nov 2026 "
        "(29 Nov to 2 Dec 2026).",
    ),
    # 99,870 - 99,120 = 750 past, 750 / 15,000 = 5.0 %; 750 / 44 = 17.05, so passed 17 days before the 25th.
    "overdue by distance": (
        {"status": "overdue", "distance_left": Decimal("-750.0"), "odometer_now": Decimal("99870.0"),
         "due_on": date(2026, 11, 8), "days_left": -17, "late_by_pct": Decimal("5.0"), "interval_months": 12},
        "Every 15,000 km or 12 months, whichever comes first. Last done on 3 Mar 2026 at 84,120 km. Fell "
        "due at "
        "99,120 km on the odometer, passed about 8 Nov 2026; now about 99,870 km (last read 20 Nov 2026): "
        "750 km "
        "past. Late by 5.0 % of its interval.",
    ),
    # The odometer was changed: 94,900 km came before the present one, so 99,120 shows as 4,220.
    "changed odometer": (
        {"odometer_offset": Decimal("94900.0")},
        "Every 15,000 km. Last done on 3 Mar 2026 at 84,120 km in all. Due at 4,220 km on the odometer "
        "(99,120 km "
        "in all; the odometer was changed); now about 4,000 km (last read 20 Nov 2026): 220 km left. At "
        "about "
        "44 km a day that is 30 Nov 2026 (29 Nov to 2 Dec 2026).",
    ),
    # 100,000 came before the present one: it never showed 99,120.
    "due before the odometer was changed": (
        {"odometer_offset": Decimal("100000.0"), "odometer_now": Decimal("101120.0"), "status": "overdue",
         "distance_left": Decimal("-2000.0"), "due_on": date(2026, 10, 10), "days_left": -46},
        "Every 15,000 km. Last done on 3 Mar 2026 at 84,120 km in all. Fell due at 99,120 km in all, "
        "before the "
        "odometer was changed, passed about 10 Oct 2026; now about 1,120 km (last read 20 Nov 2026): 2,000 "
        "km past.",
    ),
    # 744 + 250 = 994; 1,001.5 - 994 = 7.5 past; 7.5 / 250 = 3.0 %.
    "overdue by hours": (
        HOURS,
        "Every 250 h. Last done on 3 Mar 2026 at 744 h. Fell due at 994 h on the hour meter, passed about "
        "24 Nov 2026; now about 1,002 h (last read 22 Nov 2026): 7.5 h past. Late by 3.0 % of its interval.",
    ),
    "by hours, and distance past too": (
        HOURS | {"distance_left": Decimal("-320.0"), "due_odometer": Decimal("98580.0"),
                 "interval_distance": Decimal("15000.0"), "interval_months": 6},
        "Every 15,000 km, 6 months or 250 h, whichever comes first. Last done on 3 Mar 2026 at 744 h. Fell "
        "due at "
        "994 h on the hour meter, passed about 24 Nov 2026; now about 1,002 h (last read 22 Nov 2026): 7.5 "
        "h past. "
        "Also 320 km past its distance limit. Late by 3.0 % of its interval.",
    ),
    "by time, today": (
        DATED | {"interval_months": 24, "due_on": date(2026, 11, 25), "days_left": 0,
                 "last_done_on": date(2024, 11, 25)},
        "Every 24 months. Last done on 25 Nov 2024. Due today, 25 Nov 2026.",
    ),
    "by time, a day past": (
        DATED | {"interval_months": 1, "due_on": date(2026, 11, 24), "days_left": -1, "status": "overdue",
                 "last_done_on": date(2026, 10, 24), "late_by_pct": Decimal("3.2")},
        "Every 1 month. Last done on 24 Oct 2026. Fell due on 24 Nov 2026, 1 day past. Late by 3.2 % of "
        "its interval.",
    ),
    "never done": (
        DATED | {"interval_months": 12, "last_done_on": None, "due_on": date(2026, 11, 27), "days_left": 2},
        "Counted from when the vehicle came into service: 12 months. No record of it being done. "
        "Due on 27 Nov 2026: 2 days left.",
    ),
    "fixed steps, severe duty": (
        DATED | {"interval_months": 12, "basis": "fixed", "duty": "severe", "days_left": 2,
                 "due_on": date(2026, 11, 27)},
        "Every 12 months, in fixed steps (vehicle in severe duty). Last done on 3 Mar 2026. "
        "Due on 27 Nov 2026: 2 days left.",
    ),
    "anchored": (
        DATED | {"interval_months": 12, "basis": "anchored", "days_left": 2, "due_on": date(2026, 11, 27)},
        "Every 12 months, counted from the planned point when done close to it. Last done on 3 Mar 2026. "
        "Due on 27 Nov 2026: 2 days left.",
    ),
    "every year": (
        DATED | {"governed_by": "date", "due_rule": "every_year", "last_done_on": date(2025, 10, 1),
                 "due_on": date(2026, 12, 1), "days_left": 6},
        "On a fixed day each year. Last done on 1 Oct 2025. Due on 1 Dec 2026: 6 days left.",
    ),
    "expired": (
        EXPIRY | {"status": "overdue", "due_on": date(2026, 11, 20), "days_left": -5},
        "Expired on 20 Nov 2026, 5 days ago.",
    ),
    "expires today": (EXPIRY | {"due_on": date(2026, 11, 25), "days_left": 0}, "Expires today, 25 Nov 2026."),
    "expires": (EXPIRY, "Expires on 30 Nov 2026, in 5 days."),
    "follow-up": (
        {"due_rule": "follow_up", "follows_task_title": "Wheel changed",
        "interval_distance": Decimal("100.0"),
         "due_on_early": None, "last_done_on": None},
        "Once after Wheel changed, within 100 km. Due at 99,120 km on the odometer; now about 98,900 km "
        "(last read "
        "20 Nov 2026): 220 km left. At about 44 km a day that is 30 Nov 2026.",
    ),
    # 14,120 km stand on the service between readings of more: they say 84,120 km.
    "meter of the last service not believed": (
        {"refused_odometer": Decimal("14120.0000000"), "refused_unit": "km", "due_on_late": None},
        "Every 15,000 km. Last done on 3 Mar 2026 at 84,120 km by the readings; written on the service but "
        "not believed: 14,120 km. Due at 99,120 km on the odometer; now about 98,900 km (last read 20 Nov 2026): 220 "
        "km left. At about 44 km a day that is 30 Nov 2026.",
    ),
    # As written, in miles; hours govern, yet the distance was counted anew too.
    "meter not believed that does not govern": (
        HOURS | {"last_done_odometer": Decimal("84120.0"), "odometer_offset": Decimal("80000.0"),
                 "refused_odometer": Decimal(9500), "refused_unit": "mi"},
        "Every 250 h. Last done on 3 Mar 2026 at 84,120 km in all by the readings and 744 h; written on the service "
        "but not believed: 9,500 mi. Fell due at 994 h on the hour meter, passed about 24 Nov 2026; now about "
        "1,002 h (last read 22 Nov 2026): 7.5 h past. Late by 3.0 % of its interval.",
    ),
    "both meters of the last service not believed": (
        DATED | {"interval_months": 9, "last_done_odometer": Decimal(84120), "last_done_hours": Decimal(744),
                 "refused_odometer": Decimal(14120), "refused_unit": "km", "refused_hours": Decimal("7.4")},
        "Every 9 months. Last done on 3 Mar 2026 at 84,120 km by the readings and 744 h by the readings; written on "
        "the service but not believed: 14,120 km and 7.4 h. Due on 30 Nov 2026: 5 days left.",
    ),
    # The vehicle's odometer is in no reading, so none is told, and nothing was counted by it.
    "not believed and nowhere counted": (
        DATED | {"interval_months": 9, "refused_odometer": Decimal(14120), "refused_unit": "km"},
        "Every 9 months. Last done on 3 Mar 2026. Due on 30 Nov 2026: 5 days left.",
    ),
    "follow-up of work whose meter was not believed": (
        {"due_rule": "follow_up", "follows_task_title": "Wheel changed", "interval_distance": Decimal("100.0"),
         "due_on_early": None, "last_done_on": None, "refused_odometer": Decimal(9020), "refused_unit": "km"},
        "Once after Wheel changed, within 100 km. Written on that work but not believed: 9,020 km; it counts by the "
        "readings. Due at 99,120 km on the odometer; now about 98,900 km (last read 20 Nov 2026): 220 km left. At "
        "about 44 km a day that is 30 Nov 2026.",
    ),
    "no rate": (
        {"rate_per_day": None, "odometer_read_on": None, "due_on_late": None},
        "Every 15,000 km. Last done on 3 Mar 2026 at 84,120 km. Due at 99,120 km on the odometer; now about "
        "98,900 km: 220 km left. Expected on 30 Nov 2026.",
    ),
    "miles": (
        {"distance_unit": "mi", "interval_distance": Decimal("9320.6"), "due_on_late": None},
        "Every 9,321 mi. Last done on 3 Mar 2026 at 84,120 mi. Due at 99,120 mi on the odometer; now about "
        "98,900 mi (last read 20 Nov 2026): 220 mi left. At about 44 mi a day that is 30 Nov 2026.",
    ),
}  # fmt: skip


@pytest.mark.parametrize("example", EXAMPLES)
def test_sentence_says_rule_last_time_due_point_and_distance_from_it(example: str) -> None:
    cells, expected = EXAMPLES[example]
    assert plain(why_due(row(**cells))) == expected


@pytest.mark.parametrize(
    ("cells", "at", "how_far", "on", "short"),
    [
        ({}, "99,120 km", "220 km left", "about Mon 30 Nov 2026",
        "due at 99,120 km, 220 km left, about Mon 30 Nov 2026"),
        ({"distance_left": Decimal("-750"), "days_left": -17}, "99,120 km", "750 km past",
        "about Mon 30 Nov 2026",
         "750 km past: due at 99,120 km"),
        ({"odometer_offset": Decimal(100000)}, "99,120 km in all", "220 km left", "about Mon 30 Nov 2026",
         "due at 99,120 km in all, 220 km left, about Mon 30 Nov 2026"),
        ({"distance_left": Decimal("-750"), "days_left": -17, "refused_odometer": Decimal(14120), "refused_unit": "km"},
         "99,120 km", "750 km past", "about Mon 30 Nov 2026",
         "750 km past: due at 99,120 km, by the readings; written on the service but not believed: 14,120 km"),
        (HOURS | {"refused_odometer": Decimal(14120), "refused_unit": "km"}, "994 h", "7.5 h past",
         "about Tue 24 Nov 2026", "7.5 h past: due at 994 h"),
        (EXPIRY, "by date", "5 days left", "Mon 30 Nov 2026", "expires Mon 30 Nov 2026, 5 days left"),
        (EXPIRY | {"days_left": -1}, "by date", "1 day past", "Mon 30 Nov 2026",
        "expired 30 Nov 2026, 1 day ago"),
        (DATED | {"days_left": 0}, "by date", "today", "Mon 30 Nov 2026", "due Mon 30 Nov 2026, today"),
        (DATED | {"days_left": -3}, "by date", "3 days past", "Mon 30 Nov 2026",
        "3 days past: due 30 Nov 2026"),
    ],
)  # fmt: skip
def test_short_forms(cells: dict[str, object], at: str, how_far: str, on: str, short: str) -> None:
    one = row(**cells)
    assert [plain(form(one)) for form in (due_at, gap, due_day, short_reason)] == [at, how_far, on, short]


def test_numbers_round_half_up_and_know_no_negative_zero() -> None:
    assert number(Decimal("1234.5")) == "1,235"
    assert number(Decimal("-0.4")) == "0"
    assert plain(quantity(Decimal("9.45"), "h")) == "9.5 h"
    assert plain(quantity(Decimal("8.0"), "h")) == "8 h"


def test_a_range_of_dates_names_the_year_twice_only_where_it_changes() -> None:
    assert plain(day_range(date(2026, 11, 27), date(2026, 12, 2))) == "27 Nov to 2 Dec 2026"
    assert plain(day_range(date(2026, 12, 27), date(2027, 1, 2))) == "27 Dec 2026 to 2 Jan 2027"


def test_another_catalogue_changes_every_word_and_mark() -> None:
    """The words all come from the catalogue: with each replaced by its key, none of ours is left."""
    marks = ("locale", "quantity", "date", "date_with_weekday")
    other = {key: text if key in marks else f"<{key}>" for key, text in ENGLISH.items()}
    assert why_due(row(), other) == "<rule.interval> <last.on_at> <due.meter_left> <due.expected_at_rate_between>"


def test_braces_in_a_name_are_text() -> None:
    assert "after {task.__class__}, within" in why_due(row(due_rule="follow_up", follows_task_title="{task.__class__}"))


def test_no_sentence_says_that_anything_is_safe() -> None:
    """But where it is denied, where a person ticks what was done, or where tanks must be in good condition."""
    soothing = re.compile(r"\b(safe|safely|ok|okay|fine|good|healthy|roadworthy|no action)\b", re.IGNORECASE)
    denied = re.compile(
        r"(Not due does not|“not due” never) means? safe|does not decide whether a vehicle is roadworthy|"
        r"no decision that a vehicle is safe|Money never decides what is safe|"
        r"(is|are) as good as|How good the (forecasts of spend|projections) were|"
        r"Tanks and containers in good condition|Made safe:"
    )
    assert [key for key, text in ENGLISH.items() if soothing.search(denied.sub("", text))] == []


def test_cautions_name_what_people_must_not_take_from_the_figures() -> None:
    told = " ".join(title + " " + text for title, text in cautions(ENGLISH, "week")).lower()
    for needed in ("not due does not mean safe", "estimate", "roadworthy", "maker", "law", "competent",
    "licensed",
                   "torques", "fluid types and quantities", "manual", "odometer"):  # fmt: skip
        assert needed in told
