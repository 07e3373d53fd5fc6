"""No character of the input that acts unseen passes to where it would: held over whole categories of Unicode.

What a character is follows from properties of the Unicode Character Database. They are taken here from another
program's tables (Rust's `regex`, through Polars): DerivedCoreProperties, PropList and general categories. Only
characters that Python's own version of Unicode knows are compared.
"""

import json
import tomllib
import unicodedata
from functools import cache
from pathlib import Path
from sys import maxunicode
from xml.parsers import expat

import polars as pl
import pytest

from fleetreport.cells import clean, harmless
from fleetreport.characters import ACTS, Kind, kind_of, toml_text
from fleetreport.commands.plain import shown, shown_in_json, shown_lines
from fleetreport.describing.describe import describe
from fleetreport.letters.mail import on_one_line
from fleetreport.letters.visit_calendar import text as calendar_text
from fleetreport.pages.frame import page_environment, showable
from fleetreport.workbooks.sheet_cells import as_cell_text

EACH = [chr(code) for code in range(maxunicode + 1)]
HALVES = {char for char in EACH if 0xD800 <= ord(char) <= 0xDFFF}
WHOLE = pl.Series([char for char in EACH if char not in HALVES])


@cache
def having(property_: str) -> frozenset[str]:
    """All characters that have a property, of those that Python's version of Unicode knows."""
    found = WHOLE.filter(WHOLE.str.contains(rf"^\p{{{property_}}}$"))
    of_any = property_ in ("Noncharacter_Code_Point", "Default_Ignorable_Code_Point")
    return frozenset(c for c in found if unicodedata.category(c) != "Cn" or of_any)


TURNS = frozenset(map(chr, (*range(0x202A, 0x202F), *range(0x2066, 0x206A))))
CONTROLS, LINE_ENDS = having("Cc"), having("Zl") | having("Zp")
ANNOTATIONS = frozenset("\ufff9\ufffa\ufffb")
ACTING = CONTROLS | LINE_ENDS | TURNS | HALVES | having("Noncharacter_Code_Point")
MARKS = having("Bidi_Control") - TURNS
# Of format characters all that are not drawn, but for the joiners of spelling.
IGNORED = frozenset(c for c in having("Default_Ignorable_Code_Point") if unicodedata.category(c) in ("Cf", "Cn"))
DECEIVING = ACTING | MARKS | IGNORED | ANNOTATIONS
DECEIVING -= having("Join_Control")


# Most of Unicode is left out: ideographs and syllables, what has no use yet, and what a program may use as it likes.
ASSIGNED = [
    char for char in EACH
    if char in ACTING or unicodedata.category(char) not in ("Cn", "Co", "Lo") or ord(char) < 0x3100 or char == "\uffa0"
]  # fmt: skip


def test_what_a_character_is_follows_from_its_properties() -> None:
    kinds: dict[Kind, set[str]] = {kind: set() for kind in Kind}
    for char in EACH:
        kinds[kind_of(char)].add(char)
    assert kinds[Kind.CONTROL] == CONTROLS
    assert kinds[Kind.LINE_END] == LINE_ENDS
    assert kinds[Kind.TURN] | kinds[Kind.MARK] == having("Bidi_Control")
    assert kinds[Kind.TURN] == TURNS
    assert kinds[Kind.JOINER] == having("Join_Control")
    assert kinds[Kind.HALF] == HALVES
    assert kinds[Kind.NONE] == having("Noncharacter_Code_Point")
    without_shape = kinds[Kind.TURN] | kinds[Kind.MARK] | kinds[Kind.JOINER] | kinds[Kind.UNSEEN]
    assert without_shape | kinds[Kind.BLANK_LETTER] == having("Default_Ignorable_Code_Point") | ANNOTATIONS
    assert len(having("Cf")) > 150
    # Signs of Arabic and other scripts that stand before a number are drawn.
    assert having("Prepended_Concatenation_Mark") <= kinds[Kind.TEXT]


# How each channel says a text, and what it may not let through.
CHANNELS = {
    "a line on a terminal": (shown, DECEIVING),
    "lines on a terminal": (shown_lines, DECEIVING - set("\n\t")),
    "a line of JSON": (lambda text: shown_in_json(json.dumps(text, ensure_ascii=False)), DECEIVING),
    "a text of fleet.toml": (toml_text, DECEIVING),
    "a page": (showable, ACTING - set("\t\n\r")),
    "a line of a letter": (on_one_line, ACTING | MARKS),
    "a cell of a list": (clean, ACTING | MARKS),
    "a text of a calendar": (calendar_text, ACTING | MARKS),
}


