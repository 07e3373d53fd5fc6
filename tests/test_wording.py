"""Wording rules: what a phrase finds, in which languages, and what is nearest to a text that none finds."""

import re

import duckdb
import pytest
from conftest import WriteFleet

from fleetreport.reading.rows import find_files
from fleetreport.settings.fleet_toml import read_settings
from fleetreport.settings.wording import any_of, fold, pattern_fault, phrase_part, phrase_pattern
from fleetreport.storing.store import open_store
from fleetreport.tasks.wording_steps import nearest
from fleetreport.week import makers_of, work_out


@pytest.mark.parametrize(("plain", "marked"), [("olwechsel", "Ölwechsel"), ("ветер", "Ветёр"), ("שמן", "שֶׁמֶן")])
def test_marks_that_writers_leave_out_make_no_difference(plain: str, marked: str) -> None:
    assert fold(plain) == fold(marked)


@pytest.mark.parametrize(("one", "other"), [("तेल", "तल"), ("か", "が"), ("บำรุง", "บารุง")])
def test_marks_that_make_another_word_stay(one: str, other: str) -> None:
    assert fold(one) != fold(other)


@pytest.mark.parametrize(
    ("phrase", "text", "found"),
    [
        ("oil change", "Oil-change, filter", True),
        ("oil change", "oil  CHANGE", True),
        ("oil change", "change of oil", False),
        ("oil", "boiler seen to", False),
        ("oil", "turmoil", False),
        ("öl*", "Ölfilter neu", True),
        ("*wechsel", "Motorölwechsel", True),
        ("*wechsel", "Wechselrahmen", False),
        ("öl*wechsel", "ölundfilterwechsel", True),
        ("замена масла", "ЗАМЕНА  МАСЛА", True),
        ("zmiana oleju", "Zmiana oleju silnikowego", True),
        ("łożysko", "LOZYSKO", True),
        ("yağ değişimi", "YAĞ DEĞİŞİMİ", True),
        ("机油", "更换机油和滤芯", True),
        ("オイル交換", "ｵｲﾙ交換", True),
        ("น้ำมัน", "เปลี่ยนน้ำมันเครื่อง", True),
        ("تغيير الزيت", "تَغْيِير الزيت", True),
        ("5w30", "oil 5W30", True),
        ("a.b", "axb", False),
    ],
)
def test_a_phrase_is_found_as_whole_words_in_any_language(phrase: str, text: str, found: bool) -> None:
    rows = duckdb.connect().execute("select regexp_matches(?, ?)", [fold(text), phrase_pattern(phrase)]).fetchall()
    assert rows == [(found,)]
    assert phrase_part(phrase) in fold(text) or not found


def test_any_of_several_phrases_is_enough() -> None:
    pattern = any_of(["brake fluid", "Bremsflüssigkeit"])
    texts = ["brake fluid", "bremsflussigkeit neu", "brake pads"]
    found = duckdb.connect().execute("select list_transform(?, lambda t: regexp_matches(t, ?))", [texts, pattern])
    assert found.fetchall() == [([True, True, False],)]


@pytest.mark.parametrize("phrase", ["", "  ", "--", "*", "…"])
def test_a_phrase_without_a_letter_is_refused(phrase: str) -> None:
    with pytest.raises(ValueError, match="a letter or a digit"):
        phrase_pattern(phrase)


@pytest.mark.parametrize(
    ("pattern", "at"),
    [("(oil", 1), ("oil)x", 4), ("(a)(b", 4), ("[ab]c[d", 6), ("*oil", 1), ("oil**", 4), ("ab(?=c)", 3), (r"\q", 1)],
)
def test_a_pattern_that_cannot_be_read_is_told_by_its_place(pattern: str, at: int) -> None:
    assert re.search(rf"at character {at}\)$", pattern_fault(pattern) or "")


@pytest.mark.parametrize("pattern", ["oil", "öl|oil", r"\boil\b", "a{2,3}", r"\p{Cyrillic}+", "(?i)x"])
def test_a_good_pattern_has_no_fault(pattern: str) -> None:
    assert pattern_fault(pattern) is None


WORDS = {"engine_oil": ["engine oil", "engine oil and filter"], "air_filter": ["air filter"], "coolant": ["coolant"]}


def test_the_nearest_task_is_the_one_written_alike() -> None:
    assert nearest("engin oyl", ["air_filter", "coolant", "engine_oil"], WORDS)[0][0] == "engine_oil"
    assert nearest("coolent", ["air_filter", "coolant"], WORDS)[0][0] == "coolant"


def test_only_tasks_of_the_plan_are_suggested_and_none_by_chance() -> None:
    assert nearest("engine oil", ["coolant"], WORDS) == []
    assert nearest("zzz", list(WORDS), WORDS) == []


def test_a_rule_fills_and_a_person_prevails(write_fleet: WriteFleet) -> None:
    """From file to due list: two works in one line, in two languages, and a line that says otherwise."""
    fleet = write_fleet(
        settings="""
            [[wording]]
            words = ["oil change", "Ölwechsel"]
            task = "oil"
            item = "tin"
            [[wording]]
            pattern = 'brems\\w*'
            task = "brakes"
            [[wording]]
            words = ["warranty"]
            and_words = ["claim"]
            not_words = ["refused"]
            kind = "repair"
        """,
        vehicles="""
            vehicle_id,class,in_service_on
            V1,van,2025-01-01
        """,
        tasks="""
            class,task,every_months
            van,oil,12
            van,brakes,24
        """,
        history="""
            vehicle_id,done_on,task,kind,description,parts_cost
            V1,2026-02-01,,,Ölwechsel und BREMSEN geprüft,100
            V1,2026-03-01,brakes,,oil change too,10
            V1,2026-04-01,,top_up,oil change? no,1
            V1,2026-05-01,,,claim under warranty,5
            V1,2026-05-02,,,"claim under warranty, refused",5
        """,
    )
    settings = read_settings(fleet)
    db = open_store(fleet / ".fleetreport" / "store.duckdb", settings)
    work_out(db, find_files(fleet)[0], settings, settings.today().replace(year=2026, month=11, day=25), "fleet",
             made=makers_of(["due", "unmatched"]))  # fmt: skip
    lines = db.execute("select line, task, kind, item, parts_cost::integer from worded_lines order by line").fetchall()
    assert lines == [
        (2, "oil", "scheduled", "tin", 100),
        (3, "brakes", "scheduled", None, 10),
        (4, "oil", "top_up", "tin", 1),
        (5, None, "repair", None, 5),
        (6, None, "repair", None, 5),
    ]
    done = db.execute("select task, last_done_on::varchar from due order by task").fetchall()
    assert done == [("brakes", "2026-03-01"), ("oil", "2026-02-01")]
    assert db.execute("select description, line from unmatched").fetchall() == [("claim under warranty, refused", 6)]
    db.close()
