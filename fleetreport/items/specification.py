"""What a product lists, token by token, against what an item needs.

Tokens are compared as written after evening out case, blanks, hyphens, a leading `SAE`, and `API` before a gear oil
designation: `75W90` is `SAE 75W-90`. The answer is `listed`, `different` (the product lists another token of the
same family) or `not stated`, never more: a product record cannot say that an oil suits a machine, and a
grade is never inferred from a viscosity figure. The maker of the vehicle decides.

`GL-4/GL-5` lists both. GL-4 and GL-5 are different designations, not a better and a lesser one (API 1560): a GL-5 oil
may attack the yellow metal of synchronisers, so whatever concerns both carries a caution.
"""

import re
from typing import NamedTuple

# How tokens of one family begin once evened out; a product that lists one of them says that it is not another.
FAMILIES = (
    ("viscosity, SAE", re.compile(r"\d+W(\d+)?$|\d{1,3}$")),
    ("viscosity, ISO", re.compile(r"ISOVG\d+")),
    ("gear oil, API", re.compile(r"GL\d|MT1")),
    ("diesel engine oil, API", re.compile(r"API[CF][A-Z]\d?")),
    ("petrol engine oil, API", re.compile(r"APIS[A-Z]")),
    ("engine oil, ACEA", re.compile(r"ACEA[A-F]\d+")),
    ("brake fluid, DOT", re.compile(r"DOT\d")),
    ("brake fluid, ISO 4925", re.compile(r"ISO4925")),
    ("hydraulic oil, ISO 11158", re.compile(r"ISO11158")),
    ("coolant, ASTM", re.compile(r"ASTMD(3306|4985|6210)")),
    ("grease, NLGI", re.compile(r"NLGI")),
)
LISTED, DIFFERENT, NOT_STATED = "listed", "different", "not stated"


class Verdict(NamedTuple):
    """One token needed, what the product record says to it, and what it lists of the same family (as written)."""

    token: str
    verdict: str
    beside: tuple[str, ...]
    caution: bool  # GL-4 and GL-5 meet here


def tokens(text: str | None) -> list[str]:
    """The tokens of a cell, as written, blank ones left out."""
    return [token.strip() for token in (text or "").split(";") if token.strip()]


def evened(token: str) -> str:
    """A token without case, blanks, hyphens and a leading `SAE`, or `API` before a gear oil designation."""
    plain = re.sub(r"[\s\u00a0\u2010-\u2015\u2212-]+", "", token).upper()
    plain = plain.removeprefix("SAE")
    return re.sub(r"^API(?=GL\d|MT1)", "", plain)


def alternatives(token: str) -> set[str]:
    """What a token of a product lists, evened out: itself, and each part of `GL-4/GL-5` or `API CK-4/CJ-4`.

    The issuer before the first part stands before the others too; `ACEA A3/B4` is one token, since its two parts are
    one sequence.
    """
    found = {evened(token)}
    if "/" in token and not evened(token).startswith("ACEA"):
        first, *others = (part.strip() for part in token.split("/"))
        issuer = " ".join(first.split()[:-1])
        found |= {evened(first), *(evened(part if " " in part else f"{issuer} {part}") for part in others)}
    return found - {""}


def family(plain: str) -> str | None:
    """The family of an evened-out token; None for one that has no other beside it."""
    return next((name for name, begins in FAMILIES if begins.match(plain)), None)


def compare(needs: str | None, meets: str | None) -> list[Verdict]:
    """A verdict for each different token of `needs`, in their order, against all tokens of `meets`."""
    said = [(token, alternatives(token)) for token in tokens(meets)]
    every = set().union(*(plain for _, plain in said)) if said else set()
    verdicts = []
    different: dict[str, str] = {}
    for token in tokens(needs):
        different.setdefault(evened(token), token)
    for wanted, token in different.items():
        of_family = family(wanted)
        beside = tuple(written for written, plain in said if of_family and any(family(p) == of_family for p in plain))
        verdict = LISTED if wanted in every else DIFFERENT if beside else NOT_STATED
        gears = {wanted, *(p for p in every if family(p) == "gear oil, API")}
        caution = family(wanted) == "gear oil, API" and {"GL4", "GL5"} <= gears
        verdicts.append(Verdict(token, verdict, () if verdict == LISTED else beside, caution))
    return verdicts


def worst_verdict(needs: str | None, meets: str | None) -> str:
    """`different` where one token needed is, else `not stated` where one is, else `listed`."""
    verdicts = {one.verdict for one in compare(needs, meets)}
    return next((verdict for verdict in (DIFFERENT, NOT_STATED) if verdict in verdicts), LISTED)
