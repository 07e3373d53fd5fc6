"""Every language says all that English says: the same keys, parts filled in and tags, and nothing left in English."""

import re
import string
from collections.abc import Iterator, Sequence
from pathlib import Path

import duckdb
import openpyxl
import pytest
from openpyxl.workbook import Workbook
from report_fixture import report_tables

import fleetreport
from fleetreport.languages.catalogues import CATALOGUES, ENGLISH, GERMAN, Catalogue
from fleetreport.marks import plural_form
from fleetreport.pages.frame import TEMPLATES
from fleetreport.pages.order_chart import draw_litres
from fleetreport.report.sentences import counted
from fleetreport.workbooks.forecast_sheets import PLANS
from fleetreport.workbooks.workbook import write_workbook
from fleetreport.workbooks.workshop_sheets import CODED, SHEETS, _rows

PACKAGE = Path(fleetreport.__file__).parent

OTHERS = sorted(set(CATALOGUES) - {"en"})
TAG = re.compile(r"<[^>]*>")
# What German rightly writes as English does: units and marks, parts alone, names of methods, words of both.
SAME_IN_GERMAN = {
    "hours_unit", "forecast.use_hours", "quantity", "less_than", "per_cent",
    "letter.line", "letter.ask_line", "since.text_count", "strip.hours", "strip.visits", "index.title",
    "depot.hours", "mend.count", "mend.in_files", "aside.in", "heading.Name",
    "head.status", "heading.Status",
    "vehicle_page.chart_month", "ics.summary", "visits.dated_line", "visits.kept_next", "open.line",
    "card.where", "record.with_source", "order.swapped_beside",
    "method.croston", "method.teunter_syntetos_babai",
    "duty.normal", "forecast.budget_said", "told.then", "told.slip", "told.and_why", "forecast.head_budget",
    "sheet_title.budget",
}  # fmt: skip
# A promise that no figure can make. `sicher` stands only where it is denied, or where a person ticks what was done.
SOOTHING = re.compile(
    r"\b((verkehrs|betriebs|fahr)?sicher(e|er|en|es|em)?|unbedenklich\w*|in ordnung|einwandfrei\w*|ok|okay|gut|gesund|"
    r"mängelfrei\w*|fahrtüchtig|fahrbereit|problemlos|sorgenfrei|bedenkenlos|kein handlungsbedarf)\b",
    re.IGNORECASE,
)
DENIED = re.compile(
    r"heißt (nicht|nie) sicher|entscheidet nicht, ob ein Fahrzeug verkehrssicher ist|"
    r"keine Entscheidung, dass ein Fahrzeug sicher ist|"
    r"Geld entscheidet nie, was sicher ist|Wie gut die (Ausgabenvorschauen|Hochrechnungen) waren|ist so gut wie"
)


def parts_filled_in(text: str) -> list[str]:
    return sorted(name for _, name, *_ in string.Formatter().parse(text) if name is not None)


@pytest.mark.parametrize("language", OTHERS)
def test_a_language_has_exactly_the_keys_of_english(language: str) -> None:
    assert sorted(CATALOGUES[language]) == sorted(ENGLISH)


def _beginnings(key: str) -> Iterator[str]:
    """What code may write of a key: all of it, what it puts the rest behind, or what it counts."""
    yield key
    for at, character in enumerate(key):
        head = key[:at]
        if character in "._" and ("." in head or key[at:] in (".one", ".many")):
            yield head
        if character in "._" and "." in key[: at + 1]:
            yield key[: at + 1]


def test_each_entry_is_asked_for_somewhere() -> None:
    """By the texts between quotation marks in code and templates; a name that is put together begins there."""
    sources = [path for path in [*PACKAGE.rglob("*.py"), *TEMPLATES.iterdir()] if "languages" not in path.parts]
    text = "\n".join(path.read_text(encoding="utf-8") for path in sources)
    quoted = set(re.findall(r"[\"']([a-z_0-9.]+)(?=[\"'{])", text))
    coded = tuple(f"{name}." for name in CODED.values())
    assert [
        key for key in ENGLISH if not key.startswith(coded) and quoted.isdisjoint(_beginnings(key))
    ] == []  # fmt: skip


@pytest.mark.parametrize("language", OTHERS)
def test_each_text_fills_in_the_same_parts(language: str) -> None:
    words = CATALOGUES[language]
    differing = {
        key: (parts_filled_in(ENGLISH[key]), parts_filled_in(words[key]))
        for key in ENGLISH
        if parts_filled_in(ENGLISH[key]) != parts_filled_in(words[key])
    }
    assert differing == {}


@pytest.mark.parametrize("language", OTHERS)
def test_each_text_has_the_same_tags(language: str) -> None:
    def tags(words: Catalogue, key: str) -> list[str]:
        return sorted(TAG.findall(words[key]))

    assert [key for key in ENGLISH if tags(ENGLISH, key) != tags(CATALOGUES[language], key)] == []


