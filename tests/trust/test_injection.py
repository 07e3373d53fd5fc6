"""Attacks through the input and the settings, a test a channel, on a fleet that attacks in every text.

The fleet (hostile_fleet.py) is worked out once; each test looks at what came out of one channel with a reader of that
channel: HTML and CSS, SVG, workbooks (OOXML), CSV (RFC 4180), Parquet, mail (RFC 5322), calendars (RFC 5545), file
names, the terminal, the database. What templates and queries of the fleet's own may reach is tested in
tests/test_own_reports.py.
"""

import csv
import re
import sys
import tomllib
import zipfile
from collections.abc import Iterator
from email import message_from_bytes
from email.policy import default
from html.parser import HTMLParser
from pathlib import Path
from typing import Any, NamedTuple
from xml.etree import ElementTree

import duckdb
import openpyxl
import pytest
from icalendar import Calendar

from fleetreport.pages.frame import TEMPLATES

sys.path.insert(0, str(Path(__file__).parent))
import hostile_fleet
from hostile_fleet import EVIL, TASKS, VEHICLES, Attacked, acting, mark_of, unseen
from hostile_folders import take

AS_OF = ("--as-of", "2026-11-25")
MARK = re.compile(r"m\d+z")
FORMULA = ("=", "+", "-", "@", "\t", "\r")
MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"


class Outcome(NamedTuple):
    """What the commands made of the hostile fleet: their folder, what each printed, and the marks of the input."""

    folder: Path
    told: dict[str, str]
    attacked: Attacked

    def written(self) -> list[Path]:
        inputs = {self.attacked.fleet, self.folder / "split_fleet"}
        return [path for path in self.folder.rglob("*") if not inputs & {path, *path.parents}]

    def files(self, pattern: str) -> list[Path]:
        found = sorted(path for path in self.written() if path.relative_to(self.folder).match(pattern))
        assert found, pattern
        return found


def run(*call: object) -> str:
    code, said, told = take([str(part) for part in call])
    assert code in (0, 1), (call[0], told)
    return said + told


@pytest.fixture(scope="module")
def outcome(tmp_path_factory: pytest.TempPathFactory) -> Outcome:
    folder = tmp_path_factory.mktemp("attacked")
    attacked = hostile_fleet.write_hostile_fleet(folder / "fleet")
    fleet = attacked.fleet
    # So small a fleet's reports are split by depot if the settings ask for it.
    split = hostile_fleet.write_hostile_fleet(folder / "split_fleet", "split_above = 1").fleet
    told = {
        "week": run("week", fleet, *AS_OF, "--out", folder / "out", "--parquet", "--store", folder / "store.duckdb"),
        "split week": run("week", split, *AS_OF, "--out", folder / "split"),
        "check": run("check", fleet, *AS_OF, "--out", folder / "check"),
        "what-if": run(
            "what-if",
            fleet,
            *AS_OF,
            "--labour-rate",
            "72",
            "--retire",
            hostile_fleet.CLASS,
            "--out",
            folder / "what-if",
        ),
        "backtest": run("backtest", fleet, *AS_OF, "--every", "1", "--history", "3", "--out", folder / "backtest"),
        "backtest-money": run("backtest-money", fleet, *AS_OF, "--out", folder / "backtest"),
        "why": run("why", VEHICLES[0], TASKS[0], "--fleet", fleet, *AS_OF),
        "loads": run("loads", fleet, "--store", folder / "store.duckdb"),
    }
    return Outcome(folder, told, attacked)


@pytest.fixture(scope="module")
def store(outcome: Outcome) -> Iterator[duckdb.DuckDBPyConnection]:
    with duckdb.connect(outcome.folder / "store.duckdb", read_only=True) as db:
        yield db


