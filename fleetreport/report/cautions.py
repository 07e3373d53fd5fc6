"""Which standing cautions a report carries, and in which order. Their words are in the catalogue."""

import re

from fleetreport.languages.catalogues import Catalogue

# In each group in the order in which they are read.
GROUPS: dict[str, tuple[str, ...]] = {
    "week": ("estimates", "not_due", "maker_and_law", "competent_people", "manual", "readings"),
    "order": ("no_approval", "counts"),
    "money": ("no_advice", "no_books", "band", "warranty", "replacement", "never_what_is_safe"),
}
# The words by which a waste stream is known, in the order looked for: oily rags and used brake fluid are no used oil; a
# filter stays one whatever it held. Whole words where another word holds them (`storage batteries` are no rags).
WASTE = {
    "filter": "filter", "rag": r"\brags?\b|lappen|putztuch|putztücher", "brake_fluid": "brake fluid|bremsflüssigkeit",
    "coolant": "coolant|antifreeze|kühlmittel|kühlflüssigkeit|frostschutz", "batter": "batter", "oil": r"\boil|öl",
}  # fmt: skip


def cautions(words: Catalogue, *groups: str) -> list[tuple[str, str]]:
    """The cautions of these groups, each a title and a sentence or two."""
    return [
        (words[f"cautions.{group}.{name}.title"], words[f"cautions.{group}.{name}.text"])
        for group in groups
        for name in GROUPS[group]
    ]


def waste_caution(stream: str, words: Catalogue) -> str:
    """The handling caution for a waste stream, by the words in its name; the general one where none is known."""
    named = stream.casefold().replace("_", " ")
    known = next((name for name, pattern in WASTE.items() if re.search(pattern, named)), "other")
    return words[f"cautions.waste.{known}"]
