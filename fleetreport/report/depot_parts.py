"""The parts into which the reports of a large fleet are split: a depot each, or several of a depot that is too large.

The files of a part stand in `depots/`, named by `part_path`. Nothing here knows what a report shows.
"""

import hashlib
import re
from typing import NamedTuple

import duckdb

from fleetreport.report.report_rows import read_rows

DEPOTS = "depots"
IS_IN_PART = "vehicle_id in (select vehicle_id from report_parts where depot = ? and part = ?)"


class Part(NamedTuple):
    """A part of the reports: its depot (blank: vehicles without one), its number of so many, and its vehicles."""

    depot: str
    part: int
    parts: int

    @property
    def which(self) -> tuple[str, int]:
        """What `IS_IN_PART` is asked with."""
        return self.depot, self.part


class PartOf(NamedTuple):
    """`report_parts`: the part in which a vehicle stands."""

    vehicle_id: str
    depot: str
    part: int
    parts: int


def read_parts(db: duckdb.DuckDBPyConnection) -> list[Part]:
    """The parts of this run's reports; none where they are not split. Reads report_parts."""
    return [Part(*row) for row in db.execute("select distinct depot, part, parts from report_parts").fetchall()]


def parts_of(db: duckdb.DuckDBPyConnection, vehicles: list[str]) -> dict[str, Part]:
    """The part in which each of these vehicles stands."""
    rows = read_rows(db, PartOf, "report_parts", (), "vehicle_id in (select unnest(?::varchar[]))", [vehicles])
    return {row.vehicle_id: Part(*row[1:]) for row in rows}


def file_stem(name: str, nameless: str) -> str:
    """A file's name for any text, without its ending: `v-104_1f2e3d4c5b6a`, the same every week.

    The readable part (`nameless` where nothing of it is left) has nothing that a file system or an address could take
    amiss. Two names that differ only in what it leaves out, or in case, differ in the other part, which is made from
    the whole.
    """
    readable = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40]
    return f"{readable or nameless}_{hashlib.sha256(name.encode()).hexdigest()[:12]}"


def part_path(part: Part, kind: str = ".html") -> str:
    """`depots/north-yard_1f2e3d4c5b6a.html`, or `…_1f2e3d4c5b6a-2.html` for a further part: from the week's folder."""
    number = f"-{part.part}" if part.part > 1 else ""
    return f"{DEPOTS}/{file_stem(part.depot, 'no-depot')}{number}{kind}"