class Page(HTMLParser):
    """A page's elements and attributes, its text, and what stands in its style sheets and scripts."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text, self.inside, self._raw = "", {"style": "", "script": ""}, ""
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self._raw = tag if tag in self.inside else ""

    def handle_endtag(self, tag: str) -> None:
        self._raw = ""

    def handle_data(self, data: str) -> None:
        if self._raw:
            self.inside[self._raw] += data
        else:
            self.text += data


def letters(outcome: Outcome) -> dict[str, Any]:
    return {
        path.stem: message_from_bytes(path.read_bytes(), policy=default) for path in outcome.files("out/mail/*.eml")
    }


# Pages of every kind must be among those looked at.
EACH_KIND = (
    "out/week.html", "out/order.html", "out/forecast.html", "out/records.html", "out/jobcards.html", "out/index.html",
    "out/own_rows.html", "out/vehicles/*.html", "out/weeks/*/week.html", "out/weeks/*/vehicles/*.html",
    "split/week.html", "split/depots/*_cards.html", "check/check.html", "what-if/what_if.html",
    "backtest/backtest.html", "backtest/backtest_money.html",
)  # fmt: skip


def pages(outcome: Outcome) -> dict[str, str]:
    found = {path.relative_to(outcome.folder).as_posix(): path.read_text(encoding="utf-8")
             for path in outcome.files("*.html")}  # fmt: skip
    assert {*EACH_KIND} == {kind for kind in EACH_KIND if any(Path(name).match(kind) for name in found)}
    for name, letter in letters(outcome).items():
        found[f"mail/{name}"] = letter.get_body(("html",)).get_content()
    return found


# Columns whose text no page shows: only the database and the tables have them.
ON_NO_PAGE = {
    ("items", "used_becomes"), ("items", "kind"), ("readings", "source"), ("packs", "grade"), ("items", "grade"),
    ("price_indexes", "series"), ("suppliers", "account"), ("tasks", "category"), ("vehicle_tasks", "category"),
    ("tasks", "title"), ("tasks", "caution"), ("vehicle_tasks", "reason"), ("packs", "meets"), ("suppliers", "email"),
}  # fmt: skip


def test_html_and_script_in_every_field_stay_text_on_every_page(outcome: Outcome) -> None:
    seen: set[str] = set()
    for name, html in pages(outcome).items():
        page = Page(html)
        assert not [tag for tag, _ in page.tags if tag.startswith("x-") or tag in ("iframe", "object", "embed", "form")]
        assert not [attr for _, attrs in page.tags for attr in attrs if attr.startswith("on")], name
        assert EVIL not in page.inside["script"], name
        assert html.count("<script") <= 1, name
        for _, attrs in page.tags:
            for attr in ("href", "src", "action", "style", "xlink:href", "srcset"):
                assert EVIL not in (attrs.get(attr) or ""), (name, attr)
        assert "<x-hit onload=alert(1)" in page.text or name.endswith(("con.html", "example.html")), name
        assert "{{7*7}}" in html or "{{7*7}}" not in page.text
        assert not re.search(r"\b49\b(?=[^<]*m\d+z)", page.text), name
        seen |= set(MARK.findall(page.text))
    missing = {column for column, number in outcome.attacked.marks.items() if mark_of(number) not in seen}
    assert missing <= ON_NO_PAGE, missing - ON_NO_PAGE


def test_css_is_the_programs_own(outcome: Outcome) -> None:
    for name, html in pages(outcome).items():
        page = Page(html)
        assert EVIL not in page.inside["style"], name
        assert "url(" not in page.inside["style"] + "".join(attrs.get("style") or "" for _, attrs in page.tags), name


def test_no_template_takes_text_for_markup() -> None:
    """Markup that is not escaped comes from our own functions (Markup in Python), from no template."""
    for path in TEMPLATES.iterdir():
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"\|\s*safe\b|autoescape\s+false", text) or path.name == "guide.html", path.name


def test_workbooks_hold_no_formula_and_no_link_of_the_input(outcome: Outcome) -> None:
    texts = 0
    kinds = {path.relative_to(outcome.folder).parts[0]: path for path in outcome.files("*.xlsx")}
    assert {"out", "split", "what-if"} <= kinds.keys()
    assert outcome.files("split/depots/*.xlsx")
    for path in outcome.files("*.xlsx"):
        with zipfile.ZipFile(path) as parts:
            for name in parts.namelist():
                data = parts.read(name)
                root = ElementTree.fromstring(data)  # noqa: S314 our own file: each part must be XML
                assert not [f for f in root.iter(f"{MAIN}f") if EVIL in (f.text or "") or "cmd" in (f.text or "")], name
                if name.endswith(".rels"):
                    assert EVIL.encode() not in data, name
                assert not [d for d in root.iter(f"{MAIN}definedName") if EVIL in (d.text or "")], name
        for sheet in openpyxl.load_workbook(path):
            for row in sheet.iter_rows():
                for cell in row:
                    if isinstance(cell.value, str) and EVIL in cell.value:
                        texts += 1
                        assert cell.data_type == "s", (path.name, sheet.title, cell.coordinate)
                        assert cell.hyperlink is None
                        assert cell.quotePrefix or not cell.value.startswith(FORMULA), (sheet.title, cell.coordinate)
    assert texts > 100


def test_lists_for_a_spreadsheet_hold_no_formula(outcome: Outcome) -> None:
    """What a supplier or a mechanic opens with a double click: no cell begins as a formula does (CWE-1236)."""
    cells = 0
    for path in [*outcome.files("out/orders/*.csv"), *outcome.files("out/jobcards.csv")]:
        with path.open(encoding="utf-8", newline="") as file:
            for row in csv.reader(file, strict=True):
                cells += sum(EVIL in cell for cell in row)
                assert not [cell for cell in row if cell.startswith(FORMULA) and not re.fullmatch(r"-?[\d.]+", cell)]
    assert cells >= 5


def test_tables_for_other_programs_keep_every_text_in_its_cell(outcome: Outcome) -> None:
    """As they stand in the database, so that ids still match; a reader of RFC 4180 gets them back whole."""
    for path in outcome.files("out/data/*.csv"):
        with path.open(encoding="utf-8", newline="") as file:
            head, *rows = list(csv.reader(file, strict=True))
        assert {len(row) for row in rows} <= {len(head)}, path.name
        whole = duckdb.execute(f"from '{path.with_suffix('.parquet')}'").fetchall()
        assert len(rows) == len(whole), path.name
        texts = sorted(cell for row in rows for cell in row if EVIL in cell)
        assert texts == sorted(cell for row in whole for cell in row if isinstance(cell, str) and EVIL in cell), (
            path.name
        )
    with (outcome.folder / "out/data/due.csv").open(encoding="utf-8", newline="") as file:
        assert {row["vehicle_id"] for row in csv.DictReader(file)} == {*VEHICLES}


def test_mail_has_the_programs_headers_and_goes_to_whom_the_settings_name(outcome: Outcome) -> None:
    ours = {"Subject", "From", "To", "Date", "Message-ID", "Content-Type", "MIME-Version"}
    people = {"week": "a@example.org", "order": "b@example.org", "forecast": "c@example.org"}
    for name, letter in letters(outcome).items():
        assert set(letter.keys()) == ours, name
        assert not letter.defects
        assert letter["To"] == people[name]
        for part in letter.walk():
            assert set(part.keys()) <= {*ours, "Content-Transfer-Encoding", "Content-Disposition", "Content-ID"}
            assert re.fullmatch(r"[\w.-]*", part.get_filename() or ""), part.get_filename()
        text = letter.get_body(("plain",)).get_content().replace("\r\n", "\n")
        assert acting(text) == set()
        assert not re.search("^(Bcc|Subject|END):", text, re.MULTILINE), name
    for path in outcome.files("out/orders/*.txt"):
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"^(Bcc|Subject|END):", text, re.MULTILINE)
        assert acting(text) == set()


def test_an_address_that_is_two_is_refused(tmp_path: Path) -> None:
    (tmp_path / "fleet.toml").write_text(f'[mail]\nweek = ["a@example.org\\r\\nBcc: thief@{EVIL}"]\n', encoding="utf-8")
    (tmp_path / "vehicles.csv").write_text("vehicle_id,class,in_service_on\n")
    code, _, told = take(["week", str(tmp_path), "--out", str(tmp_path / "out")])
    assert code == 2
    assert "mail.week" in told
    assert "\nBcc" not in told


def test_the_calendar_has_the_programs_events_and_properties(
    outcome: Outcome, store: duckdb.DuckDBPyConnection
) -> None:
    (events,) = store.execute("select count(*) from calendar_events").fetchall()
    for path in outcome.files("out/*.ics"):
        data = path.read_bytes()
        assert not set(data.replace(b"\r\n", b"")) & set(b"\r\n")
        found = Calendar.from_ical(data).walk("VEVENT")
        assert (len(found),) == events
        assert len(found) >= 3
        known = {"UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "DESCRIPTION", "LOCATION", "STATUS", "TRANSP",
                 "CATEGORIES", "SEQUENCE", "LAST-MODIFIED"}  # fmt: skip
        assert {key for event in found for key in event} <= known
        assert any("END:VEVENT" in str(event["SUMMARY"]) for event in found)
        assert acting(data.decode().replace("\r\n", "\n")) == set()


def test_file_names_are_plain_and_stay_in_the_folder(outcome: Outcome) -> None:
    assert {path.name for path in outcome.folder.iterdir()} == {
        "fleet", "split_fleet", "out", "split", "check", "what-if", "backtest", "store.duckdb",
    }  # fmt: skip
    assert not (outcome.folder.parent / EVIL).exists()
    written = outcome.written()
    assert len(written) > 100
    assert not [path for path in written if not re.fullmatch(r"[\w.-]+", path.name, re.ASCII)]
    pages_of_vehicles = outcome.files("out/vehicles/*.html")
    assert len(pages_of_vehicles) == len(VEHICLES)
    assert not [path for path in written if path.stem.lower() in ("con", "nul", "aux", "prn")]


def test_nothing_that_steers_a_terminal_is_printed(outcome: Outcome) -> None:
    for command, said in outcome.told.items():
        assert unseen(said) == set(), command
    assert f"thief@{EVIL}" in outcome.told["why"]


def test_settings_made_of_a_strange_file_hold_its_texts_as_texts(tmp_path: Path) -> None:
    """Name, headers and cells of a file that would begin a section of their own (TOML 1.0) or steer a terminal."""
    steers = "\n[smtp]\nhost = 'x' \x1b[2J\x9b2J\x7f\u202e"
    header = [f'date"{steers}', hostile_fleet.BREAKS_OUT, f"km]{steers}", "'''", '"""']
    path = tmp_path / f"x';\n[smtp]\nhost = '{EVIL}'\x1b[2J.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        write = csv.writer(file)
        write.writerow(header)
        write.writerows(
            [f"{day}/05/2026", f"total{steers}", f"{day}.{day}00", "1.234", f"Ä{steers}"] for day in range(1, 9)
        )
    code, out, told = take(["describe", str(path), "--table", "readings"])
    assert code == 0, told
    assert unseen(out) == set()
    known = tomllib.loads(out)
    assert [*known] == ["source"]
    assert known["source"][0]["files"] == path.name
    assert set(known["source"][0]["columns"].values()) <= {" ".join(name.split()) for name in header} | set(header)
    assert not re.search(r"^\s*\[smtp", out, re.MULTILINE)