@pytest.mark.parametrize("language", OTHERS)
def test_text_joined_to_other_text_keeps_its_space(language: str) -> None:
    """Some entries begin or end with the space, comma or bracket that joins them to what stands beside."""

    def edges(text: str) -> tuple[bool, bool]:
        return text[:1].isspace(), text[-1:].isspace()

    assert [key for key in ENGLISH if edges(ENGLISH[key]) != edges(CATALOGUES[language][key])] == []


def test_no_english_is_left_in_german_by_oversight() -> None:
    assert {key for key in ENGLISH if ENGLISH[key] == GERMAN[key]} == SAME_IN_GERMAN


def test_what_the_style_sheets_say_is_said_in_german_too() -> None:
    """Each rule that adds words has its match for `:lang(de)`, with other words (CSS 2.1, 12.2; Selectors 4, 7.2)."""
    said: dict[str, str] = {}
    for sheet in sorted(TEMPLATES.glob("*.css")):
        for selectors, rule in re.findall(r"([^{}]+)\{([^{}]*)\}", sheet.read_text(encoding="utf-8")):
            content = re.search(r'content: "([^"]*)"', rule)
            if content and re.search("[A-Za-z]{2}", re.sub(r"\\\\[0-9a-f]+", "", content[1])):
                said |= {selector.strip(): content[1] for selector in selectors.split(",")}
    english = {selector: words for selector, words in said.items() if not selector.startswith(":lang(de) ")}
    assert len(english) >= 6
    assert {
        selector for selector, words in english.items() if said.get(f":lang(de) {selector}", words) == words
    } == set()


def test_each_status_has_a_word_for_the_workbook() -> None:
    """The contract's statuses: a workbook shows none by its code."""
    statuses = ("overdue", "due", "upcoming", "later", "unknown")
    for words in (ENGLISH, GERMAN):
        assert len({words[f"code.{status}"] for status in statuses}) == len(statuses)


def test_no_german_sentence_says_that_anything_is_safe() -> None:
    assert [key for key, text in GERMAN.items() if SOOTHING.search(DENIED.sub("", text))] == []


@pytest.mark.parametrize("promise", ["Das Fahrzeug ist sicher.", "Alles in Ordnung", "verkehrssicher", "unbedenklich"])
def test_a_promise_would_be_found(promise: str) -> None:
    assert SOOTHING.search(DENIED.sub("", promise))


@pytest.mark.parametrize("needed", [
    "nicht fällig heißt nicht sicher", "schätzung", "verkehrssicher", "hersteller", "gesetz", "sachkundig", "zulassung",
    "anzugsmomente", "sorten und mengen der betriebsflüssigkeiten", "handbuch", "wegstreckenzähler", "ias 37",
    "ias 16.14", "40 cfr 261.4(b)(13)", "40 cfr 279.22",
])  # fmt: skip
def test_german_cautions_name_what_people_must_not_take_from_the_figures(needed: str) -> None:
    told = " ".join(text for key, text in GERMAN.items() if key.startswith("cautions.")).lower()
    assert needed in told


@pytest.mark.parametrize("source", ["SMRP 5.4.9", "49 CFR 396.3(b)", "396.21", "IAS 16.14", "IAS 37", "40 CFR 279.22"])
def test_a_source_named_in_english_is_named_in_the_same_entries(source: str) -> None:
    for words in CATALOGUES.values():
        naming = {key for key, text in words.items() if source in text}
        assert naming
        assert naming == {key for key, text in ENGLISH.items() if source in text}


def test_a_count_takes_the_form_of_its_language() -> None:
    """CLDR: German, like English, has `one` for 1 alone; all other whole numbers are `other`."""
    assert [plural_form(n, "de") for n in (0, 1, 2, 21, 101)] == ["many", "one", "many", "many", "many"]
    assert counted("days", 1, GERMAN) == "1\u00a0Tag"
    assert counted("vehicles", 1200, GERMAN) == "1.200\u00a0Fahrzeuge"


@pytest.mark.parametrize("language", sorted(CATALOGUES))
def test_names_of_sheets_are_ones_a_workbook_can_have(language: str) -> None:
    """31 characters, none of []:*?/\\, no apostrophe at an end (ECMA-376 part 1, 18.2.19, and the usual programs)."""
    words = CATALOGUES[language]
    kinds = ("sheet_name.", "sheet_title.")
    names = {key: text for key, text in words.items() if key.startswith(kinds)}
    names |= {key: words[key] for key in ("sheet.order", "sheet.order_totals", "sheet.items_needed")}
    # A sheet that goes on has a number behind its name.
    assert [key for key, text in names.items() if len(text) > 28 or re.search(r"[\[\]:*?/\\]|^'|'$", text)] == []
    of_the_week = [text.lower() for key, text in names.items() if not key.startswith("sheet_title.")]
    of_the_forecast = [text.lower() for key, text in names.items() if key.startswith("sheet_title.")]
    assert len(of_the_week) == len(set(of_the_week))
    assert len(of_the_forecast) == len(set(of_the_forecast))


