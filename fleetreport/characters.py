"""What a character does to a reader, by its Unicode properties: which are text, and which act unseen.

Each channel (a terminal, a page, a letter, a calendar …) names the kinds that must not pass it, and what stands in
their place. The kinds follow from `unicodedata` (general category and bidirectional class), so that a new version of
Unicode needs no new list here. What is stored stays as it was read; this is for what is shown. Knows no channel.
"""

import json
import unicodedata
from collections.abc import Callable, Iterable
from enum import Enum


class Kind(Enum):
    """What a character is. Whatever has a shape of its own, or a width, is TEXT."""

    TEXT = "text"
    CONTROL = "control"  # category Cc: C0, DEL and C1 (ECMA-48)
    LINE_END = "line or paragraph separator"  # categories Zl and Zp
    TURN = "embedding, override or isolate of direction"  # Unicode Standard Annex 9, 2.1 to 2.5
    MARK = "mark of direction"  # Annex 9, 2.6
    JOINER = "joiner"  # the property Join_Control: spelling in Persian or Hindi, and in pictures made of several
    UNSEEN = "format character without a shape"  # the rest of category Cf: soft hyphen, byte order mark, tags …
    BLANK_LETTER = "letter or accent without a shape"  # fillers, and selectors of another shape for what stands before
    HALF = "half of a character"  # category Cs: cannot be sent as UTF-8
    NONE = "noncharacter"  # Unicode Standard, 23.7: never text


TURNS = frozenset({"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"})
MARKS = frozenset(map(unicodedata.lookup, ("LEFT-TO-RIGHT MARK", "RIGHT-TO-LEFT MARK", "ARABIC LETTER MARK")))
JOINERS = frozenset(map(unicodedata.lookup, ("ZERO WIDTH JOINER", "ZERO WIDTH NON-JOINER")))
# A format character that is drawn has a direction of its own (Arabic signs of number); one that is not is neutral. The
# three of annotations are neutral in another class.
NOT_DRAWN = frozenset({"BN", "ON"})
# What Unicode calls such letters and accents; they have no property of their own in `unicodedata`.
BLANK_NAMES = (
    "HANGUL FILLER", "CHOSEONG FILLER", "JUNGSEONG FILLER", "VARIATION SELECTOR", "COMBINING GRAPHEME JOINER",
    "KHMER VOWEL INHERENT",
)  # fmt: skip
# Not assigned yet, and kept for characters that are not drawn: Default_Ignorable_Code_Point of Unicode 15.0
# (DerivedCoreProperties.txt), as far as it is of category Cn.
KEPT_FOR_UNSEEN = (range(0x2065, 0x2066), range(0xFFF0, 0xFFF9), range(0xE0000, 0xE1000))
# What does something to the text around it, or is none: no channel has a use for these.
ACTS = frozenset({Kind.CONTROL, Kind.LINE_END, Kind.TURN, Kind.HALF, Kind.NONE})
# In plain text nothing keeps a mark from ordering the figures beside it; a page isolates each name by an element.
ACTS_IN_PLAIN_TEXT = ACTS | {Kind.MARK}
# Where a person tells names apart by sight, all that cannot be seen besides. Joiners stay: they are spelling.
DECEIVES = ACTS_IN_PLAIN_TEXT | {Kind.UNSEEN}
OF_CATEGORY = {"Cc": Kind.CONTROL, "Zl": Kind.LINE_END, "Zp": Kind.LINE_END, "Cs": Kind.HALF}
WITHOUT_WIDTH = frozenset({Kind.TURN, Kind.MARK, Kind.JOINER, Kind.UNSEEN, Kind.BLANK_LETTER})


def kind_of(char: str) -> Kind:
    """What one character is."""
    category = unicodedata.category(char)
    if category in ("Lo", "Mn"):
        name = unicodedata.name(char, "")
        return Kind.BLANK_LETTER if any(part in name for part in BLANK_NAMES) else Kind.TEXT
    if category == "Cn":
        code = ord(char)
        if code & 0xFFFE == 0xFFFE or 0xFDD0 <= code <= 0xFDEF:
            return Kind.NONE
        return Kind.UNSEEN if any(code in span for span in KEPT_FOR_UNSEEN) else Kind.TEXT
    if category == "Cf":
        return _kind_of_format(char)
    return OF_CATEGORY.get(category, Kind.TEXT)


def _kind_of_format(char: str) -> Kind:
    if char in MARKS:
        return Kind.MARK
    if char in JOINERS:
        return Kind.JOINER
    direction = unicodedata.bidirectional(char)
    if direction in TURNS:
        return Kind.TURN
    return Kind.UNSEEN if direction in NOT_DRAWN else Kind.TEXT


class _Passing(dict[int, int | str]):
    """A table for `str.translate` that is filled as characters come: most of Unicode never does."""

    def __init__(self, stopped: frozenset[Kind], written: Callable[[str], str], but: str) -> None:
        super().__init__({ord(char): char for char in but})
        self.stopped, self.written = stopped, written
        self.kept = set(but)

    def __missing__(self, code: int) -> int | str:
        char = chr(code)
        if kind_of(char) in self.stopped:
            self[code] = said = self.written(char)
            return said
        self.kept.add(char)
        self[code] = code
        return code


def stopping(stopped: Iterable[Kind], written: Callable[[str], str], but: str = "") -> Callable[[str], str]:
    """What lets a text pass with each character of these kinds, save those of `but`, as `written` says it."""
    kinds = frozenset(stopped)
    table = _Passing(kinds, written, but)
    # Python calls printable all but the categories C and Z (a blank is): where no other kind is asked for, that is
    # quicker to know. So is whether all characters are known to pass; most texts that have others have a fixed blank.
    others = Kind.BLANK_LETTER in kinds

    def say(text: str) -> str:
        if (text.isprintable() and not others) or table.kept.issuperset(text):
            return text
        return text.translate(table)

    return say


def blank_or_nothing(char: str) -> str:
    """In the place of a stopped character a blank; nothing where it had no width, so that no word is broken."""
    return "" if kind_of(char) in WITHOUT_WIDTH else " "


def as_replaced(char: str) -> str:
    """U+FFFD, in the place of a stopped character: a reader sees that something stood there."""
    return "\ufffd"


def code_of(char: str) -> str:
    r"""`\u202e`, `\U000e0041`: as Python, TOML and readers of both write a character by its number."""
    return f"\\u{ord(char):04x}" if ord(char) <= 0xFFFF else f"\\U{ord(char):08x}"


_in_toml = stopping(DECEIVES, code_of)


def toml_text(text: str) -> str:
    """A basic string of TOML (1.0.0), on one line: what would deceive a reader stands there as its code."""
    return _in_toml(json.dumps(text, ensure_ascii=False))