def test_sql_in_names_and_values_is_text(outcome: Outcome, store: duckdb.DuckDBPyConnection) -> None:
    """Every table stands; what was typed is stored as it was; rules and sources with quotes did their work."""
    assert sorted(store.execute("select vehicle_id from vehicles").fetchall()) == sorted((one,) for one in VEHICLES)
    for (table, column), number in outcome.attacked.marks.items():
        found = store.execute(
            f'select count(*) from {table} where "{column}" like ?', [f"%{mark_of(number)}"]
        ).fetchone()
        assert found != (0,), (table, column)
    rules = store.execute("select said from wording_rules order by rule").fetchall()
    assert hostile_fleet.ENDS_TEXT in rules[0][0]
    (matched,) = store.execute("select count(*) from wording_matches").fetchall()[0]
    assert matched > 0
    of_source = store.execute("select rows_read, rows_quarantined from file_counts where file = 'fuel/a.csv'")
    assert of_source.fetchall() == [(1, 1)]
    hours = store.execute(
        "select hours_per_week from depot_hours where depot = ?", [hostile_fleet.ENDS_TEXT]
    ).fetchall()
    assert len(hours) == 1


def test_an_own_query_and_an_own_template_show_text_as_text(outcome: Outcome) -> None:
    html = (outcome.folder / "out/own_rows.html").read_text(encoding="utf-8")
    assert "&lt;x-hit onload=alert(1)" in html
    assert "<x-hit" not in html
