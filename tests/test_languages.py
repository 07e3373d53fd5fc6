"""Every language says all that English says: the same keys, parts filled in and tags, and nothing left in English."""

import re
import string
from datetime import date
from decimal import Decimal

import pytest
from babel.dates import format_date, format_skeleton
from babel.numbers import format_decimal

from fleetreport.languages.catalogues import CATALOGUES, ENGLISH, GERMAN, Catalogue
from fleetreport.marks import plural_form
from fleetreport.report.sentences import counted, day, day_with_weekday, number

OTHERS = sorted(set(CATALOGUES) - {"en"})
TAG = re.compile(r"<[^>]*>")
# What German rightly writes as English does: units and marks, parts alone, names of methods, words of both.
SAME_IN_GERMAN = {
    "hours_unit", "forecast.use_hours", "quantity", "less_than", "per_cent",
    "letter.line", "letter.ask_line", "since.text_count", "strip.hours", "depot.hours", "mend.count", "strip.visits", "index.title",
    "vehicle_page.chart_month", "ics.summary", "visits.hours", "visits.dated_line", "visits.kept_next", "open.line",
    "card.where", "record.with_source", "order.swapped_beside",
    "method.croston", "method.teunter_syntetos_babai",
    "duty.normal", "forecast.head_budget", "sheet_title.budget",
}  # fmt: skip
# A promise that no figure can make. `sicher` stands only where it is denied, or where a person ticks what was done.
SOOTHING = re.compile(
    r"\b((verkehrs|betriebs|fahr)?sicher(e|er|en|es|em)?|unbedenklich\w*|in ordnung|einwandfrei\w*|ok|okay|gut|gesund|"
    r"mängelfrei\w*|fahrtüchtig|fahrbereit|problemlos|sorgenfrei|bedenkenlos|kein handlungsbedarf)\b",
    re.IGNORECASE,
)
DENIED = re.compile(
    r"heißt (nicht|nie) sicher|entscheidet nicht, ob ein Fahrzeug verkehrssicher ist|"
    r"Geld entscheidet nie, was sicher ist|Wie gut die (Ausgabenvorschauen|Hochrechnungen) waren|ist so gut wie"
)


def parts_filled_in(text: str) -> list[str]:
    return sorted(name for _, name, *_ in string.Formatter().parse(text) if name is not None)


@pytest.mark.parametrize("language", OTHERS)
def test_a_language_has_exactly_the_keys_of_english(language: str) -> None:
    assert sorted(CATALOGUES[language]) == sorted(ENGLISH)


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


DAYS = [date(2026, 1, 1), date(2026, 3, 3), date(2026, 5, 31), date(2026, 9, 9), date(2026, 11, 25), date(2026, 12, 31)]


@pytest.mark.parametrize("when", DAYS, ids=str)
def test_german_dates_are_those_of_the_locale_data(when: date) -> None:
    """CLDR's own patterns for German, as Babel formats them: yMMMd, full, yMMMEd."""
    assert day(when, GERMAN).replace("\u00a0", " ") == format_skeleton("yMMMd", when, locale="de")
    assert day_with_weekday(when, GERMAN).replace("\u00a0", " ") == format_date(when, "full", locale="de")
    short = day_with_weekday(when, GERMAN, short=True).replace("\u00a0", " ")
    assert short == format_skeleton("yMMMEd", when, locale="de")


@pytest.mark.parametrize("figure", ["0", "0.5", "7.25", "999", "1000", "98900", "1234567.89", "-1234.5"])
def test_german_numbers_are_those_of_the_locale_data(figure: str) -> None:
    assert number(Decimal(figure), GERMAN, 2) == format_decimal(Decimal(figure), "#,##0.00", locale="de")


def test_a_count_takes_the_form_of_its_language() -> None:
    """CLDR: German, like English, has `one` for 1 alone; all other whole numbers are `other`."""
    assert [plural_form(n, "de") for n in (0, 1, 2, 21, 101)] == ["many", "one", "many", "many", "many"]
    assert counted("days", 1, GERMAN) == "1\u00a0Tag"
    assert counted("vehicles", 1200, GERMAN) == "1.200\u00a0Fahrzeuge"
