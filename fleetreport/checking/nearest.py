"""What was probably meant by a name that is not known: of a vehicle, task or item in a row, or of a column in a header.

Put beside each place of a check as a note. A suggestion only: nothing reads it.
"""

import re

import duckdb

from fleetreport.alike import nearest_names, question
from fleetreport.tables import BY_NAME

ALIKE = 0.7  # of names that rows refer to
ALIKE_COLUMN = 0.8  # a header is seldom misspelt and often another's
MOST_NAMES = 2_000  # a wrong export is not a list of slips
STANDS_IN = re.compile(r"expected (?:one|a task|a (?P<column>class)) that stands in (?P<tables>\w+(?:(?:, | or )\w+)*)")
OF_PLAN = re.compile(r"expected a task of the plan of class (?P<class>.+); ")


def note_nearest(db: duckdb.DuckDBPyConnection) -> None:
    """Write notes into `check_places` and `first_places`, where something is nearly what stands there."""
    for table, column, reason, value in _unknown_names(db):
        if near := nearest_names(value, _names_meant(db, column, reason), ALIKE):
            _note(db, value, table, column, question(near))
    ignored = (
        """select distinct "table", value, file from check_places where kind = 'unused' and value <> '' order by all"""
    )
    for table, value, _ in db.execute(ignored).fetchall():
        if table in BY_NAME:
            known = [column.name for column in BY_NAME[table].columns]
            pairs = [(one, near) for one in value.split(", ") for near in nearest_names(one, known, ALIKE_COLUMN)[:1]]
            if pairs:
                _note(db, value, table, "", question([" and ".join(f"{near} for {one}" for one, near in pairs)]))


def _unknown_names(db: duckdb.DuckDBPyConnection) -> list[tuple[str, str, str, str]]:
    return db.execute(
        """select distinct "table", "column", reason, value from check_places
            where kind in ('row', 'value') and starts_with(reason, 'expected ') and value <> ''
            order by all limit ?""",
        [MOST_NAMES],
    ).fetchall()


def _names_meant(db: duckdb.DuckDBPyConnection, column: str, reason: str) -> list[str]:
    """The names of which one was expected; none where the reason asks for something else than a name."""
    if plan := OF_PLAN.match(reason):
        rows = db.execute("select distinct task from tasks where class in (?, '*')", [plan["class"]]).fetchall()
        return sorted(name for (name,) in rows)
    if not (found := STANDS_IN.match(reason)):
        return []
    names: set[str] = set()
    for table in re.split(r", | or ", found["tables"]):
        # Names stand in the column of the same name; `after`, `covers` and their like name the last of a key.
        own = {one.name for one in BY_NAME[table].columns} - {"after", "covers"} if table in BY_NAME else set()
        if own:
            held = found["column"] or (column if column in own else BY_NAME[table].key[-1])
            names |= {name for (name,) in db.execute(f'select distinct "{held}" from "{table}"').fetchall() if name}
    return sorted(names)


def _note(db: duckdb.DuckDBPyConnection, value: str, table: str, column: str, said: str) -> None:
    places = """update check_places set note = ? where value = ? and "table" = ? and "column" = ? and note is null"""
    db.execute(places, [said, value, table, column])
    db.execute(
        """update first_places p set note = ? from faults f where f.turn = p.turn and p.value = ? and f."table" = ?
            and f."column" = ? and p.note is null""",
        [said, value, table, column],
    )
