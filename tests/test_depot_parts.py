"""The reports of a large fleet are split by depot: in parts they say what they would say in one."""

import re
import shutil
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any

import duckdb
import openpyxl
import pytest
from conftest import QUERIES, WriteFleet
from test_week import AS_OF

from fleetreport.pages.job_cards import cards_of_parts, cards_page
from fleetreport.pages.order_page import order_page
from fleetreport.pages.page import depot_pages, week_page
from fleetreport.query import load_macros, load_queries
from fleetreport.report.depot_parts import Part, part_path, read_parts
from fleetreport.storing.past_weeks import iso_week, week_folder
from fleetreport.week import make_week
from fleetreport.workbooks.workbook import write_depot_book, write_workbook

VEHICLES_A_PART = 4
ARTICLE = re.compile(r"<article .*?</article>", re.DOTALL)
ROW = re.compile(r"<tr[ >].*?</tr>", re.DOTALL)


@pytest.fixture(scope="module")
def split_run(sample_week: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[duckdb.DuckDBPyConnection]:
    """The sample fleet's week as if four vehicles were many."""
    copy = tmp_path_factory.mktemp("split") / "store.duckdb"
    shutil.copyfile(sample_week.parent / "store.duckdb", copy)
    (query,) = (one for one in load_queries(QUERIES, ["pages"]) if one.table == "report_parts")
    with duckdb.connect(copy) as db:
        load_macros(db, QUERIES)
        db.execute("update run set split_above = ?", [VEHICLES_A_PART])
        db.execute(f"create or replace table report_parts as {query.sql}")
        yield db


def count(db: duckdb.DuckDBPyConnection, sql: str) -> int:
    return int(db.execute(f"select count(*) from {sql}").fetchall()[0][0])


def rows_of(sheet: Any) -> list[tuple[Any, ...]]:
    """The rows below the headings; a table without any keeps an empty one."""
    return [row for row in sheet.iter_rows(min_row=2, values_only=True) if any(cell is not None for cell in row)]


def test_every_vehicle_in_service_stands_in_one_part_and_no_part_is_too_large(
    split_run: duckdb.DuckDBPyConnection,
) -> None:
    assert count(split_run, "report_parts") == count(split_run, "sheet_vehicles")
    sizes = split_run.execute("select depot, part, parts, count(*) from report_parts group by all").fetchall()
    assert all(size <= VEHICLES_A_PART for *_, size in sizes)
    for depot in {row[0] for row in sizes}:
        mine = sorted(row[1:] for row in sizes if row[0] == depot)
        assert [part for part, *_ in mine] == list(range(1, mine[0][1] + 1)), depot
        assert all(size == VEHICLES_A_PART for *_, size in mine[:-1]), depot
    files = [part_path(part) for part in read_parts(split_run)]
    assert len(set(files)) == len(files) == len(sizes)


def test_a_small_fleet_is_not_split(full_run: duckdb.DuckDBPyConnection) -> None:
    assert read_parts(full_run) == []


def test_the_depots_pages_have_the_vehicles_and_rows_of_the_undivided_page(
    split_run: duckdb.DuckDBPyConnection,
) -> None:
    parts = read_parts(split_run)
    pages = dict(depot_pages(split_run, parts))
    assert set(pages) == {part_path(part) for part in parts}
    whole = week_page(split_run)
    together = "\n".join(pages.values()).replace('href="../', 'href="')
    for found in (
        ARTICLE,
        re.compile(r'<tr data-depot="[^"]*" data-status="(?:upcoming|unknown)">.*?</tr>', re.DOTALL),
    ):
        assert found.findall(whole)
        assert sorted(found.findall(together)) == sorted(found.findall(whole))
    first = unescape(next(iter(pages.values())))
    assert 'href="../vehicles/' in first
    assert '<a href="../week.html">' in first


def test_the_split_page_sums_up_and_leads_to_the_parts(split_run: duckdb.DuckDBPyConnection) -> None:
    parts = read_parts(split_run)
    page, whole = week_page(split_run, parts=parts), week_page(split_run)
    assert not ARTICLE.findall(page)
    for part in parts:
        assert page.count(f'href="{part_path(part)}"') == 2, part  # in the contents, and below the depots' figures
    lead = re.compile(r'<table class="lead .*?</table>', re.DOTALL)
    without_links = re.compile(r'href="[^"]*"')

    def said(text: str) -> list[str]:
        rows = [row for table in lead.findall(text) for row in ROW.findall(table)]
        return [without_links.sub("", row) for row in rows]

    assert said(page) == said(whole)
    linked = re.findall(r'<th scope="row"><a href="(depots/[^"#]+)#(vehicle-[0-9a-f]{12})">', page)
    pages = dict(depot_pages(split_run, parts))
    assert len(linked) == len(ARTICLE.findall(whole))
    assert all(f'id="{fragment}"' in pages[file] for file, fragment in linked)
    for reason, number in split_run.execute("select reason, count(*) from not_judged group by all").fetchall():
        assert re.search(rf"<li>[^<]*: {number}</li>", page), reason


def test_the_first_of_many_to_bring_in_are_the_most_pressing(
    split_run: duckdb.DuckDBPyConnection, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("fleetreport.pages.page.LEAD_SHOWN", 5)
    shown = re.compile(r'<th scope="row"><a href="[^"]*#(vehicle-[0-9a-f]{12})">')
    parts = read_parts(split_run)
    first = shown.findall(week_page(split_run, parts=parts))
    in_all = shown.findall(week_page(split_run))
    assert first == in_all[:5]
    assert f"And {len(in_all) - 5}\u00a0more vehicles" in week_page(split_run, parts=parts)


def test_a_long_list_of_what_lacks_an_item_is_cut_and_names_its_table(
    split_run: duckdb.DuckDBPyConnection, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("fleetreport.pages.order_page.SHOWN", 1)
    monkeypatch.setattr("fleetreport.pages.order_page.LONGEST", 2)
    page = order_page(split_run)
    late = page[page.index('<section id="late"') :].split("</section>")[0]
    lists = [count(split_run, f"late_without_order where {which}") for which in ("is_urgent", "not is_urgent")]
    assert max(lists) > 2
    assert late.count('<td class="on">') == sum(min(2, length) for length in lists)
    told = [int(n) for n in re.findall(r"(\d+) more in data/late_without_order.csv", late)]
    assert told == [length - 2 for length in lists if length > 2]


def test_job_cards_of_the_parts_are_those_of_the_undivided_file(split_run: duckdb.DuckDBPyConnection) -> None:
    parts = read_parts(split_run)
    pages = dict(cards_of_parts(split_run, parts))
    whole = ARTICLE.findall(cards_page(split_run))
    assert whole
    assert sorted(card for page in pages.values() for card in ARTICLE.findall(page)) == sorted(whole)
    leading = cards_page(split_run, parts=parts)
    assert not ARTICLE.findall(leading)
    counts = {file: len(ARTICLE.findall(page)) for file, page in pages.items()}
    for file, cards in counts.items():
        assert re.search(rf'href="{file}">.*</a>: {cards}\u00a0visit', leading), file


def test_the_depots_workbooks_have_the_rows_of_the_undivided_one(
    split_run: duckdb.DuckDBPyConnection, tmp_path: Path
) -> None:
    parts = read_parts(split_run)
    write_workbook(split_run, tmp_path / "whole.xlsx")
    write_workbook(split_run, tmp_path / "top.xlsx", is_split=True)
    for number, part in enumerate(parts):
        write_depot_book(split_run, tmp_path / f"{number}.xlsx", part)
    whole, top = openpyxl.load_workbook(tmp_path / "whole.xlsx"), openpyxl.load_workbook(tmp_path / "top.xlsx")
    books = [openpyxl.load_workbook(tmp_path / f"{number}.xlsx") for number in range(len(parts))]
    for sheet in ("Due", "Not judged", "Meters to read"):
        found = [row for book in books for row in rows_of(book[sheet])]
        assert found or sheet == "Meters to read"  # the sample fleet reads all its meters
        assert sorted(found, key=repr) == sorted(rows_of(whole[sheet]), key=repr), sheet
        assert {tuple(cell.value for cell in book[sheet][1]) for book in books} == {
            tuple(cell.value for cell in whole[sheet][1])
        }
        assert "by depot in the workbooks" in str(rows_of(top[sheet])[0][0])
    assert top.sheetnames == ["Cover", "Depots", *whole.sheetnames[1:]]
    heads = [cell.value for cell in top["Depots"][1]]
    depots = dict(zip(heads, zip(*rows_of(top["Depots"]), strict=True), strict=True))
    assert sum(depots["Vehicles"]) == count(split_run, "sheet_vehicles")
    for status in ("overdue", "due", "upcoming"):
        assert sum(depots[f"Tasks {status}"]) == count(split_run, f"due_list where status = '{status}'")
    assert sorted(depots["Workbook"]) == sorted(part_path(part, ".xlsx") for part in parts)


def test_a_fleet_above_its_limit_is_published_in_parts_and_one_below_it_takes_them_away(
    tmp_path: Path, write_fleet: WriteFleet
) -> None:
    vehicles = (
        "vehicle_id,class,depot,in_service_on\nV1,van,North,2020-01-01\nV2,van,North,2020-01-01\nV3,van,,2020-01-01\n"
    )
    tasks = "class,task,every_months\nvan,oil,12\n"
    fleet = write_fleet(settings="[week]\nsplit_above = 1\nvehicle_pages = 1\n", vehicles=vehicles, tasks=tasks)
    out = tmp_path / "out"
    make_week(fleet, AS_OF, out, tmp_path / "store.duckdb")
    parts = [Part("North", 1, 2), Part("North", 2, 2), Part("", 1, 1)]
    made = {part_path(part, kind) for part in parts for kind in (".html", ".xlsx", "_cards.html")}
    for folder in (out, out / week_folder(iso_week(AS_OF))):
        assert {path.relative_to(folder).as_posix() for path in (folder / "depots").iterdir()} == made
        for file in [*folder.glob("*.html"), *folder.glob("depots/*.html")]:
            for link in re.findall(r'href="([^"#:]+)[#"]', file.read_text(encoding="utf-8")):
                assert (file.parent / link).exists(), (file.name, link)
    index = (out / "index.html").read_text(encoding="utf-8")
    assert all(f'href="{file}"' in index for file in made)
    (out / "depots" / "notes.txt").write_text("a person's own")
    write_fleet(settings="[week]\nsplit_above = 3\n", vehicles=vehicles, tasks=tasks)
    make_week(fleet, AS_OF, out, tmp_path / "store.duckdb")
    assert [path.name for path in (out / "depots").iterdir()] == ["notes.txt"]
    assert "depots/" not in (out / "week.html").read_text(encoding="utf-8")
