"""Publish a week: every report is written aside, then all move into their places (placing.py).

The reports of the week stand in `out` itself and, for the record, in its own folder there.
"""

import hashlib
import re
from collections.abc import Callable, Collection, Mapping, Sequence
from contextlib import suppress
from datetime import date
from pathlib import Path

import duckdb

from fleetreport.kept_weeks import depot_files_of_before, finish_week, vehicle_pages_of_before
from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.letters.forecast_mail import forecast_letter
from fleetreport.letters.mail import Envelope, Letter, message, week_letter
from fleetreport.letters.order_letters import HEADER, supplier_files
from fleetreport.letters.order_mail import order_letter
from fleetreport.own.queries import OwnQuery
from fleetreport.pages.job_cards import cards_of_parts, cards_page, write_card_lines
from fleetreport.pages.order_page import order_page
from fleetreport.pages.own_reports import own_pages
from fleetreport.pages.page import depot_pages, week_page
from fleetreport.pages.record_page import record_page
from fleetreport.placing import put_in_place
from fleetreport.published_tables import PUBLISHED, PUBLISHED_MONEY
from fleetreport.report.depot_parts import DEPOTS, Part, part_path, read_parts
from fleetreport.report.sheet_rows import without_page
from fleetreport.settings.fleet_toml import Settings
from fleetreport.sql import literal
from fleetreport.storing.past_weeks import PastWeek, iso_week, week_folder
from fleetreport.workbooks.money_tables import write_forecast, write_money_tables
from fleetreport.workbooks.workbook import write_depot_book, write_workbook

# The letters by the report that people are named for under [mail], made of the tables and the folder that this run's
# reports were just written into. Each is mail/<report>.eml.
LETTERS: Mapping[str, Callable[[duckdb.DuckDBPyConnection, Path, Catalogue], Letter]] = {
    "week": lambda db, made, words: week_letter(db, (made / "week.xlsx").read_bytes(), words),
    "forecast": lambda db, made, words: forecast_letter(db, (made / "forecast.xlsx").read_bytes(), words),
    "order": lambda db, made, words: order_letter(
        db, read_texts(made / "orders"), (made / "week.xlsx").read_bytes(), words
    ),
}
OWN_LIST = ".own_reports"
OWN_LINE = re.compile(r"(?P<digest>[0-9a-f]{64})  (?P<name>[a-z][a-z0-9_]*\.html|data/[a-z][a-z0-9_]*\.(csv|parquet))")


def publish(
    db: duckdb.DuckDBPyConnection,
    settings: Settings,
    as_of: date,
    out: Path,
    parquet: bool,
    tick: Callable[[str], None],
    words: Catalogue = ENGLISH,
    own: Sequence[OwnQuery] = (),
    past: Sequence[PastWeek] = (),
) -> None:
    """Write all reports aside, then move each into its place in `out`, and a copy into the week's own folder there.

    `words` are those of the fleet's language, `own` its own queries, `past` the weeks kept so far. Raises
    CannotReadOrWrite where `out` cannot be written, WrongCall for a template of the fleet's own that cannot be used.
    """
    own_tables = [query.table for query in own if not query.must_give]
    letters = [report for report in LETTERS if settings.mail.named(report)]
    orders = supplier_files(db, words)
    kept = week_folder(iso_week(as_of))
    # Tables, letters and pages of an earlier run must not stand beside those of this one.
    parquets = [] if parquet else [f"data/{table}.parquet" for table in (*PUBLISHED, *PUBLISHED_MONEY, *own_tables)]
    gone = [
        f"{within}{name}"
        for within, folder in (("", out), (f"{kept}/", out / kept))
        for name in (*parquets, *_letters_of_before(folder, settings, orders), *_pages_of_before(db, folder))
    ]
    with put_in_place(out, gone, settings.outputs.readable_by) as aside:
        _write_tables(db, [*PUBLISHED, *own_tables], aside / "data", parquet, tick)
        (aside / "orders").mkdir()
        _write_own_pages(own_pages(db, own, words), own_tables, parquet, aside)
        tick("week.html")
        parts = read_parts(db)
        _write_week(db, parts, aside, words)
        tick("order.html")
        (aside / "order.html").write_text(order_page(db, words), encoding="utf-8", newline="\n")
        for name, text in orders.items():
            (aside / "orders" / name).write_text(text, encoding="utf-8", newline="\n")
        tick("jobcards.html")
        (aside / "jobcards.html").write_text(cards_page(db, words, parts), encoding="utf-8", newline="\n")
        (aside / "records.html").write_text(record_page(db, words), encoding="utf-8", newline="\n")
        write_card_lines(db, aside / "jobcards.csv")
        tick("week.xlsx")
        write_workbook(db, aside / "week.xlsx", words, is_split=bool(parts))
        tick("forecast.html")
        write_forecast(db, aside, words)
        for report in letters:
            write_letter(LETTERS[report](db, aside, words), settings, as_of, aside)
        finish_week(db, aside, iso_week(as_of), past, tick, words)


