"""The floor: DuckDB alone reads the same files into typed tables. `python -m tests.benchmarks.typed_tables FLEET FILE`.

Rows that do not fit the types are passed over; nothing is checked, joined, told apart or kept in mind.
"""

import sys
from pathlib import Path

import duckdb

READINGS = (
    "{'vehicle_id': 'VARCHAR', 'read_at': 'TIMESTAMP', 'meter': 'VARCHAR', 'reading': 'DECIMAL(18,7)', "
    "'unit': 'VARCHAR'}"
)


def main(fleet: Path, store: Path) -> None:
    """Read all tables of a benchmark's fleet into a new database file."""
    db = duckdb.connect(store)
    if any((fleet / "readings").glob("*.parquet")):
        db.execute(
            f"""create table readings as select vehicle_id, read_at::timestamp as read_at, meter,
            reading::decimal(18, 7) as reading, unit from read_parquet('{fleet}/readings/*.parquet')"""
        )
    else:
        db.execute(
            f"""create table readings as from read_csv('{fleet}/readings/*.csv', header=true, delim=',', quote='"',
            escape='"', auto_detect=false, ignore_errors=true, columns={READINGS})"""
        )
    db.execute(f"create table history as from read_csv('{fleet}/history/*.csv')")
    for path in sorted(fleet.glob("*.csv")):
        db.execute(f"create table \"{path.stem}\" as from read_csv('{path}')")
    db.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
