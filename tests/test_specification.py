"""What a product lists against what an item needs; bounds of the published tables of grades."""

import pytest

from fleetreport.items.specification import compare, worst_verdict

# KV100 (mm2/s) from, up to and not including: SAE J300 (engine) and SAE J306:2019 (gear), as lubricant sellers print them.  # noqa: E501
J300 = {"12": (5.0, 7.1), "16": (6.1, 8.2), "20": (6.9, 9.3), "30": (9.3, 12.5), "40": (12.5, 16.3), "50": (16.3, 21.9)}
J306 = {"80": (8.5, 11.0), "85": (11.0, 13.5), "90": (13.5, 18.5), "110": (18.5, 24.0), "140": (24.0, 32.5)}


def verdicts(needs: str, meets: str | None) -> list[str]:
    return [one.verdict for one in compare(needs, meets)]


@pytest.mark.parametrize(
    ("needs", "meets", "verdict"),
    [
        ("API GL-4", "API GL-5", "different"),
        ("API GL-4", "API GL-4/GL-5", "listed"),
        ("GL-4", "api gl 4", "listed"),
        ("ACEA A3/B4", "ACEA C3", "different"),
        ("ACEA A3/B4", "acea a3/b4", "listed"),
        # One sequence, not two (ACEA European Oil Sequences).
        ("ACEA A3", "ACEA A3/B4", "different"),
        ("GL-5", "GL-4/GL-5", "listed"),
        # CF is a category for diesel engines, as CK-4 is; SN beside it is for petrol engines (API 1509).
        ("API CK-4", "API SN/CF", "different"),
        ("API CK-4", "API FA-4", "different"),
        ("API CJ-4", "API CK-4/CJ-4", "listed"),
        ("DOT 4", "DOT 3", "different"),
        ("SAE 5W-30", "ACEA C3", "not stated"),
        ("ISO VG 46", "ISO VG 68; ISO 11158 HM", "different"),
        ("ISO 21469", "ISO VG 68", "not stated"),
        ("EN 901", None, "not stated"),
    ],
)
def test_listed_different_or_not_stated(needs: str, meets: str | None, verdict: str) -> None:
    """Tests (a) to (d) of a buyer's check: a claim is listed as text, different in its family, or absent."""
    assert verdicts(needs, meets) == [verdict]


def test_every_token_gets_its_verdict_in_order() -> None:
    found = compare("API GL-4; SAE 75W-90; ; API GL-4", "API GL-5;75W90")
    assert [(one.token, one.verdict, one.beside) for one in found] == [
        ("API GL-4", "different", ("API GL-5",)), ("SAE 75W-90", "listed", ()),
    ]  # fmt: skip
    assert worst_verdict("API GL-4; SAE 75W-90", "API GL-5;75W90") == "different"
    assert worst_verdict("API GL-4; SAE 75W-90", "75W90") == "not stated"
    assert worst_verdict("API GL-4; SAE 75W-90", "75W90; GL-4/GL-5") == "listed"
    assert worst_verdict(None, None) == "listed"
