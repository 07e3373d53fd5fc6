"""Say in a catalogue's language what the data say in English words: reasons, diagnoses, notes.

The tables hold such a text in English, as other programs read them. Its pattern stands in the English catalogue under
`told.`, with parts in braces: `{said}`, `{further}`, `{reading}`, `{later}` and `{choice}` are texts of the same kind,
the others stand as they are. `told` finds the pattern that fits and fills the other catalogue's. What fits none is
shown as it is: a reader who gets English is better off than one who gets nothing.
"""

import re
from collections.abc import Mapping
from functools import lru_cache

from fleetreport.languages.catalogues import ENGLISH, Catalogue

PREFIX = "told."
# Parts that are texts themselves, and what the others may hold.
TEXTS = {"said", "further", "reading", "later", "choice"}
SHAPES: Mapping[str, str] = {
    "figure": r"[^\s]+?", "other": r"[^\s\"]+?", "unit": r"km|mi|h|m", "word": r"\w+", "date": r"\d{4}-\d\d-\d\d",
    "column": r"\w+", "choice": r"\w+(?: or \w+)*",
}  # fmt: skip
SLOT = re.compile(r"\{(\w+)\}")


def told(text: str, words: Catalogue = ENGLISH) -> str:
    """`text` in the words of the catalogue; as it is where no pattern fits it."""
    if words["locale"] == ENGLISH["locale"]:
        return text
    found = _told(text, words, {})
    return text if found is None else found


def _told(text: str, words: Catalogue, known: dict[str, str | None]) -> str | None:
    """None where no pattern fits. `known` are the texts tried so far."""
    if text in known:
        return known[text]
    known[text] = None
    for key, shape, parts in _patterns():
        if not (match := shape.fullmatch(text)):
            continue
        filled = {name: _part(name, match[name], words, known) for name in parts}
        if None not in filled.values():
            known[text] = words[key].format(**filled)
            break
    return known[text]


def _part(name: str, text: str, words: Catalogue, known: dict[str, str | None]) -> str | None:
    if name not in TEXTS:
        return text
    found = _told(text, words, known)
    return text if found is None and name == "choice" and " " not in text else found


@lru_cache(maxsize=1)
def _patterns() -> tuple[tuple[str, re.Pattern[str], tuple[str, ...]], ...]:
    """Key, shape and names of parts of each pattern, that with most of its own words first."""
    patterns = []
    for key, text in ENGLISH.items():
        if key.startswith(PREFIX):
            pieces = SLOT.split(text)
            shape = "".join(
                f"(?P<{piece}>{SHAPES.get(piece, '.+?')})" if at % 2 else re.escape(piece)
                for at, piece in enumerate(pieces)
            )
            patterns.append((sum(map(len, pieces[::2])), key, re.compile(shape, re.DOTALL), tuple(pieces[1::2])))
    return tuple((key, shape, parts) for _, key, shape, parts in sorted(patterns, key=lambda one: (-one[0], one[1])))