def _write_week(db: duckdb.DuckDBPyConnection, parts: Sequence[Part], aside: Path, words: Catalogue) -> None:
    """Write week.html, and each part's page, job cards and workbook, one after the other."""
    page = week_page(db, words, parts, without_page(db))
    (aside / "week.html").write_text(page, encoding="utf-8", newline="\n")
    if not parts:
        return
    (aside / DEPOTS).mkdir()
    for pages in (depot_pages(db, parts, words, without_page(db)), cards_of_parts(db, parts, words)):
        for place, page in pages:
            (aside / place).write_text(page, encoding="utf-8", newline="\n")
    for part in parts:
        write_depot_book(db, aside / part_path(part, ".xlsx"), part, words)


def _write_tables(
    db: duckdb.DuckDBPyConnection, tables: Sequence[str], folder: Path, parquet: bool, tick: Callable[[str], None]
) -> None:
    for table in tables:
        tick(f"{table}.csv")
        write_table(db, table, folder / f"{table}.csv", "format csv, header")
        if parquet:
            write_table(db, table, folder / f"{table}.parquet", "format parquet")
    tick("forecast.csv")
    write_money_tables(db, folder, parquet)


def _write_own_pages(pages: Mapping[str, str], tables: Sequence[str], parquet: bool, aside: Path) -> None:
    """Write the pages of the fleet's own reports, and the list of them and of their tables, which are written."""
    for name, page in pages.items():
        (aside / f"{name}.html").write_text(page, encoding="utf-8", newline="\n")
    endings = ("csv", "parquet") if parquet else ("csv",)
    list_own_reports(
        aside, [f"{name}.html" for name in pages] + [f"data/{table}.{end}" for table in tables for end in endings]
    )


def list_own_reports(aside: Path, names: Sequence[str]) -> None:
    """Write which files the fleet's own reports made, each with the SHA-256 of its bytes, into a hidden file beside.

    By it a later run knows what it may take away. Without own reports there is no such file.
    """
    if names:
        lines = [f"{hashlib.sha256((aside / name).read_bytes()).hexdigest()}  {name}\n" for name in sorted(names)]
        (aside / OWN_LIST).write_text("".join(lines), encoding="utf-8", newline="\n")


def own_reports_of_before(folder: Path) -> list[str]:
    """The files of own reports that an earlier run put into `folder`, and their list; from there.

    Only a file of the list that is still as it was written: what anybody changed or put there stays.
    """
    try:
        lines = (folder / OWN_LIST).read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeError):
        return []
    listed = [found for line in lines if (found := OWN_LINE.fullmatch(line))]
    return [OWN_LIST, *(found["name"] for found in listed if _digest(folder / found["name"]) == found["digest"])]


def _digest(path: Path) -> str:
    """The SHA-256 of a file's bytes; nothing where it cannot be read."""
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""


def _pages_of_before(db: duckdb.DuckDBPyConnection, folder: Path) -> list[str]:
    """The pages of an earlier run in `folder` that this one may not write, from there."""
    return [*vehicle_pages_of_before(db, folder), *own_reports_of_before(folder), *depot_files_of_before(folder)]


def _letters_of_before(folder: Path, settings: Settings, orders: Collection[str]) -> list[str]:
    """The letters and orders of an earlier run in `folder` that this one does not write, from there."""
    letters = [f"mail/{path.name}" for path in (folder / "mail").glob("*.eml") if not settings.mail.named(path.stem)]
    return letters + _orders_of_before(folder, orders)


def _orders_of_before(out: Path, orders: Collection[str]) -> list[str]:
    """The lists and letters of an earlier order to suppliers that get none now, known by our heading of the list.

    Sent again by mistake they would be bought again.
    """
    old = []
    for path in sorted((out / "orders").glob("*.csv")):
        with suppress(OSError), path.open(encoding="utf-8", errors="replace") as file:
            if path.name not in orders and file.readline(2 * len(HEADER)).rstrip("\n") == HEADER:
                old += [f"orders/{path.name}", f"orders/{path.stem}.txt"]
    return old


def write_letter(letter: Letter, settings: Settings, as_of: date, folder: Path) -> None:
    """Write a letter to the people the settings name for it, as a file that mail programs open."""
    recipients = settings.mail.named(letter.report)
    envelope = Envelope(settings.smtp.sender or recipients[0], recipients, as_of, settings.fleet.time_zone)
    (folder / "mail").mkdir(exist_ok=True)
    (folder / "mail" / f"{letter.report}.eml").write_bytes(message(letter, envelope).as_bytes())


def write_table(db: duckdb.DuckDBPyConnection, table: str, path: Path, how: str) -> None:
    """Write a table's rows, in the order its query gives them."""
    db.execute(f'copy (from "{table}") to {literal(str(path))} ({how})')


def read_texts(folder: Path) -> dict[str, str]:
    """The texts of a folder by file name."""
    return {path.name: path.read_text(encoding="utf-8") for path in sorted(folder.iterdir())}