@pytest.mark.parametrize(
    ("title", "column", "codes"),
    [
        ("Work done", "kind", ("scheduled", "repair", "top_up", "check")),
        ("Still open", "kind", ("follow_up", "finding", "part", "level", "inspection", "other")),
        ("Findings", "duty", ("normal", "severe")),
        ("Intervals", "scope", ("class", "vehicle")),
        ("Intervals", "advice", ("longer", "shorter", "keep", "too few", "at maker's limit", "beyond maker's limit",
                                 "maker not given")),
    ],
)  # fmt: skip
def test_a_sheet_says_codes_in_words(title: str, column: str, codes: Sequence[str]) -> None:
    sheet = next(sheet for sheet in SHEETS if sheet.title == title)
    names = [name for _, name in sheet.columns]
    columns = ", ".join(f'"{name}" varchar' for name in dict.fromkeys([*names, *sheet.by.split()]))
    with duckdb.connect() as db:
        db.execute(f"create table {sheet.table} ({columns})")
        db.executemany(f'insert into {sheet.table} ("{column}") values (?)', [[code] for code in codes])
        for words in (ENGLISH, GERMAN):
            said = {row[names.index(column)] for row in _rows(db, sheet, words)}
            assert len(said) == len(codes)
            assert said <= set(words.values())
            assert "_" not in "".join(map(str, said))
        assert not {*said} & {*codes} - {"normal"}


@pytest.mark.parametrize("prefix", ["measured_in.", "treatment.", "used_by."])
def test_codes_of_the_forecasts_workbook_have_words(prefix: str) -> None:
    assert prefix in {field.coded for plan in PLANS for field in plan.fields}
    assert len({key for key in GERMAN if key.startswith(prefix)}) >= 2


@pytest.fixture(scope="module")
def german_book(tmp_path_factory: pytest.TempPathFactory) -> Workbook:
    path = tmp_path_factory.mktemp("german") / "week.xlsx"
    write_workbook(report_tables(5), path, GERMAN)
    return openpyxl.load_workbook(path)


def test_a_german_workbook_has_german_sheets_and_headings(german_book: Workbook) -> None:
    assert german_book.sheetnames[:4] == ["Deckblatt", "Fällig", "Alle Aufgaben", "Bestellung"]
    english_heads = {text.partition(",")[0] for key, text in ENGLISH.items() if key.startswith(("heading.", "sheet."))}
    same_in_both = {text.partition(",")[0] for key, text in GERMAN.items() if key.startswith(("heading.", "sheet."))}
    for ws in german_book.worksheets[1:]:
        heads = [cell.value for cell in ws[1]]
        assert not {head for head in heads if head in english_heads - same_in_both}, ws.title
        # Two columns of a table may not have the same name.
        assert len({head.lower() for head in heads}) == len(heads), ws.title
        for cell in ws[1]:
            assert ws.column_dimensions[cell.column_letter].width >= len(max(cell.value.split(), key=len))


def test_links_and_formulas_of_a_german_workbook_name_its_own_sheets(german_book: Workbook) -> None:
    cover = german_book["Deckblatt"]
    links = {cell.value: cell.hyperlink.location for (cell, *_) in cover.iter_rows() if cell.hyperlink}
    assert links == {name: f"'{name}'!A1" for name in german_book.sheetnames if name != "Deckblatt"}
    formulas = [
        cell.value for ws in german_book.worksheets for row in ws.iter_rows() for cell in row if cell.data_type == "f"
    ]
    named = {name for formula in formulas for name in re.findall(r"'([^']+)'!", formula)}
    assert named == {"Bestellung", "Artikelbedarf"}


def test_a_status_in_german_keeps_its_mark_and_colour(german_book: Workbook) -> None:
    ws = german_book["Fällig"]
    at = next(cell.column for cell in ws[1] if cell.value == "Status")
    shown = {row[at - 1].value for row in ws.iter_rows(min_row=2)}
    assert {"überfällig", "fällig"} <= shown <= {"überfällig", "fällig", "anstehend"}
    coloured = {rule.formula[0] for area in ws.conditional_formatting for rule in area.rules}
    assert coloured == {'"überfällig"', '"fällig"'}


def test_figures_of_the_orders_chart_have_the_languages_marks() -> None:
    """1,234.5 in English, 1.234,5 in German (CLDR)."""
    litres, weeks = [("Oil", (1234.5, 2.5))], ["2026-W48", "2026-W49"]
    for words, marks in ((ENGLISH, ("1,234", "2.5")), (GERMAN, ("1.234", "2,5"))):
        figure, said = draw_litres(litres, weeks, words)
        (panel,) = figure.axes
        drawn = [text.get_text() for text in panel.texts]
        assert drawn == [f"{marks[0][:-1]}5", marks[1]]
        assert marks[0][:-1] in said
