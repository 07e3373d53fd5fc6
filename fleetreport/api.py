"""The tables of a fleet's week in Python, for notebooks and scripts: DuckDB relations, Polars frames, Arrow tables.

    import fleetreport

    with fleetreport.load_fleet("my_fleet", "2026-11-25") as fleet:
        print(fleet.due_list())

The fleet is worked out by the same queries as the weekly reports, in a database of its own that is thrown away, so that
the store and the reports of the week stay as they are. Nothing here prints or writes into the fleet folder.
"""

import weakref
from collections.abc import Sequence
from contextlib import ExitStack
from datetime import date
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, NamedTuple

import duckdb

from fleetreport.alike import nearest_names, question
from fleetreport.problem import WrongCall
from fleetreport.published_tables import PUBLISHED, PUBLISHED_MONEY
from fleetreport.query import Step
from fleetreport.reading.rows import find_files
from fleetreport.settings.fleet_toml import Settings, read_settings
from fleetreport.storing.store import passing_store
from fleetreport.tables import TABLES
from fleetreport.week import makers, work_out

if TYPE_CHECKING:
    import polars
    import pyarrow


class TableInfo(NamedTuple):
    """A table: its name, whether it is an input or worked out, and whether `out/data` has it too."""

    name: str
    kind: str
    is_published: bool


class Fleet:
    """A fleet folder worked out as of a day. Made by `load_fleet`; closed by `close()` or at the end of a `with`.

    Relations are looked at only while it is open; frames and Arrow tables are copies and stay.
    """

    def __init__(
        self, db: duckdb.DuckDBPyConnection, as_of: date, settings: Settings, made: Sequence[TableInfo],
        notes: Sequence[str], closing: ExitStack,
    ) -> None:  # fmt: skip
        self.as_of = as_of
        self.settings = settings
        self.notes = list(notes)
        self._db = db
        self._made = sorted(made)
        # A notebook's last cell seldom closes anything.
        self._close = weakref.finalize(self, closing.close)

    def __enter__(self) -> "Fleet":
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Throw the database away. Can be called again."""
        self._close()

    def tables(self) -> list[TableInfo]:
        """All tables: those of the fleet folder, then those that were worked out, by name."""
        return [*(TableInfo(table.name, "input", False) for table in TABLES), *self._made]

    def table(self, name: str) -> duckdb.DuckDBPyRelation:
        """A table as a DuckDB relation. Raises WrongCall, with the nearest names, where there is none."""
        names = [table.name for table in self.tables()]
        if name not in names:
            raise WrongCall(
                f'found "{name}", expected the name of a table',
                help=question(nearest_names(name, names)) or "tables() gives all names",
            )
        return self._db.sql(f'from "{name}"')

    def due_list(self) -> duckdb.DuckDBPyRelation:
        """A row for each vehicle and task, as in `due.csv`: status, due point, day, what is left."""
        return self.table("due")

    def sql(self, query: str) -> duckdb.DuckDBPyRelation:
        """A SELECT over the tables, in DuckDB's SQL. It reaches no file and no network. Raises duckdb.Error."""
        return self._db.sql(query)

    def polars(self, name: str) -> "polars.DataFrame":
        """A table as a Polars frame. Raises WrongCall where there is none, ImportError without Polars."""
        frame: polars.DataFrame = self.table(name).pl()
        return frame

    def arrow(self, name: str) -> "pyarrow.Table":
        """A table as an Arrow table. Raises WrongCall where there is none, ImportError without PyArrow."""
        return self.table(name).to_arrow_table()


def load_fleet(folder: str | Path, as_of: date | str | None = None) -> Fleet:
    """Read a fleet folder and work out its week as of a day (None: today where the fleet is).

    Raises WrongCall for a wrong setting or day, CannotReadOrWrite for files that cannot be read.
    """
    fleet = Path(folder)
    settings = read_settings(fleet)
    day = _day(as_of) or settings.today()
    files, remarks = find_files(fleet, settings.source)
    made, own, _ = makers(fleet)
    names = [name for one in made for name in (one.table, *(one.beside if isinstance(one, Step) else ()))]
    published = {*PUBLISHED, *PUBLISHED_MONEY, *(query.table for query in own if not query.must_give)}
    tables = [TableInfo(name, "worked out", name in published) for name in names]
    with ExitStack() as stack:
        db = stack.enter_context(passing_store(settings))
        notes = work_out(db, files, settings, day, fleet.resolve().name, made=made, writes_to=[])
        return Fleet(db, day, settings, tables, [*notes, *remarks], stack.pop_all())


def _day(as_of: date | str | None) -> date | None:
    """The day asked for, of a moment too. Raises WrongCall where it is none, or outside the years 1900 to 2199."""
    if as_of is None:
        return None
    try:
        day = date.fromisoformat(as_of) if isinstance(as_of, str) else date(as_of.year, as_of.month, as_of.day)
    except ValueError:
        day = date.min
    if not 1900 <= day.year <= 2199:
        raise WrongCall(f'as_of: found "{as_of}", expected a date such as 2026-11-25')
    return day
