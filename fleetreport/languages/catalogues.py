"""The catalogues: one for each language, from its parts.

A catalogue holds one sentence or label a key. A text in braces is filled in by `str.format`; figures arrive there already
written with their unit, by the marks and names of the language's `locale`. `.one` and `.many` are the two forms of a
count. A language is complete when it has every key of English, and in each the same braces; the tests hold it to that.

No entry may say that a vehicle or a task is safe, or all right: the figures cannot know that.
"""

from collections.abc import Mapping

from fleetreport.languages.english import (
    base,
    books,
    cautions,
    letters,
    lists,
    money,
    orders,
    pages,
    sheets,
    told,
    trials,
    workshop,
)
from fleetreport.languages.german import base as base_de
from fleetreport.languages.german import books as books_de
from fleetreport.languages.german import cautions as cautions_de
from fleetreport.languages.german import letters as letters_de
from fleetreport.languages.german import lists as lists_de
from fleetreport.languages.german import money as money_de
from fleetreport.languages.german import orders as orders_de
from fleetreport.languages.german import pages as pages_de
from fleetreport.languages.german import sheets as sheets_de
from fleetreport.languages.german import told as told_de
from fleetreport.languages.german import trials as trials_de
from fleetreport.languages.german import workshop as workshop_de

Catalogue = Mapping[str, str]


def joined(*parts: Catalogue) -> Catalogue:
    """Parts as one catalogue. Raises ValueError for a key that two of them give differently."""
    whole: dict[str, str] = {}
    for part in parts:
        for key, text in part.items():
            if whole.setdefault(key, text) != text:
                raise ValueError(f"{key}: found two texts, expected one: {whole[key]!r}, {text!r}")
    return whole


ENGLISH = joined(
    *(
        part.WORDS
        for part in (base, books, cautions, letters, lists, money, orders, pages, sheets, told, trials, workshop)
    )
)
GERMAN = joined(
    *(
        part.WORDS
        for part in (
            base_de,
            books_de,
            cautions_de,
            letters_de,
            lists_de,
            money_de,
            orders_de,
            pages_de,
            sheets_de,
            told_de,
            trials_de,
            workshop_de,
        )
    )
)
CATALOGUES: Mapping[str, Catalogue] = {"en": ENGLISH, "de": GERMAN}
