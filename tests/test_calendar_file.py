"""The calendar of visits, as another program reads it.

RFC 5545: folding at 75 octets (3.1), TEXT escaped (3.3.11), VEVENT needs UID and DTSTAMP, an all-day DTEND is the day
after (3.6.1), SEQUENCE and STATUS:CANCELLED tell a calendar of changes (3.8.7.4, 3.8.1.11). Read back with icalendar.
"""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar
from report_fixture import empty_tables, insert_week

from fleetreport.letters.visit_calendar import Event, fold, text, visit_calendar

DAY = date(2026, 11, 25)
HOSTILE = 'a\r\nEND:VEVENT\nX:1,2;3\\n\u2028\x00\x85b\u202e: "q" \U0001f69a'


def calendar_of(*events: Event) -> bytes:
    db = empty_tables()
    insert_week(db, "Fleet, one; two")
    db.execute(
        """create table calendar_events (uid varchar, state varchar, vehicle_id varchar, title varchar, depot varchar,
        visit_on date, tasks varchar, labour_hours decimal(18, 2), late_tasks bigint)"""
    )
    db.executemany("insert into calendar_events values (?, ?, ?, ?, ?, ?, ?, ?, ?)", [list(event) for event in events])
    return b"".join(visit_calendar(db))


def visit(vehicle: str = "V1", title: str | None = None, tasks: str = "Oil", depot: str = "", uid: str = "u1") -> Event:
    return Event(uid, "planned", vehicle, title, depot, DAY, tasks, None, 0)


def test_a_visit_is_an_all_day_event_that_says_what_and_warns() -> None:
    (event,) = Calendar.from_ical(calendar_of(visit("V1", "Van", "Oil; Brakes", "North, yard"))).walk("VEVENT")
    assert (event["SUMMARY"], event["LOCATION"]) == ("V1 Van: Oil; Brakes", "North, yard")
    assert (event["DTSTART"].dt, event["DTEND"].dt) == (DAY, DAY + timedelta(1))
    assert event["DTSTAMP"].dt == datetime(2026, 11, 25, tzinfo=UTC)
    assert (event["STATUS"], event["TRANSP"], event["UID"]) == ("TENTATIVE", "TRANSPARENT", "u1")
    assert "Not due does not mean safe" in event["DESCRIPTION"]


def test_a_visit_no_longer_planned_is_cancelled_under_its_own_name() -> None:
    (event,) = Calendar.from_ical(calendar_of(visit()._replace(state="withdrawn"))).walk("VEVENT")
    assert (event["STATUS"], event["UID"]) == ("CANCELLED", "u1")
    assert event["DESCRIPTION"].startswith("No longer planned for this day.")


@pytest.mark.parametrize("said", [HOSTILE, "x" * 500, "ä" * 200, "\U0001f69a" * 90, ",;\\" * 60])
def test_no_text_of_the_input_adds_a_line_or_an_event(said: str) -> None:
    made = calendar_of(visit(said, said, said, said))
    lines = made.split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert not set(made.replace(b"\r\n", b"")) & set(b"\r\n")
    calendar = Calendar.from_ical(made)
    (event,) = calendar.walk("VEVENT")
    assert sorted(event.keys()) == sorted(
        ["UID", "DTSTAMP", "SEQUENCE", "DTSTART", "DTEND", "SUMMARY", "DESCRIPTION", "LOCATION", "STATUS", "TRANSP"]
    )
    # The library gives a property of RFC 7986 as it is written.
    assert str(calendar["NAME"]) == "Fleet\\, one\\; two: visits planned"
    assert not event.errors


@given(st.text(alphabet=st.characters(exclude_categories=["Cc", "Cs", "Zl", "Zp", "Cf"]), max_size=300))
def test_what_is_written_is_what_is_read(said: str) -> None:
    made = b"BEGIN:VEVENT\r\n" + fold(f"SUMMARY:{text(said)}") + b"END:VEVENT\r\n"
    assert Calendar.from_ical(made)["SUMMARY"] == said


def test_the_same_week_is_the_same_bytes_and_a_later_week_counts_on(sample_week: Path) -> None:
    assert calendar_of(visit()) == calendar_of(visit())
    calendar = Calendar.from_ical((sample_week / "due.ics").read_bytes())
    events = calendar.walk("VEVENT")
    uids = [str(event["UID"]) for event in events]
    assert len(uids) == len(set(uids)) > 100
    # Days since the year 2000, by hand: 26 years of 365 days, 7 leap days, and 328 days of 2026.
    assert {int(event["SEQUENCE"]) for event in events} == {26 * 365 + 7 + 328}
