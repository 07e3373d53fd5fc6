"""The findings of a check as text for a terminal and as a page.

Both show each finding once, the worst first: what is wrong, in how many places, and where the first of them stand. The
text is given line by line with what the line is (`Line`), so that whoever prints it can choose colours. Nothing here
reads a file of the fleet or prints.
"""

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import Literal, NamedTuple

import duckdb

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.pages.frame import page_environment, showable, styled
from fleetreport.report.report_rows import Finding, Place, read_rows
from fleetreport.report.sentences import counted, number

PLACES_IN_TEXT, PLACES_ON_PAGE = 3, 5
LONGEST_SHOWN = 120
NARROWEST = 30


class Line(NamedTuple):
    """A line of text, and what it is."""

    kind: Literal["head", "finding", "place", "blank"]
    text: str


class Findings(NamedTuple):
    """All findings in order, each with its first places."""

    listed: list[tuple[Finding, list[Place]]]

    @property
    def to_mend(self) -> int:
        """Places where something of the input was not used."""
        return sum(finding.places for finding, _ in self.listed if finding.is_to_mend)

    @property
    def to_look_at(self) -> int:
        """Places that cost nothing yet."""
        return sum(finding.places for finding, _ in self.listed if not finding.is_to_mend)

    def by_kind(self) -> Iterator[tuple[str, list[tuple[Finding, list[Place]]]]]:
        """The findings of each kind, in order."""
        for kind, some in groupby(self.listed, key=lambda one: one[0].kind):
            yield kind, list(some)


def read_findings(db: duckdb.DuckDBPyConnection) -> Findings:
    """The tables `faults` and `first_places`. Raises duckdb.Error where one is missing."""
    places: dict[int, list[Place]] = {}
    for place in read_rows(db, Place, "first_places", ("turn", "number")):
        places.setdefault(place.turn, []).append(place)
    return Findings([(one, places.get(one.turn, [])) for one in read_rows(db, Finding, "faults", ("turn",))])


def summary(findings: Findings, words: Catalogue = ENGLISH) -> str:
    """`101 places to mend, 27 to look at`."""
    counts = [("to_mend", findings.to_mend), ("to_look_at", findings.to_look_at)]
    said = [counted(f"check.{what}", count, words) for what, count in counts if count]
    return ", ".join(said) or words["check.clean"]


def report_lines(findings: Findings, words: Catalogue = ENGLISH) -> Iterator[Line]:
    """The findings as text, each line whole however long."""
    for kind, some in findings.by_kind():
        total = sum(finding.places for finding, _ in some)
        yield Line("head", f"{words[f'check.{kind}']}: {number(total, words)}")
        for finding, places in some:
            yield Line("finding", "  " + finding_text(finding, words))
            for place in places[:PLACES_IN_TEXT]:
                yield Line("place", "      " + " ".join(place_text(finding, place).split()))
            if (more := finding.places - min(len(places), PLACES_IN_TEXT)) > 0:
                yield Line("place", "      " + words["check.more"].format(n=number(more, words)))
        yield Line("blank", "")


def finding_text(finding: Finding, words: Catalogue = ENGLISH) -> str:
    """`readings.reading: expected a number (12)`."""
    subject = ".".join(part for part in (finding.table, finding.column) if part)
    count = f" ({number(finding.places, words)})" if finding.kind not in ("setting", "file") else ""
    return f"{subject}: {finding.reason}{count}" if subject else finding.reason + count


def place_text(finding: Finding, place: Place) -> str:
    """`readings.csv:12: 84.120,5: what is known of it`."""
    where = f"{place.file}:{place.line}" if place.line else place.file
    note = place.note if place.note and place.note != finding.reason else None
    return ": ".join(part for part in (where, shortened(place.value), note) if part)


def shortened(value: str | None) -> str:
    """The beginning of a value that is too long to look at; the table of the check has it whole."""
    value = value or ""
    return value if len(value) <= LONGEST_SHOWN else f"{value[:LONGEST_SHOWN]}…"


def wrapped(lines: Iterable[Line], width: int | None) -> Iterator[Line]:
    """The lines broken between words so that they fit `width` characters; the rest of a line is indented further.

    A word that is longer, such as a path, stays whole, so that it can be copied.
    """
    for line in lines:
        clean = showable(line.text.replace("\n", " "))
        if width is None or len(clean) <= width:
            yield Line(line.kind, clean)
            continue
        indent = clean[: len(clean) - len(clean.lstrip())]
        room = max(width, NARROWEST)
        further = indent + ("  " if indent else "")
        for part in textwrap.wrap(clean, room, subsequent_indent=further, break_on_hyphens=False,
                                  break_long_words=False):  # fmt: skip
            yield Line(line.kind, part)


def check_page(
    db: duckdb.DuckDBPyConnection, findings: Findings, notes: Sequence[str], words: Catalogue = ENGLISH
) -> str:
    """The page as HTML text; `notes` say what of the fleet could not be looked at."""
    fleet_name, as_of = db.execute("select fleet_name, as_of from run").fetchall()[0]
    return page_environment(words).get_template("check.html").render(
        fleet=fleet_name, as_of=as_of, findings=findings, kinds=list(findings.by_kind()), notes=notes,
        summary=summary(findings, words), **styled("_style.css"), shown=PLACES_ON_PAGE,
    )  # fmt: skip
