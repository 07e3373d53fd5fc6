"""Rows of a Parquet file as text, so that the rules for text hold for it too: by SQL at once, or record by record.

The line of a row is its number, 1 is the first. Nothing here knows a table.
"""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

import duckdb

from fleetreport.problem import CannotReadOrWrite
from fleetreport.reading.number_text import number_text, number_text_sql
from fleetreport.reading.records import LONGEST_RECORD, MOST_COLUMNS, Record, bounded, too_wide
from fleetreport.sql import NO_EXTENSIONS, identifier, one_path

FRACTIONS = ("DOUBLE", "FLOAT", "DECIMAL")
WHOLE = ("TINYINT", "SMALLINT", "INTEGER", "BIGINT", "UTINYINT", "USMALLINT", "UINTEGER", "UBIGINT")
# Of these the text is the same whatever the connection is set to; a moment with a zone, say, is shown in the zone set.
PLAIN = frozenset((*FRACTIONS, *WHOLE, "VARCHAR", "BOOLEAN", "DATE", "TIMESTAMP", "TIMESTAMP_NS", "TIME"))


class ParquetColumn(NamedTuple):
    """A column of a file: its name, and its type in SQL without its size."""

    name: str
    kind: str

    @property
    def has_fractions(self) -> bool:
        """Whether its values are numbers that a decimal mark belongs into."""
        return self.kind in FRACTIONS

    @property
    def is_number(self) -> bool:
        """Whether its values are numbers of any kind."""
        return self.kind in FRACTIONS or self.kind in WHOLE


def parquet_columns(path: Path, name: str) -> list[ParquetColumn]:
    """The columns of a file that people know as `name`. Raises CannotReadOrWrite where it is no Parquet or too wide."""
    try:
        with duckdb.connect(config=NO_EXTENSIONS) as db:
            return _columns(db, path, name)
    except duckdb.Error as error:
        raise _no_parquet(name, error) from None


def parquet_texts(path: Path, columns: list[ParquetColumn], wanted: list[int], decimal: str) -> str | None:
    """SQL of the file's rows: `line`, and the text of each wanted column under its place (1 is the first).

    None where a wanted column has a type whose text hangs on the connection. The query fails with an
    InvalidInputException at a row longer than a table's or with a number that is written with an exponent:
    `parquet_records` has a way with these.
    """
    kinds = {columns[at - 1].kind for at in wanted}
    if not kinds <= PLAIN:
        return None
    texts, faults, lengths = [], [], ["0"]
    for at in wanted:
        column = columns[at - 1]
        text = f"cast({identifier(column.name)} as varchar)"
        if column.has_fractions:
            faults.append(f"contains({text}, 'e')")
            text = number_text_sql(text, decimal)
        elif column.kind == "VARCHAR":
            lengths.append(f"coalesce(length({text}), 0)")
        texts.append(f"{text} as {identifier(str(at))}")
    faults.append(f"{' + '.join(lengths)} > {LONGEST_RECORD}")
    line = f"case when {' or '.join(faults)} then error('a row to be read by itself') else file_row_number + 1 end"
    return (
        f"select ({line})::bigint as line, {', '.join(texts)} "
        f"from read_parquet({one_path(path)}, hive_partitioning=false, file_row_number=true)"
    )


def parquet_records(
    path: Path, name: str, decimal: str, is_wanted: Callable[[str], bool] = lambda column: True
) -> Iterator[Record]:
    """The file's records, the header first; a column whose name is not wanted is not read, its cells are blank.

    Raises CannotReadOrWrite where the file cannot be read.
    """
    try:
        with duckdb.connect(config=NO_EXTENSIONS) as db:
            db.execute("set TimeZone = 'UTC'")
            columns = _columns(db, path, name)
            yield Record(0, [column.name for column in columns], "")
            texts = ", ".join(
                f"{identifier(column.name)}::varchar" if is_wanted(column.name) else "''" for column in columns
            )
            rows = db.execute(f"select {texts} from read_parquet({one_path(path)}, hive_partitioning=false)")
            line = 0
            while block := rows.fetchmany(10_000):
                for row in block:
                    line += 1
                    cells = [
                        number_text(text, decimal) if column.has_fractions and text[-1:].isdigit() else text
                        for text, column in zip((cell or "" for cell in row), columns, strict=True)
                    ]
                    yield bounded(Record(line, cells, "\t".join(cells)))
    except duckdb.Error as error:
        raise _no_parquet(name, error) from None


def _columns(db: duckdb.DuckDBPyConnection, path: Path, name: str) -> list[ParquetColumn]:
    described = db.execute(f"describe from read_parquet({one_path(path)}, hive_partitioning=false)").fetchall()
    if len(described) > MOST_COLUMNS:
        raise too_wide(name, f"{len(described)} columns")
    return [ParquetColumn(column, kind.split("(")[0]) for column, kind, *_ in described]


def _no_parquet(name: str, error: duckdb.Error) -> CannotReadOrWrite:
    return CannotReadOrWrite(f"{name}: found a file that cannot be read as Parquet ({str(error).splitlines()[0]})")
