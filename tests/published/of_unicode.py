"""The Unicode Standard: texts that are the same without regard to case, and canonical equivalents."""

from published.checks import QUOTED, Source

from fleetreport.settings.wording import fold

CASE = Source("The Unicode Standard, CaseFolding.txt", QUOTED, "the words are ours")
NORMAL = Source("Unicode Standard Annex 15, figures 3 and 6", QUOTED)


@CASE.says_each(
    "5.18, 3.13 (D145)",
    "{0!a} and {1!a}, {2}",
    [
        ("Straße", "STRASSE", "F: 00DF", "yes"),
        ("ΌΣΟΣ", "όσος", "C: 03A3, 03C2", "yes"),
        ("\ufb01lter", "FILTER", "F: FB01", "yes"),
        ("ԱՌԵՎ", "առեվ", "C: 0531", "yes"),
        ("МАСЛО", "масло", "C: 041C", "yes"),
        ("\u01c5", "\u01c6", "C: 01C5", "yes"),
        ("\u212a", "k", "C: 212A", "yes"),
        ("\u0149", "\u02bcn", "F: 0149", "yes"),
    ],
)
def caseless(one: str, other: str, status: str) -> bool:
    return fold(one) == fold(other)


@NORMAL.says_each(
    "canonical and compatibility equivalents",
    "{0!a} and {1!a}",
    [
        ("\u212b", "A\u030a", "yes"),
        ("\u1e9b\u0323", "s\u0323\u0307", "yes"),
        ("\u2126", "\u03a9", "yes"),
        ("\uff76\uff9e", "\u30ac", "yes"),
    ],
)
def equivalent(composed: str, decomposed: str) -> bool:
    return fold(composed) == fold(decomposed)
