"""The week's page: nothing of the input can break it, nothing is asked of a network, everybody can read it.

The style sheet's hash is computed as CSP Level 3, 2.3.1 has it. Colours are checked in test_palette.py.
"""

import base64
import hashlib
import random
import re
from datetime import date
from decimal import Decimal
from html import escape
from html.parser import HTMLParser

import duckdb
import jinja2
import pytest
from markupsafe import Markup
from report_fixture import TABLES, empty_tables, insert_week, report_tables

from fleetreport.languages.catalogues import CATALOGUES
from fleetreport.pages.frame import LONGEST_REMEMBERED, anchor, natural_order, page_environment, vehicle_page_path
from fleetreport.pages.page import week_page
from fleetreport.pages.strip_chart import draw_strip
from fleetreport.report.report_rows import (
    DepotSummary,
    DueRow,
    Load,
    Note,
    NotJudged,
    OnTime,
    SetAside,
    StaleMeter,
    SuggestedMeterChange,
    Unmatched,
    WeekAtAGlance,
    columns_of,
    read_rows,
)
from fleetreport.report.sentences import why_due
from fleetreport.report.since_rows import LastWeek, SinceRow
from fleetreport.report.visit_rows import DepotWeek

READ = {
    "week_at_a_glance": WeekAtAGlance, "due_list": DueRow, "depot_summary": DepotSummary,
    "not_judged": NotJudged, "notes": Note, "stale_meters": StaleMeter,
    "quarantine": SetAside, "suggested_meter_changes": SuggestedMeterChange, "unmatched": Unmatched,
    "loads": Load, "on_time": OnTime, "last_week": LastWeek, "since_last_week": SinceRow,
}  # fmt: skip
# Columns whose values are a fixed set of words of ours; everything else may hold any text.
FIXED = {
    "status", "governed_by", "due_rule", "basis", "duty", "source", "reason", "scope", "meter", "iso_week",
    "currency", "distance_unit", "month", "unit", "kind", "change", "status_before", "refused_unit",
}  # fmt: skip
HOSTILE = "</td></table></style><script>alert(1)</script><img src=//x.example onerror='x'>\"&amp;{{7*7}}\u202e\x07"
VOID = {"meta", "br", "img", "link", "input", "hr", "col"}


