"""How much memory the reports of what is due take when 100,000 tasks are due at once.

    python -m tests.benchmarks.many_due FLEET OUT [--rows 100000] [--whole]

FLEET is a folder whose week was made before (its store is copied, not touched). The rows of its due list are repeated,
each time with other vehicles, until there are so many, with their parts; then week.html, the depots' pages, their
workbooks and week.xlsx are written, or (`--whole`) week.html and week.xlsx undivided. Prints a line of JSON for each:
seconds, and the greatest resident memory while it was written, in MiB (from /proc, so Linux only).
"""

import argparse
import json
import shutil
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import duckdb

from fleetreport.pages.page import depot_pages, week_page
from fleetreport.query import beside_the_package, load_macros, load_queries
from fleetreport.report.depot_parts import Part, part_path, read_parts
from fleetreport.sql import identifier
from fleetreport.storing.store import store_of
from fleetreport.workbooks.workbook import write_depot_book, write_workbook
from tests.benchmarks.stages import forget_peak, peak

MEMORY = "1GiB"
# What is repeated, by vehicle, with the vehicles themselves.
REPEATED = ("sheet_vehicles", "due_list", "not_judged", "stale_meters")


def many_rows(db: duckdb.DuckDBPyConnection, rows: int) -> int:
    """Repeat the due list until it has so many rows; gives how many it has then."""
    now = int(db.execute("select count(*) from due_list").fetchall()[0][0])
    times = -(-rows // now)
    for table in REPEATED:
        db.execute(
            f"""create or replace table {identifier(table)} as
                select * replace (vehicle_id || '-' || copy as vehicle_id)
                from {identifier(table)}, range({times}) as r(copy)"""
        )
    (parts,) = (one for one in load_queries(beside_the_package("queries"), ["pages"]) if one.table == "report_parts")
    db.execute(f"create or replace table report_parts as {parts.sql}")
    return now * times


def measured(what: str, write: Callable[[], object]) -> None:
    """Run `write` and print what it took."""
    forget_peak()
    wall, cpu = time.perf_counter(), time.process_time()
    write()
    taken = {"wall": time.perf_counter() - wall, "cpu": time.process_time() - cpu, "peak": peak()}
    print(json.dumps({"what": what} | {name: round(value, 1) for name, value in taken.items()}), flush=True)


def write_parts(db: duckdb.DuckDBPyConnection, parts: list[Part], out: Path) -> None:
    """The depots' pages and workbooks, one part after the other."""
    (out / "depots").mkdir(exist_ok=True)
    for place, page in depot_pages(db, parts):
        (out / place).write_text(page, encoding="utf-8")
    for part in parts:
        write_depot_book(db, out / part_path(part, ".xlsx"), part)


def main() -> None:
    """Write the reports that the call asks for and print what each took."""
    call = argparse.ArgumentParser()
    call.add_argument("fleet", type=Path)
    call.add_argument("out", type=Path)
    call.add_argument("--rows", type=int, default=100_000)
    call.add_argument("--whole", action="store_true")
    asked = call.parse_args()
    asked.out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "store.duckdb"
        shutil.copyfile(store_of(asked.fleet), copy)
        with duckdb.connect(copy) as db:
            db.execute(f"set memory_limit = '{MEMORY}'")
            load_macros(db, beside_the_package("queries"))
            print(json.dumps({"due rows": many_rows(db, asked.rows)}), flush=True)
            parts = [] if asked.whole else read_parts(db)
            page = asked.out / "week.html"
            measured("week.html", lambda: page.write_text(week_page(db, parts=parts), encoding="utf-8"))
            if parts:
                measured(f"{len(parts)} parts", lambda: write_parts(db, parts, asked.out))
            measured("week.xlsx", lambda: write_workbook(db, asked.out / "week.xlsx", is_split=bool(parts)))


if __name__ == "__main__":
    main()
