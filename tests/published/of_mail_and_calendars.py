"""RFC 5322 messages and RFC 5545 calendars: lengths of lines, escaped text, days without a time."""

from published.checks import QUOTED, Source
from test_calendar_file import calendar_of, visit
from test_mail import ENVELOPE, LETTER, WORKBOOK_TYPE

from fleetreport.letters.mail import message
from fleetreport.letters.visit_calendar import fold, text

MAIL = Source("RFC 5322 (Internet Message Format)", QUOTED, "the letters are ours")
CALENDAR = Source("RFC 5545 (iCalendar)", QUOTED)
LONG = LETTER._replace(html="<p>" + "word " * 5000 + "</p>", text="w" * 3000, subject="Subject " * 30)
DESCRIPTION = "DESCRIPTION:This is a long description that exists on a long line."


def lines() -> list[bytes]:
    """The lines of a letter with long ones in every place."""
    return message(LONG, ENVELOPE).as_bytes().split(b"\r\n")


@MAIL.says("2.1.1", "a line of a letter over 998 octets, CRLF left out: any?", "no")
def longest() -> bool:
    return any(len(line) > 998 for line in lines())


@MAIL.says("2.1.1", "lines over 78: only the type of a workbook, one word that cannot be folded?", "yes")
def longer_than_wanted() -> bool:
    return {line for line in lines() if len(line) > 78} == {b"Content-Type: " + "/".join(WORKBOOK_TYPE).encode()}


@MAIL.says("3.3", "the date of a letter of 25 November 2026, three hours east", "Wed, 25 Nov 2026 00:00:00 +0300")
def dated() -> str:
    return str(message(LETTER, ENVELOPE)["Date"])


@CALENDAR.says_each(
    "3.3.11",
    "TEXT: {0!r}",
    [
        (
            "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.",
            "Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared.",
        ),
        ("a;b,c\\d", "a\\;b\\,c\\\\d"),
    ],
)
def escaped(said: str) -> str:
    return text(said)


@CALENDAR.says("3.1", "a line of 68 octets, and the same of 330: octets of the longest line, CRLF left out", "66, 75")
def folded() -> list[int]:
    return [max(map(len, fold(said).split(b"\r\n"))) for said in (DESCRIPTION, DESCRIPTION * 5)]


@CALENDAR.says("3.1", "unfolded, by taking out each CRLF with the blank after it, it is as it was?", "yes")
def unfolded() -> bool:
    return fold(DESCRIPTION * 5).replace(b"\r\n ", b"").decode() == DESCRIPTION * 5 + "\r\n"


@CALENDAR.says("3.6.1", "25 November 2026 without a time: DTSTART; DTEND, the day after", "20261125, 20261126")
def whole_day() -> list[str]:
    said = calendar_of(visit()).decode().split("\r\n")
    return [next(line.partition(":")[2] for line in said if line.startswith(name)) for name in ("DTSTART", "DTEND")]
