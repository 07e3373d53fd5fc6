"""The catalogues: one for each language, from its parts.

A catalogue holds one sentence or label a key. A text in braces is filled in by `str.format`; figures arrive there already
written with their unit, by the marks and names of the language's `locale`. `.one` and `.many` are the two forms of a
count. A language is complete when it has every key of English, and in each the same braces; the tests hold it to that.

No entry may say that a vehicle or a task is safe, or all right: the figures cannot know that.
"""

from collections.abc import Mapping

from fleetreport.languages.english import base, cautions, letters, money, orders, pages, sheets, workshop

Catalogue = Mapping[str, str]


def joined(*parts: Catalogue) -> Catalogue:
    """Parts as one catalogue. Raises ValueError for a key that two of them give differently."""
    whole: dict[str, str] = {}
    for part in parts:
        for key, text in part.items():
            if whole.setdefault(key, text) != text:
                raise ValueError(f"{key}: found two texts, expected one: {whole[key]!r}, {text!r}")
    return whole


ENGLISH = joined(*(part.WORDS for part in (base, cautions, letters, money, orders, pages, sheets, workshop)))
CATALOGUES: Mapping[str, Catalogue] = {"en": ENGLISH}
