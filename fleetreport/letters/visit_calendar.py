"""The planned visits as a calendar file (iCalendar, RFC 5545): one all-day event a visit.

A calendar that takes the file in again each week changes the events it has instead of adding others: a visit keeps the
UID that it had in last week's calendar (the query `calendar_events`), and SEQUENCE grows with the as-of date. What was
planned last week and no longer is comes once more as CANCELLED (RFC 5545, 3.8.1.11), as long as its day lies ahead.
DTSTAMP is the beginning of the as-of day in UTC, not the clock's time, so that the same week is the same bytes.

No text of the input can begin a line of its own: line breaks, commas, semicolons and backslashes are escaped (3.3.11),
controls are left out, and lines are folded at 75 octets (3.1) without cutting a character.
"""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from decimal import Decimal
from typing import NamedTuple

import duckdb

from fleetreport.characters import ACTS_IN_PLAIN_TEXT, stopping
from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.report.report_rows import WeekAtAGlance, iterate_rows, read_week
from fleetreport.report.sentences import counted, day, number

# SEQUENCE counts days from here, so that it stays far below the 2,147,483,647 that an integer may have (3.3.8).
SEQUENCE_FROM = date(2000, 1, 1)
OCTETS = 75
# Controls are not allowed in a text (3.1, CONTROL). A calendar has a line for an event: nothing stands in their place.
_allowed = stopping(ACTS_IN_PLAIN_TEXT, lambda char: "", but="\n")


class Event(NamedTuple):
    """`calendar_events`: a visit, planned or withdrawn. Hours in h; None: none is set."""

    uid: str
    state: str
    vehicle_id: str
    title: str | None
    depot: str
    visit_on: date
    tasks: str
    labour_hours: Decimal | None
    late_tasks: int


def visit_calendar(db: duckdb.DuckDBPyConnection, words: Catalogue = ENGLISH) -> Iterator[bytes]:
    """The calendar file, line by line, as the events come from the database.

    Reads week_at_a_glance and calendar_events; the same tables give the same bytes.
    """
    week = read_week(db)
    for line in (
        "BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//fleetreport//visits//EN", "CALSCALE:GREGORIAN", "METHOD:PUBLISH",
        f"NAME:{text(words['ics.name'].format(fleet=week.fleet_name))}",
    ):  # fmt: skip
        yield fold(line)
    for event in iterate_rows(db, Event, "calendar_events", ("visit_on", "depot", "vehicle_id")):
        yield from map(fold, _event(event, week, words))
    yield fold("END:VCALENDAR")


def _event(event: Event, week: WeekAtAGlance, words: Catalogue) -> Iterator[str]:
    vehicle = f"{event.vehicle_id} {event.title}" if event.title else event.vehicle_id
    yield "BEGIN:VEVENT"
    yield f"UID:{event.uid}"
    yield f"DTSTAMP:{week.as_of:%Y%m%d}T000000Z"
    yield f"SEQUENCE:{max(0, (week.as_of - SEQUENCE_FROM).days)}"
    yield f"DTSTART;VALUE=DATE:{event.visit_on:%Y%m%d}"
    # The end is the day after: it is not part of the event (3.6.1).
    if event.visit_on < date.max:
        yield f"DTEND;VALUE=DATE:{event.visit_on + timedelta(1):%Y%m%d}"
    yield f"SUMMARY:{text(words['ics.summary'].format(vehicle=vehicle, tasks=event.tasks))}"
    yield f"DESCRIPTION:{text(_description(event, week, words))}"
    if event.depot:
        yield f"LOCATION:{text(event.depot)}"
    yield f"STATUS:{'CANCELLED' if event.state == 'withdrawn' else 'TENTATIVE'}"
    # A vehicle's visit does not make the reader of the calendar busy.
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _description(event: Event, week: WeekAtAGlance, words: Catalogue) -> str:
    said = [words["ics.withdrawn"]] if event.state == "withdrawn" else []
    said.append(words["ics.work"].format(tasks=event.tasks))
    if event.labour_hours is not None:
        said.append(words["ics.hours"].format(hours=number(event.labour_hours, words, 1)))
    if event.late_tasks:
        said.append(words["ics.late"].format(tasks=counted("tasks", event.late_tasks, words)))
    said.append(words["ics.caution"].format(day=day(week.as_of, words)))
    return "\n".join(said)


def text(value: str) -> str:
    """A value of type TEXT (3.3.11): what has a meaning is escaped, what may not stand there is left out."""
    clean = _allowed("\n".join(value.splitlines()))
    for meaning, escaped in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\n", "\\n")):
        clean = clean.replace(meaning, escaped)
    return clean


def fold(line: str) -> bytes:
    """A content line as UTF-8 in lines of at most 75 octets, each but the first begun with a blank (3.1)."""
    return b"\r\n ".join(_pieces(line)) + b"\r\n"


def _pieces(line: str) -> Iterable[bytes]:
    if line.isascii():
        # A character is an octet: most lines, and quicker so.
        octets = line.encode()
        yield octets[:OCTETS]
        yield from (octets[at : at + OCTETS - 1] for at in range(OCTETS, len(octets), OCTETS - 1))
        return
    piece, room = b"", OCTETS
    for character in line:
        octets = character.encode()
        if len(piece) + len(octets) > room:
            yield piece
            piece, room = b"", OCTETS - 1
        piece += octets
    yield piece
