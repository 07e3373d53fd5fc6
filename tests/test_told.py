"""What the data say in English words is said in the fleet's language: reasons, diagnoses, notes, each in full."""

import csv
import re
from datetime import date
from pathlib import Path

import pytest
from conftest import SAMPLE_FLEET

from fleetreport.checking.fleet_check import check_fleet
from fleetreport.languages.catalogues import ENGLISH, GERMAN
from fleetreport.meters.diagnosis_steps import NOTHING_FITS, WORDS, WOULD_FIT
from fleetreport.record.findings import CONDITIONS
from fleetreport.report.told import told
from fleetreport.tables import TABLES

# Words of the English patterns that German does not have; names of tables and files are the same in both.
ENGLISH_LEFT = re.compile(
    r"\b(expected|found|such as|or|stands|not blank|more than|less than|at most|probably|would|fits|were|was refused)\b"
)


def test_each_kind_of_cell_and_each_rule_is_said_in_german() -> None:
    """Every column of every table, needed or not, and every rule that a row can break."""
    said = [f"expected {column.kind.expected}" for table in TABLES for column in table.columns]
    said += [f"expected {rule.expected}" for table in TABLES for rule in table.rules]
    for text in (*said, *(f"{one}, not blank" for one in said)):
        assert not ENGLISH_LEFT.search(told(text, GERMAN)), text


def test_a_row_with_several_faults_is_said_whole() -> None:
    text = "expected text, not blank; reading: expected a number such as 84120.5, 0 or more, 1 at most"
    assert told(text, GERMAN) == (
        "erwartet: Text, nicht leer; reading: erwartet: eine Zahl wie 84120.5, mindestens 0, höchstens 1"
    )


@pytest.mark.parametrize("slip", WORDS.values())
def test_each_slip_is_said_in_german(slip: str) -> None:
    for fit in WOULD_FIT.values():
        fits = fit.format(suggestion="2026-11-25")
        for more in ("", " (1 other explanation would fit)", " (3 other explanations would fit)"):
            assert not ENGLISH_LEFT.search(told(f"{slip}: {fits}{more}.", GERMAN))
    assert told(f"{NOTHING_FITS}.", GERMAN) == GERMAN["told.nothing_fits"]


def test_all_that_the_sample_fleet_set_aside_is_said_in_german(sample_week: Path) -> None:
    with (sample_week / "data/quarantine.csv").open(encoding="utf-8", newline="") as file:
        texts = {text for row in csv.DictReader(file) for text in (row["reason"], row["diagnosis"]) if text}
    assert len(texts) > 60
    assert [text for text in texts if ENGLISH_LEFT.search(told(text, GERMAN))] == []


def test_all_that_a_check_lists_is_said_in_german(tmp_path: Path) -> None:
    """Of the sample fleet: reasons and the notes beside places; a sum of money stands as it is."""
    check_fleet(SAMPLE_FLEET, date(2026, 11, 25), tmp_path)
    with (tmp_path / "data/check.csv").open(encoding="utf-8", newline="") as file:
        texts = {text for row in csv.DictReader(file) for text in (row["reason"], row["note"]) if text}
    same = [text for text in texts if told(text, GERMAN) == text]
    assert [text for text in same if not re.fullmatch(r"[0-9.]+ EUR", text)] == []
    assert [text for text in texts if re.match("expected|found|less|more|no |did", told(text, GERMAN))] == []


@pytest.mark.parametrize("note", [
    "a row of vehicles was refused, so what it says is NOT in this report: vehicles.csv:7",
    "a.csv: columns that are not known and were not used: seat, lamp",
    'a.csv: none of its 12 rows could be used; "fleetreport describe" says what it may be',
    'fleet.toml:3: this wording rule is not used: "oil", expected a class that stands in vehicles',
    'fleet.toml:4: stock.confirmed 2: found item "oil", product "A 1", expected what stands in packs.csv: '
    "it is not used",
    'fleet.toml:4: stock.confirmed 2: found item "oil", product "A 1", expected what stands in packs.csv '
    "(did you mean A 10?): it is not used",
    "the latest reading is of 2026-10-01, 55 days before the as-of date",
    'fleet.toml:3: workshop.hours_per_week.Nort: found "Nort", expected a depot that stands in vehicles (did you mean '
    "North yard?): it is not used",
    'fleet.toml:5: money.growth.oyl: found "oyl", expected labour, * or a kind that stands in items: it is not used',
    'stock.only_listed_for 1: found "oyl", expected one that stands in items: it is not used',
    'vehicles.csv:3: vehicle "v1" and "V1" (vehicles.csv:2) differ only in case; each is kept by itself',
    'v.csv:3: vehicle "V 1" and "V1" (v.csv:2) differ only in blanks (U+0020); each is kept by itself',
    'v.csv:3: vehicle "V 1" and "V1" (v.csv:2) differ only in characters that look alike or cannot be seen (U+00AD, '
    "U+200B); each is kept by itself",
    'v.csv:3: vehicle "v 1" and "V1" (v.csv:2) differ only in case and blanks (U+0020); each is kept by itself',
    'v.csv:3: vehicle "v 1" and "V1" (v.csv:2) differ only in case and blanks and characters that look alike or cannot '
    "be seen (U+0020, U+200B); each is kept by itself",
    '15 more vehicles differ from another by so little; "fleetreport check" lists them',
    "differs from the id of another vehicle only in case and blanks",
    'the other is "V1" (vehicles.csv:2)',
    'the other is "V1" (vehicles.csv:2); U+0020, U+00A0',
    "The odometer has probably passed 99,999 and begun again from 0 (in excess of its mechanical limits): the reading "
    "itself fits once the suggested line is in meter_changes.csv.",
    "The meter was probably exchanged about 2026-01-02 without a line in meter_changes.csv: 12 in all would fit once "
    "the suggested line is in meter_changes.csv.",
    "found a byte that is not utf-8 (byte 3 of the line), expected utf-8",
    "expected a number such as 84,120.5 in km, with or without km or kms (which mark means thousands has to be said: "
    "decimal and thousands in a [[source]] section)",
])  # fmt: skip
def test_notes_and_what_a_record_can_be_refused_for(note: str) -> None:
    said = told(note, GERMAN)
    assert said != note
    assert not ENGLISH_LEFT.search(said.replace("km or kms", ""))


def test_english_stays_and_so_does_what_nobody_foresaw() -> None:
    assert told("expected text", ENGLISH) == "expected text"
    assert told("something else", GERMAN) == "something else"


def test_each_finding_has_its_word() -> None:
    for words in (ENGLISH, GERMAN):
        assert all(words[f"condition.{one}"] for one in CONDITIONS)
