"""Vehicles whose ids a reader can take for one another: the step `alike_vehicles` of a run.

They differ only in case, in blanks, or in characters that look alike or cannot be seen (`alike.py` knows which). They
stay vehicles of their own; whether they are one, a person has to say. Nothing here changes a vehicle.
"""

from collections.abc import Iterable
from typing import NamedTuple

import duckdb

from fleetreport.alike import differ_in, looks_like
from fleetreport.query import Step, fill_table

COLUMNS = {
    "vehicle_id": "varchar", "file": "varchar", "line": "bigint", "like_id": "varchar", "like_file": "varchar",
    "like_line": "bigint", "differ_in": "varchar", "characters": "varchar",
}  # fmt: skip


class Alike(NamedTuple):
    """A row of `alike_vehicles`: a vehicle, where it stands, and the first of those alike, in order of file and line.

    `differ_in` holds each way in which the two differ, ` and ` between them. `characters` are those of either that the
    other lacks in either case, as in U+00A0; None where they differ in case alone.
    """

    vehicle_id: str
    file: str
    line: int
    like_id: str
    like_file: str
    like_line: int
    differ_in: str
    characters: str | None


def alike(vehicles: Iterable[tuple[str, str, int]]) -> list[Alike]:
    """Of vehicles (id, file, line), those alike to an earlier one in order of file and line, by id."""
    first: dict[str, tuple[str, str, int]] = {}
    found = []
    for vehicle in sorted(vehicles, key=lambda one: one[1:]):
        like = first.setdefault(looks_like(vehicle[0]), vehicle)
        if like is not vehicle:
            ways = differ_in(vehicle[0], like[0])
            codes = ", ".join(_only_in_one(vehicle[0], like[0])) if ways != ["case"] else ""
            found.append(Alike(*vehicle, *like, " and ".join(ways), codes or None))
    return sorted(found)


def _only_in_one(one: str, other: str) -> list[str]:
    lower, other_lower = one.lower(), other.lower()
    lacking = {char for char in one if char.lower() not in other_lower}
    lacking |= {char for char in other if char.lower() not in lower}
    return [f"U+{ord(char):04X}" for char in sorted(lacking)]


def _find(db: duckdb.DuckDBPyConnection) -> None:
    vehicles = db.execute("select vehicle_id, file, line from vehicles").fetchall()
    fill_table(db, "alike_vehicles", COLUMNS, alike(vehicles))


ALIKE_VEHICLES = Step("alike_vehicles", ("vehicles",), _find)