@pytest.mark.parametrize("channel", CHANNELS)
def test_a_channel_stops_whole_categories_and_nothing_else(channel: str) -> None:
    say, stopped = CHANNELS[channel]
    passing = set(say("a".join(ASSIGNED)))
    assert {f"U+{ord(char):04X}" for char in passing & stopped} == set()
    # Blanks are evened out in a cell.
    assert {f"U+{ord(char):04X}" for char in set(ASSIGNED) - passing - stopped if not char.isspace()} == set()


ESCAPING = ("a line of JSON", "a text of fleet.toml")
SPELLED = {
    "Persian, with a non-joiner": "\u0645\u06cc\u200c\u062e\u0648\u0627\u0647\u0645",
    "Hindi, with a joiner": "\u0915\u094d\u200d\u0937",
    "a picture of several": "\U0001f468\u200d\U0001f527",
    "an Arabic sign of number": "\u0600\u0661\u0662",
}


@pytest.mark.parametrize("word", SPELLED.values(), ids=list(SPELLED))
@pytest.mark.parametrize("channel", sorted({*CHANNELS} - {*ESCAPING}))
def test_what_belongs_to_the_spelling_of_a_word_stays(channel: str, word: str) -> None:
    assert CHANNELS[channel][0](word) == word


def test_a_page_keeps_what_shapes_words_and_shows_that_something_was_stopped() -> None:
    words = "Wartungs\u00adplan \u05d0\u200f! \u0e01\u200b\u0e02"
    page = page_environment().from_string("{{ text }}|{{ say('no_depot') }}")
    assert page.render(text=words).startswith(words + "|")
    assert page.render(text="V\u202e1").startswith("V\ufffd1|")


def test_a_stopped_character_breaks_no_word_unless_it_was_a_break() -> None:
    assert clean("oil\u202e filter\u2028left\x00right") == "oil filter left right"
    assert on_one_line("oil\u200efilter\r\nBcc: x") == "oilfilter Bcc: x"


def test_no_character_that_cannot_be_seen_hides_a_formula() -> None:
    hiding = DECEIVING | having("Default_Ignorable_Code_Point")
    assert [c for c in hiding if not str(harmless(f"{c}=1+1")).startswith("'")] == []


def test_codes_give_back_the_character() -> None:
    for char in DECEIVING - HALVES:
        assert tomllib.loads(f"a = {toml_text(f'x{char}y')}")["a"] == f"x{char}y"
        assert json.loads(shown_in_json(json.dumps(f"x{char}y", ensure_ascii=False))) == f"x{char}y"
        assert shown(f"x{char}y").encode("ascii").decode("unicode_escape") == f"x{char}y"


def test_describe_shows_whole_categories_by_their_code(tmp_path: Path) -> None:
    """In the name of a column, a cell and the file's name; what it says is read back as the column's name."""
    not_yet = {char for char in IGNORED if unicodedata.category(char) == "Cn"}
    hidden = sorted(DECEIVING - HALVES - CONTROLS - {"\ufeff"} - LINE_ENDS - not_yet)
    names = [f"km{char}" for char in hidden]
    path = tmp_path / f"fuel{''.join(hidden[:20])}.csv"
    cells = ",".join(f"5{char}" for char in hidden)
    path.write_text(f"vehicle,date,{','.join(names)}\nV1,2026-01-05,{cells}\nV2,2026-01-06,{cells}\n", encoding="utf-8")
    told = describe(path)
    assert {f"U+{ord(char):04X}" for char in set(told) & (DECEIVING - {"\n"})} == set()
    assert [
        name for name in hidden if f"km\\u{ord(name):04x}" not in told and f"km\\U{ord(name):08x}" not in told
    ] == []
    assert tomllib.loads(told)["source"][0]["files"] == path.name


def test_a_workbook_replaces_what_its_format_cannot_hold_and_nothing_else() -> None:
    """XML 1.0, 2.2 (Char), by expat: a cell is data to go on with, and shown alone in its box."""

    def is_read(char: str) -> bool:
        try:
            expat.ParserCreate().Parse(f"<a>{char}</a>".encode(), True)
        except (expat.ExpatError, UnicodeEncodeError):
            return False
        return True

    of_interest = [char for char in EACH if kind_of(char) in ACTS and char not in "\r<&"] + sorted(DECEIVING - {"\r"})
    for char in of_interest:
        assert (char in as_cell_text(f"a{char}b")) == is_read(char), f"U+{ord(char):04X}"
