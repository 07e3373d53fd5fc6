"""Tables as Parquet files that lie at a `Place`, and views that make one table of them again.

Parquet has no HUGEINT and knows nothing of order across files, so a `Part` remembers the columns' types, and whether
the rows of a vehicle (which lie in one file) come in an order that counts.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

import duckdb

from fleetreport.cluster.places import Place
from fleetreport.sql import identifier, literal, one_path
from fleetreport.storing.fates import make_input_table
from fleetreport.tables import TABLES


class Part(NamedTuple):
    """A table's files, and its columns by name with their SQL types.

    `is_ordered`: its rows come by vehicle, and those of a vehicle as they stand.
    """

    files: Sequence[str]
    types: Mapping[str, str]
    is_ordered: bool = False


def types_of(db: duckdb.DuckDBPyConnection, table: str) -> dict[str, str]:
    """The columns of a table or view, with their SQL types."""
    return {name: kind for name, kind, *_ in db.execute(f"describe {identifier(table)}").fetchall()}


def write_part(db: duckdb.DuckDBPyConnection, table: str, place: Place, name: str, spare: Path) -> Part:
    """Write a table's rows, in their order, into one file at a place, by way of the folder `spare`."""
    types = types_of(db, table)
    kept = ", ".join(f"{identifier(one)}{'::varchar' * ('HUGEINT' in kind)} as {identifier(one)}"
                     for one, kind in types.items())  # fmt: skip
    aside = spare / "table.parquet"
    db.execute(f"copy (select {kept} from {identifier(table)}) to {literal(str(aside))} "
               "(format parquet, compression zstd)")  # fmt: skip
    place.put(aside, name)
    return Part([name], types)


def view_part(db: duckdb.DuckDBPyConnection, table: str, place: Place, part: Part) -> None:
    """Make the view `table` of the files of a part."""
    columns = ", ".join(f"{identifier(one)}::{kind} as {identifier(one)}" for one, kind in part.types.items())
    order = "order by vehicle_id, file_row_number" if part.is_ordered else ""
    db.execute(f"create or replace view {identifier(table)} as select {columns} "
               f"from {_files(place, part.files, part.is_ordered)} {order}")  # fmt: skip


def table_of_part(db: duckdb.DuckDBPyConnection, table: str, place: Place, files: Sequence[str]) -> None:
    """Make a table of what files hold."""
    db.execute(f"create or replace table {identifier(table)} as from {_files(place, files)}")


def view_inputs(db: duckdb.DuckDBPyConnection, place: Place, files: Mapping[str, Sequence[str]]) -> None:
    """Make `input_<table>` of files as `shards` wrote them, and the view `<table>` of loaded rows, of every table."""
    for table in TABLES:
        make_input_table(db, table)
        if files.get(table.name):
            types = types_of(db, f"input_{table.name}")
            # The view of loaded rows finds it by its name.
            db.execute(f"drop table input_{table.name}")
            view_part(db, f"input_{table.name}", place, Part(files[table.name], types))


def _files(place: Place, names: Sequence[str], with_numbers: bool = False) -> str:
    listed = ", ".join(one_path(place.full(name)) for name in names)
    numbers = ", file_row_number = true" if with_numbers else ""
    # Folders named shard=3 are no column of the table.
    return f"read_parquet([{listed}], hive_partitioning = false{numbers})"
