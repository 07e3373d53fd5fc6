"""What ties a week together, and keeping it: vehicles' pages, calendar and index, and a copy in `weeks/<ISO week>/`.

A run writes its reports aside; `finish_week` adds the pages that need all others, then copies the whole into the week's
own folder there, and they move into place with the rest. The same week run again replaces itself file by file, and
a page of a vehicle or depot that is gone must not be taken for this week's: `vehicle_pages_of_before` and
`depot_files_of_before` name them. Only files of names that are ours alone go.
"""

import re
import shutil
from collections.abc import Callable, Sequence
from pathlib import Path

import duckdb

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.letters.visit_calendar import visit_calendar
from fleetreport.pages.frame import vehicle_page_path
from fleetreport.pages.index_page import index_page
from fleetreport.pages.vehicle_pages import vehicle_pages
from fleetreport.report.depot_parts import DEPOTS
from fleetreport.storing.past_weeks import WEEKS, PastWeek, week_folder

OUR_VEHICLE_PAGE = re.compile(r"[a-z0-9-]+_[0-9a-f]{12}\.html")
OUR_DEPOT_FILE = re.compile(r"[a-z0-9-]+_[0-9a-f]{12}(-[0-9]+)?(\.html|\.xlsx|_cards\.html)")


def finish_week(
    db: duckdb.DuckDBPyConnection,
    aside: Path,
    iso_week: str,
    past: Sequence[PastWeek],
    tick: Callable[[str], None] = lambda what: None,
    words: Catalogue = ENGLISH,
) -> None:
    """Write vehicles' pages, due.ics and index.html into `aside`, and all that stands there into the week's folder too.

    Raises OSError where they cannot be written.
    """
    tick("vehicles")
    (aside / "vehicles").mkdir()
    for place, page in vehicle_pages(db, words):
        (aside / place).write_text(page, encoding="utf-8", newline="\n")
    with (aside / "due.ics").open("wb") as calendar:
        calendar.writelines(visit_calendar(db, words))
    tick("index.html")
    newest, kept = (index_page(db, aside, past, is_kept, words) for is_kept in (False, True))
    _copy(aside, aside / week_folder(iso_week))
    (aside / "index.html").write_text(newest, encoding="utf-8", newline="\n")
    (aside / week_folder(iso_week) / "index.html").write_text(kept, encoding="utf-8", newline="\n")


def _copy(aside: Path, kept: Path) -> None:
    written = [path for path in sorted(aside.iterdir()) if path.name != WEEKS]
    kept.mkdir(parents=True)
    for path in written:
        if path.is_dir():
            shutil.copytree(path, kept / path.name, copy_function=shutil.copyfile)
        else:
            shutil.copyfile(path, kept / path.name)


def depot_files_of_before(folder: Path) -> list[str]:
    """What an earlier run put into `folder` for depots, from `folder`; what this run writes anew stays."""
    names = sorted(path.name for path in (folder / DEPOTS).glob("*"))
    return [f"{DEPOTS}/{name}" for name in names if OUR_DEPOT_FILE.fullmatch(name)]


def vehicle_pages_of_before(db: duckdb.DuckDBPyConnection, folder: Path) -> list[str]:
    """Pages in `folder` of vehicles that have none now, from `folder`. Reads sheet_vehicles."""
    have = db.execute("select vehicle_id from sheet_vehicles where has_page").fetchall()
    now = {vehicle_page_path(vehicle) for (vehicle,) in have}
    ours = (path.name for path in sorted((folder / "vehicles").glob("*.html")) if OUR_VEHICLE_PAGE.fullmatch(path.name))
    return [f"vehicles/{name}" for name in ours if f"vehicles/{name}" not in now]