class Tree(HTMLParser):
    """The page's tags and text; notes what is not closed in order."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.misplaced: list[str] = []
        self.text: list[str] = []
        self.style: list[str] = []
        self.script: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.misplaced.append(tag)

    def handle_data(self, data: str) -> None:
        into = self.style if "style" in self.open else self.script if "script" in self.open else self.text
        into.append(data)

    def words(self) -> str:
        return " ".join(" ".join(self.text).split())

    def attributes(self, name: str) -> list[str]:
        return [attrs[name] or "" for _, attrs in self.tags if name in attrs]


@pytest.fixture(scope="module")
def forty() -> duckdb.DuckDBPyConnection:
    return report_tables(40)


@pytest.fixture(scope="module")
def page(forty: duckdb.DuckDBPyConnection) -> str:
    return week_page(forty)


@pytest.mark.parametrize("vehicles", [0, 3, 40])
def test_page_is_well_formed_and_its_references_lead_somewhere(vehicles: int) -> None:
    tree = Tree(week_page(report_tables(vehicles)))
    assert (tree.misplaced, tree.open) == ([], [])
    ids = tree.attributes("id")
    assert len(ids) == len(set(ids))
    links = tree.attributes("href")
    assert {link for link in links if not link.startswith("#")} <= {
        "index.html", *(vehicle_page_path(f"V-{n:03d}") for n in range(1, 6)),
        *(vehicle_page_path(row.vehicle_id) for row in read_rows(report_tables(vehicles), DueRow, "due_list")),
        *(vehicle_page_path(row.vehicle_id) for row in read_rows(report_tables(vehicles), NotJudged, "not_judged")),
    }  # fmt: skip
    within = [link.removeprefix("#") for link in links if link.startswith("#")]
    assert within
    for target in within + tree.attributes("aria-labelledby"):
        assert target in ids
    tags = [tag for tag, _ in tree.tags]
    assert [tags.count(one) for one in ("h1", "main", "header", "footer", "title", "script")] == [1] * 6
    assert tags.count("table") == tags.count("caption")
    assert all("scope" in attrs for tag, attrs in tree.tags if tag == "th")


def test_page_asks_nothing_of_any_network(page: str) -> None:
    tree = Tree(page)
    assert not {tag for tag, _ in tree.tags} & {
        "link",
        "img",
        "iframe",
        "object",
        "form",
        "base",
        "embed",
    }
    assert not re.search(r"https?:|\bsrc\s*=|@import|url\(|srcset|=\s*[\"']//", page)
    assert all(re.match(r"#|index\.html$|vehicles/[a-z0-9_-]+\.html$", href) for href in tree.attributes("href"))
    assert not re.search(r"fetch|XMLHttp|WebSocket|sendBeacon|import\(|eval|innerHTML", "".join(tree.script))
    assert not [name for _, attrs in tree.tags for name in attrs if name.startswith("on") or name == "style"]


def test_policy_allows_only_the_style_sheet_and_the_script_inside_by_their_hashes(page: str) -> None:
    tree = Tree(page)
    policy = next(attrs["content"] for _, attrs in tree.tags if "http-equiv" in attrs)
    style, script = (
        base64.b64encode(hashlib.sha256("".join(text).encode()).digest()).decode() for text in (tree.style, tree.script)
    )
    assert policy == (
        f"default-src 'none'; style-src 'sha256-{style}'; script-src 'sha256-{script}'; base-uri 'none'; "
        "form-action 'none'"
    )


def with_text(text: str, *, in_every_column: bool) -> duckdb.DuckDBPyConnection:
    """A small fleet in which every column of free text says `text` (or, for comparison, something tame)."""
    db = report_tables(12)
    for table in READ:
        for name, kind, *_ in db.execute(f'describe "{table}"').fetchall():
            free = name not in FIXED or (table == "quarantine" and name == "reason")
            if kind == "VARCHAR" and free:
                # Keys stay apart, so that the rows stay grouped as they were.
                said = f"'{text.replace(chr(39), chr(39) * 2)}'" if in_every_column else "'tame'"
                db.execute(f'update "{table}" set "{name}" = {said} || "{name}" where "{name}" is not null')
    return db


def test_hostile_text_in_any_column_stays_text() -> None:
    """The page has the same tags as with tame text, and shows the hostile text as what it is."""
    tame = Tree(week_page(with_text("", in_every_column=False)))
    html = week_page(with_text(HOSTILE, in_every_column=True))
    hostile = Tree(html)
    assert [tag for tag, _ in hostile.tags] == [tag for tag, _ in tame.tags]
    assert [sorted(attrs) for _, attrs in hostile.tags] == [sorted(attrs) for _, attrs in tame.tags]
    assert (hostile.misplaced, hostile.open) == ([], [])
    shown = HOSTILE.replace("\u202e", "\ufffd").replace("\x07", "\ufffd")
    assert html.count(str(jinja2.utils.markupsafe.escape(shown))) > 100
    assert html.count("<script") == 1
    assert hostile.script == tame.script
    assert "{{7*7}}" in html


@pytest.mark.parametrize("table", READ)
def test_every_free_text_column_is_shown_escaped(table: str) -> None:
    """One column at a time, so that a column forgotten in a template is noticed."""
    # shown by their titles
    not_shown = {"due_list": {"task"}, "not_judged": {"task"}, "since_last_week": {"task"}}
    db = report_tables(12)
    for name in columns_of(READ[table]):
        kind = next(k for n, k, *_ in db.execute(f'describe "{table}"').fetchall() if n == name)
        free = name not in FIXED or (table == "quarantine" and name == "reason")
        if kind != "VARCHAR" or not free or name in not_shown.get(table, set()):
            continue
        db.begin()
        db.execute(f'update "{table}" set "{name}" = \'<b>&"\'')
        html = week_page(db)
        db.rollback()
        assert "&lt;b&gt;&amp;&#34;" in html, name
        assert "<b>&" not in html, name


def test_same_rows_in_another_order_give_the_same_bytes(forty: duckdb.DuckDBPyConnection, page: str) -> None:
    other = empty_tables()
    for table in TABLES:
        rows = forty.execute(f'from "{table}"').fetchall()
        random.Random(7).shuffle(rows)
        marks = ", ".join("?" * len(rows[0]))
        other.executemany(f'insert into "{table}" values ({marks})', rows)
    assert week_page(other).encode() == page.encode()


@pytest.mark.parametrize("table", READ)
def test_page_needs_its_columns_by_name_and_minds_no_further_one(table: str) -> None:
    db = report_tables(3)
    names = {row[0] for row in db.execute(f'describe "{table}"').fetchall()}
    assert names == set(columns_of(READ[table]))
    before = week_page(db)
    db.execute(f"alter table \"{table}\" add column further varchar default 'x'")
    assert week_page(db) == before
    missing = columns_of(READ[table])[-1]
    db.execute(f'alter table "{table}" rename column "{missing}" to misspelt')
    with pytest.raises(duckdb.BinderException, match=missing):
        week_page(db)


def test_week_needs_exactly_one_row() -> None:
    with pytest.raises(ValueError, match="week_at_a_glance: found 0 rows, expected 1"):
        week_page(empty_tables())


def test_a_misspelt_name_in_a_template_is_an_error() -> None:
    environment = page_environment()
    with pytest.raises(jinja2.UndefinedError):
        environment.from_string("{{ week.fleet_nmae }}").render(week=object())
    assert environment.from_string("{{ text }}").render(text="<") == "&lt;"


def test_every_listed_task_is_on_the_page(forty: duckdb.DuckDBPyConnection, page: str) -> None:
    rows = read_rows(forty, DueRow, "due_list")
    at_hand = [row for row in rows if row.status in ("overdue", "due")]
    assert page.count('class="why"') == len(at_hand)
    for row in at_hand:
        assert escape(why_due(row), quote=False) in page.replace("&#39;", "'")
    upcoming = page.count('<td class="who">')
    assert upcoming == len(rows) - len(at_hand)
    assert {len(at_hand), upcoming} & {0} == set()


def test_first_screen_gives_the_counts_and_the_vehicles_to_bring_in(page: str) -> None:
    """The first list, before the contents, has a row for each vehicle with overdue or due work."""
    lead = Tree(page[page.index("<main") : page.index('<nav aria-labelledby="contents-title"')])
    ((overdue, due, vehicles),) = (
        report_tables(40)
        .execute(
            """select count(*) filter (status = 'overdue'), count(*) filter (status = 'due'),
            count(distinct vehicle_id) filter (status <> 'upcoming') from due_list"""
        )
        .fetchall()
    )
    assert f"Overdue {overdue} on" in lead.words()
    assert f"Due {due} on" in lead.words()
    assert f"{vehicles} vehicles to bring in" in lead.words()
    assert len([href for href in lead.attributes("href") if href.startswith("#vehicle-")]) == vehicles
    assert "Not due does not mean safe" in lead.words()


def test_overdue_by_law_comes_first_then_expired_then_the_latest() -> None:
    db = empty_tables()
    insert_week(db, vehicles=4)
    for vehicle, status, source, late, rule in (
        ("V-1", "due", "law", None, "expiry"), ("V-2", "overdue", "maker", "5.0", "interval"),
        ("V-3", "overdue", "maker", "80.0", "interval"), ("V-4", "overdue", "law", None, "expiry"),
        ("V-5", "overdue", "own", None, "expiry"),
    ):  # fmt: skip
        db.execute(
            """insert into due_list by name select ? as vehicle_id, 'van' as class, '' as depot, 't' as task,
                ? as status, 'date' as governed_by, date '2026-11-20' as due_on, -5 as days_left,
                ?::decimal(10, 1) as late_by_pct, 'km' as distance_unit, 0 as odometer_offset,
                0 as hours_offset,
                ? as due_rule, ? as source""",
            [vehicle, status, late, rule, source],
        )
    html = week_page(db)
    lead = html[: html.index("contents-title")]
    order = sorted((lead.index(anchor("vehicle", f"V-{n}")), n) for n in range(1, 6))
    assert [n for _, n in order] == [4, 5, 3, 2, 1]


def test_a_long_list_is_folded_and_a_short_one_is_not() -> None:
    assert "<details>" not in week_page(report_tables(3))
    db = report_tables(40)
    ((most,),) = db.execute(
        "select max(n) from (select count(*) as n from due_list where status = 'upcoming' group by depot)"
    ).fetchall()
    assert f"<summary>{most}\u00a0upcoming tasks, in order of date" in week_page(db)


def test_an_empty_fleet_has_a_page_that_promises_nothing() -> None:
    words = Tree(week_page(report_tables(0))).words()
    assert "No vehicle of this fleet is in service on 25 Nov 2026" in words
    assert "Nothing was set aside" in words
    assert "Not due does not mean safe" in words


def test_five_thousand_rows_are_all_there_and_folded_away() -> None:
    db = report_tables(2_300)
    ((rows, upcoming),) = db.execute("select count(*), count(*) filter (status = 'upcoming') from due_list").fetchall()
    html = week_page(db)
    assert rows > 5_000
    assert html.count('<td class="who">') == upcoming
    assert html.count('class="why"') == rows - upcoming
    opened = re.sub(r"<details>.*?</details>", "", html, flags=re.DOTALL)
    assert opened.count('<td class="who">') == 0
    assert "content-visibility: auto" in html


def test_nothing_blank_is_shown_as_none(page: str) -> None:
    assert not re.search(r"\bNone\b|\bnan\b|Decimal\(", Tree(page).words())


def test_status_is_always_a_word_and_a_mark(page: str) -> None:
    marks = re.findall(r'<span class="status (\w+)"><svg [^>]*><use href="#mark-(\w+)"/></svg>([^<]+)</span>', page)
    assert len(marks) == page.count('class="status ') > 50
    words = {
        "overdue": "Overdue",
        "due": "Due",
        "upcoming": "Upcoming",
        "later": "Later",
        "unknown": "Not judged",
    }
    assert all(status == mark and words[status] == word for status, mark, word in marks)
    assert set(words) <= set(re.findall(r'<symbol id="mark-(\w+)"', page))


def test_vehicles_are_in_the_order_of_their_numbers() -> None:
    assert sorted(["V-10", "V-2", "v-1", "V-02"], key=natural_order) == ["v-1", "V-02", "V-2", "V-10"]


def test_dates_and_week_come_from_the_tables_alone() -> None:
    """No clock is read: a page of a past week is that week's."""
    db = report_tables(3)
    db.execute("update week_at_a_glance set as_of = ?, iso_week = '2020-W53'", [date(2020, 12, 31)])
    words = Tree(week_page(db)).words()
    assert "As of Thursday 31 December 2020" in words
    assert "Week 53 2020" in words


