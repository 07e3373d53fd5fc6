"""Names that a reader takes for one another are found, with each way in which they differ, and no others."""

import unicodedata
from sys import maxunicode

import polars as pl
import pytest

from fleetreport.alike import LETTERS, differ_in, looks_like, nearest_names
from fleetreport.record.alike_vehicles import Alike, alike

UNSEEN = "characters that look alike or cannot be seen"


def test_what_a_reader_takes_for_the_same() -> None:
    """Cyrillic letters that number plates share with ours: GOST R 50577, from memory."""
    ids = [
        ("V1", "v", 2), ("v1", "v", 3), ("V-2", "v", 4), ("V2", "v", 5), ("V 2", "v", 6), ("\u0410\u041a7", "w", 2),
        ("AK7", "w", 3), ("\uff361", "w", 4), ("v 1", "w", 5),
    ]  # fmt: skip
    assert alike(reversed(ids)) == [
        Alike("AK7", "w", 3, "\u0410\u041a7", "w", 2, UNSEEN, "U+0041, U+004B, U+0410, U+041A"),
        Alike("V 2", "v", 6, "V2", "v", 5, "blanks", "U+0020"),
        Alike("v 1", "w", 5, "V1", "v", 2, "case and blanks", "U+0020"),
        Alike("v1", "v", 3, "V1", "v", 2, "case", None),
        Alike("\uff361", "w", 4, "V1", "v", 2, UNSEEN, "U+0056, U+FF36"),
    ]


@pytest.mark.parametrize(
    ("one", "other", "ways"),
    [
        ("v1", "V1", ["case"]),
        ("V 1", "V1", ["blanks"]),
        ("V\t1", "V\u00a01", ["blanks"]),
        ("V\u200b1", "V1", [UNSEEN]),
        ("v 1", "V1", ["case", "blanks"]),
        ("v\u200b1", "V1", ["case", UNSEEN]),
        ("\u0432 1", "B1", ["case", "blanks", UNSEEN]),
        ("\u0412 1", "B1", ["blanks", UNSEEN]),
        # The sign of the kelvin is a K of another code, and its small letter is k: each way alone would do.
        ("\u212a1", "K1", [UNSEEN]),
    ],
)
def test_each_way_in_which_two_names_differ_is_told(one: str, other: str, ways: list[str]) -> None:
    assert looks_like(one) == looks_like(other)
    assert differ_in(one, other) == differ_in(other, one) == ways


def test_nothing_that_cannot_be_seen_makes_a_name_another() -> None:
    """All blanks and controls, and all without a shape by another program's tables (Rust's `regex`, through Polars)."""
    every = pl.Series([chr(code) for code in range(maxunicode + 1) if not 0xD800 <= code <= 0xDFFF])
    unseen = every.filter(every.str.contains(r"^[\p{Default_Ignorable_Code_Point}\p{Z}\p{Cc}]$")).to_list()
    unseen = [char for char in unseen if unicodedata.category(char) != "Cn"]
    assert len(unseen) > 450
    assert [f"U+{ord(char):04X}" for char in unseen if looks_like(f"V{char}1") != "v1"] == []
    assert [f"U+{ord(char):04X}" for char in unseen if nearest_names(f"oil{char}", ["oil"]) != ["oil"]] == []


def test_letters_that_look_like_ours_are_ours_small_and_large() -> None:
    """Their names say the same letter of another script; each is known in both sizes."""
    assert len(LETTERS) > 50
    for code, ours in LETTERS.items():
        theirs = chr(code)
        assert unicodedata.name(theirs).split()[0] in ("GREEK", "CYRILLIC")
        assert theirs.isupper() == chr(ours).isupper()
        assert looks_like(theirs) == looks_like(chr(ours)) == looks_like(theirs.swapcase()) == chr(ours).lower()
        assert nearest_names(theirs, [chr(ours)]) == [chr(ours)]


def test_figures_and_marks_that_are_typed_for_others_are_near_but_not_alike() -> None:
    assert nearest_names("AV-O1", ["AV 01"]) == ["AV 01"]
    assert looks_like("AV-O1") != looks_like("AV 01")
