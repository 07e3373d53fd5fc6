"""What a phrase of a wording rule looks for in a text that people wrote, in any language.

`fold` evens out what people write now so, now otherwise: case, accents, width. `phrase_pattern` turns a phrase such
as `öl*wechsel` into a regular expression over folded text; `pattern_fault` says what is wrong with one that a person
wrote, and where. Regular expressions are those of RE2, which DuckDB runs: no text makes one slow.

`write_rules` puts the rules of fleet.toml into the one table that queries read. Knows nothing of tasks, and nothing of
meaning: `Ölwechsel` and `oil change` are two phrases, and `no oil change` holds the second.
"""

import unicodedata
from collections.abc import Sequence
from typing import NamedTuple

import duckdb

# Marks that writers of a language leave out or put in: Latin, Greek and Cyrillic accents, Hebrew points, Arabic vowels.
# Those of other scripts (Indic vowels, kana voicing) make another word, and stay.
LOOSE_MARKS = (
    (0x0300, 0x036F),
    (0x0591, 0x05C7),
    (0x0610, 0x061A),
    (0x064B, 0x065F),
    (0x0670, 0x0670),
    (0x1AB0, 0x1AFF),
)
# Letters whose bar or missing dot is no mark of its own, as Unicode's CLDR writes them in ASCII (Latin-ASCII).
PLAIN_LETTERS = {"ı": "i", "ø": "o", "đ": "d", "ł": "l", "ħ": "h", "ŧ": "t", "æ": "ae", "œ": "oe"}  # noqa: RUF001
BARE = str.maketrans({chr(code): "" for first, last in LOOSE_MARKS for code in range(first, last + 1)} | PLAIN_LETTERS)
# Scripts that put no blank between words (Unicode Standard Annex 29): there a phrase may stand inside a run of letters.
RUN_TOGETHER = (
    (0x0E00, 0x0EFF), (0x0F00, 0x0FFF), (0x1000, 0x109F), (0x1780, 0x17FF), (0x3040, 0x30FF), (0x3400, 0x4DBF),
    (0x4E00, 0x9FFF), (0xF900, 0xFAFF), (0x20000, 0x3FFFF),
)  # fmt: skip
LETTER = r"[\p{L}\p{M}\p{N}]"
BETWEEN = r"[^\p{L}\p{M}\p{N}]"
RULE_COLUMNS = (
    "(rule BIGINT, line BIGINT, class VARCHAR, task VARCHAR, kind VARCHAR, item VARCHAR, all_of VARCHAR[], "
    "parts VARCHAR[][], none_of VARCHAR[], pattern VARCHAR, said VARCHAR)"
)


class Rule(NamedTuple):
    """A wording rule as it is run: what must and must not be found, and what it then says of the line.

    `all_of` and `none_of` are regular expressions over folded text, `pattern` one over the text, folded or as written
    (None: none). `parts` are, for each of `all_of`, texts of which a text that fits it holds at least one. `line` is
    where it stands in fleet.toml, 0 where that is not known; `said` is the rule in words.
    """

    line: int
    vehicle_class: str | None
    task: str | None
    kind: str | None
    item: str | None
    all_of: Sequence[str]
    parts: Sequence[Sequence[str]]
    none_of: Sequence[str]
    pattern: str | None
    said: str


def fold(text: str) -> str:
    """The text without case, accents and width: two texts that differ in these only become the same.

    Unicode's compatibility caseless matching (The Unicode Standard, 3.13, D146), then loose marks taken off.
    """
    if text.isascii():
        return text.lower()
    decomposed = unicodedata.normalize("NFKD", unicodedata.normalize("NFD", text).casefold())
    again = unicodedata.normalize("NFKD", decomposed.casefold())
    return unicodedata.normalize("NFC", again.translate(BARE))


def phrase_pattern(phrase: str) -> str:
    """The regular expression that finds a phrase in folded text.

    Its words must follow each other as whole words, whatever stands between them; `*` stands for any further letters.
    Raises ValueError where the phrase has no letter or digit.
    """
    start, body, end = _pieces(phrase)
    return f"{start}{body}{end}"


def _pieces(phrase: str) -> tuple[str, str, str]:
    """What must stand before a phrase, the phrase, and what must stand after it. Raises ValueError."""
    words = _words(phrase)
    body = f"{BETWEEN}+".join(word.replace("*", f"{LETTER}*") for word in words)
    start = "" if _within(words[0][0], RUN_TOGETHER) else f"(?:^|{BETWEEN})"
    end = "" if _within(words[-1][-1], RUN_TOGETHER) else f"(?:{BETWEEN}|$)"
    return start, body, end


def phrase_part(phrase: str) -> str:
    """The longest run of letters that a text must hold to hold the phrase: quicker to look for. Raises ValueError."""
    parts = [part for word in _words(phrase) for part in word.split("*")]
    return max(parts, key=lambda part: (len(part), part))


def _words(phrase: str) -> list[str]:
    """The folded words of a phrase, the stars in them."""
    words: list[str] = [""]
    for char in fold(phrase):
        if char == "*" or unicodedata.category(char)[0] in "LMN":
            words[-1] += char
        elif words[-1]:
            words.append("")
    words = [word for word in words if word.strip("*")]
    if not words:
        raise ValueError("a phrase with a letter or a digit in it")
    return words


def any_of(phrases: Sequence[str]) -> str:
    """The regular expression that finds at least one of these phrases in folded text.

    What stands round several phrases is written once: RE2 takes most of its time to ready the classes of letters.
    """
    bodies: dict[tuple[str, str], list[str]] = {}
    for start, body, end in map(_pieces, phrases):
        bodies.setdefault((start, end), []).append(body)
    return "|".join(f"{start}(?:{'|'.join(some)}){end}" for (start, end), some in bodies.items())


def pattern_fault(pattern: str) -> str | None:
    """What is wrong with a regular expression, with the character at which it goes wrong; None: it can be read."""
    fault = _re2_fault(pattern)
    if fault is None:
        return None
    what, _, part = fault.rpartition(": ")
    at = pattern.rfind(part) if what == "missing ]" else pattern.find(part)
    if at < 0 or part == pattern:
        # RE2 hands back the whole of it: what cannot be read begins after the longest start that can.
        at = next((end for end in range(len(pattern) - 1, 0, -1) if _re2_fault(pattern[:end]) is None), 0)
    return f"a regular expression that RE2 can read ({what} at character {at + 1})"


def _re2_fault(pattern: str) -> str | None:
    try:
        duckdb.connect().execute("select regexp_matches('', ?, 'i')", [pattern]).fetchall()
    except duckdb.InvalidInputException as error:
        return str(error).splitlines()[0].removeprefix("Invalid Input Error: ")
    return None


def write_rules(db: duckdb.DuckDBPyConnection, rules: Sequence[Rule]) -> None:
    """Make the table `wording_rules`, numbered from 1 in the order of fleet.toml."""
    db.execute(f"create or replace table wording_rules {RULE_COLUMNS}")
    rows = [
        [number, rule.line, rule.vehicle_class, rule.task, rule.kind, rule.item, list(rule.all_of),
         [list(some) for some in rule.parts], list(rule.none_of), rule.pattern, rule.said]
        for number, rule in enumerate(rules, 1)
    ]  # fmt: skip
    if rows:
        db.executemany("insert into wording_rules values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", rows)


def _within(char: str, blocks: Sequence[tuple[int, int]]) -> bool:
    return any(first <= ord(char) <= last for first, last in blocks)