def test_a_macro_is_laid_out_once_for_the_same_short_text_and_never_for_equal_numbers() -> None:
    laid_out: list[object] = []
    macro = page_environment().globals["remembered"](lambda text: laid_out.append(text) or f"<b>{text}</b>")
    assert [macro(text) for text in ("a", "a", Markup("a"))] == ["<b>a</b>"] * 3
    assert [macro(Decimal(text)) for text in ("1.0", "1.00")] == ["<b>1.0</b>", "<b>1.00</b>"]
    long = "x" * (LONGEST_REMEMBERED + 1)
    macro(long)
    macro(long)
    assert laid_out == ["a", Markup("a"), Decimal("1.0"), Decimal("1.00"), long, long]
    assert [type(one) for one in laid_out[:2]] == [str, Markup]


def test_figures_over_the_bars_of_hours_are_rounded_half_up_as_those_in_the_text() -> None:
    hours = (Decimal("12.50"), Decimal("2.25"), Decimal("1042.5"))
    cells = [DepotWeek("North", f"2026-W4{at}", True, 1, 1, 0, one, None) for at, one in enumerate(hours)]
    figure, _ = draw_strip(["North"], [(cell.iso_week, [cell]) for cell in cells], CATALOGUES["de"])
    assert [text.get_text() for text in figure.axes[0].texts] == ["13", "2,3", "1.043"]
