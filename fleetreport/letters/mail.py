"""The reports as e-mail: one message for each group of people, ready to be sent or opened in a mail program.

`week_letter` writes what the fleet manager reads: a subject with the counts, plain text that stands by itself, the same
as HTML of plain tables with its style in every tag (old mail programs know nothing else), and the workbook attached.
`message` turns a letter into an RFC 5322 message: the same letter gives the same bytes, its Message-ID is made from
what it says, and no text of the input can add a header.

Knows nothing of servers; `send.py` sends what stands in the files.
"""

import hashlib
import re
import textwrap
from collections.abc import Sequence
from datetime import date, datetime, time
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime
from typing import NamedTuple
from zoneinfo import ZoneInfo

import css_inline
import duckdb

from fleetreport.characters import ACTS_IN_PLAIN_TEXT, blank_or_nothing, stopping
from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.letters.pictures import Picture, strip_picture
from fleetreport.pages.frame import left_for_filling, page_environment, plain_environment
from fleetreport.pages.page import VehicleWork, arrange
from fleetreport.report.cautions import cautions
from fleetreport.report.report_rows import WeekAtAGlance

# Some mail programs cut a message off at 102 KB of HTML; at some 900 bytes a line this stays well below.
VEHICLES_IN_HTML = 60
VEHICLES_IN_TEXT = 200
TEXT_WIDTH = 72
WORKBOOK_TYPE = ("application", "vnd.openxmlformats-officedocument.spreadsheetml.sheet")
# A line break would begin a header or a line of its own.
_plain = stopping(ACTS_IN_PLAIN_TEXT, blank_or_nothing)


class Attachment(NamedTuple):
    """A file that goes with a letter; `mime_type` as (type, subtype)."""

    name: str
    mime_type: tuple[str, str]
    content: bytes


class Letter(NamedTuple):
    """What one group of people is told: `report` names the group in the settings."""

    report: str
    subject: str
    text: str
    html: str
    attachments: Sequence[Attachment] = ()
    pictures: Sequence[Picture] = ()


class Envelope(NamedTuple):
    """From whom and to whom a letter goes, and the fleet's day and time zone that date it."""

    sender: str
    recipients: Sequence[str]
    as_of: date
    time_zone: str


def week_letter(db: duckdb.DuckDBPyConnection, workbook: bytes, words: Catalogue = ENGLISH) -> Letter:
    """The fleet manager's weekly letter, of the tables that week.html is made of."""
    page = arrange(db)
    week = page.week
    picture = strip_picture(page.visits.visit_depots, page.visits.depot_weeks, words)
    html = (
        page_environment(words)
        .get_template("mail_week.html")
        .render(page=page, picture=picture, vehicles=page.lead[:VEHICLES_IN_HTML], cautions=cautions(words, "week"))
    )
    plain = plain_environment(words)
    plain.filters["wrap"] = left_for_filling(wrap)
    text = plain.get_template("mail_week.txt").render(
        page=page,
        depots=_text_depots(page.lead[:VEHICLES_IN_TEXT]),
        shown=VEHICLES_IN_TEXT,
        cautions=cautions(words, "week"),
    )
    return Letter(
        report="week",
        subject=words["mail.week_subject"].format(
            fleet=week.fleet_name, week=week.iso_week, overdue=week.tasks_overdue, due=week.tasks_due
        ),
        text=text.replace("\u00a0", " "),
        html=inline(html),
        attachments=(Attachment(f"{_file_stem(week)}.xlsx", WORKBOOK_TYPE, workbook),),
        pictures=(picture,) if picture else (),
    )


def _text_depots(vehicles: Sequence[VehicleWork]) -> list[tuple[str, list[VehicleWork]]]:
    """Depots by name with their vehicles, the most pressing first."""
    by_depot: dict[str, list[VehicleWork]] = {}
    for vehicle in vehicles:
        by_depot.setdefault(vehicle.depot, []).append(vehicle)
    return sorted(by_depot.items(), key=lambda pair: (pair[0] == "", pair[0]))


def _file_stem(week: WeekAtAGlance) -> str:
    return f"week-{week.iso_week}"


def inline(html: str) -> str:
    """The page with the rules of its style sheet written into the tags they are for. Fetches nothing."""
    inliner = css_inline.CSSInliner(
        load_remote_stylesheets=False, keep_style_tags=False, keep_at_rules=False, minify_css=True
    )
    return re.sub(r' class="[^"]*"', "", inliner.inline(html))


def wrap(text: str, indent: int = 0, first: str = "") -> str:
    """Text in lines of at most TEXT_WIDTH columns; each begins with `indent` blanks, the first with `first`."""
    blanks = " " * indent
    return textwrap.fill(
        on_one_line(text), TEXT_WIDTH, initial_indent=first or blanks, subsequent_indent=blanks, break_on_hyphens=False
    )


def on_one_line(text: str) -> str:
    """A text without what would begin a line or turn what follows; blanks that do not break stay."""
    return re.sub(" {2,}", " ", _plain(text)).strip(" ")


def message(letter: Letter, envelope: Envelope) -> EmailMessage:
    """The letter as a message: mixed(alternative(plain, related(html, pictures)), attachments), RFC 2046 and 2387.

    Dated at the beginning of the as-of day where the fleet is, so that the same letter is the same bytes.
    """
    made = EmailMessage(policy=SMTP)
    made["Subject"] = on_one_line(letter.subject)
    made["From"] = envelope.sender
    made["To"] = ", ".join(envelope.recipients)
    at = datetime.combine(envelope.as_of, time(), ZoneInfo(envelope.time_zone))
    made["Date"] = format_datetime(at)
    made["Message-ID"] = f"<{_fingerprint(letter, envelope)}@{envelope.sender.rpartition('@')[2]}>"
    made.set_content(letter.text, cte="quoted-printable")
    made.add_alternative(letter.html, subtype="html", cte="quoted-printable")
    _add_pictures(made, letter.pictures)
    for attached in letter.attachments:
        kind, subtype = attached.mime_type
        # Of text without one, US-ASCII is taken for granted (RFC 2046).
        charset = {"charset": "utf-8"} if kind == "text" else None
        made.add_attachment(attached.content, kind, subtype, filename=attached.name, params=charset)
    for number, part in enumerate(part for part in made.walk() if part.is_multipart()):
        part.set_boundary(f"=_{_fingerprint(letter, envelope)[:32]}_{number}")
    return made


def _add_pictures(made: EmailMessage, pictures: Sequence[Picture]) -> None:
    """Beside the HTML, which shows them by `cid:` (RFC 2392), so that a mail program fetches nothing for them."""
    html = made.get_body(("html",))
    if not isinstance(html, EmailMessage):
        raise TypeError("a letter without HTML")
    for number, picture in enumerate(pictures, 1):
        html.add_related(
            picture.content, "image", "png", cid=f"<{picture.content_id}>", disposition="inline",
            filename=f"chart-{number}.png",
        )  # fmt: skip


def _fingerprint(letter: Letter, envelope: Envelope) -> str:
    """One name for what is said and to whom: the same letter of the same day is the same message."""
    said = hashlib.sha256()
    for part in (letter.report, letter.subject, letter.text, letter.html, envelope.as_of.isoformat()):
        said.update(part.encode() + b"\0")
    for address in envelope.recipients:
        said.update(address.encode() + b"\0")
    for attached in letter.attachments:
        said.update(attached.name.encode() + b"\0" + attached.content)
    return said.hexdigest()[:40]
