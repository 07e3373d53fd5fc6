"""SAE J300 and J306, API and ACEA designations: what is listed, and that a viscosity names no grade."""

from published.checks import MEMORY, READ, Source

from fleetreport.items.specification import compare, evened

GRADES = Source("SAE J300 and J306:2019, limits at 100 °C", READ, "as lubricant sellers print them")
LISTED = Source("API 1560 gear designations; ACEA oil sequences", READ)
NOT_ALIKE = Source("API CK-4 and FA-4", MEMORY)
CAUTION = Source("Machinery Lubrication, GL-5 and synchronisers", READ)

# From, up to and not including, mm2/s.
J300 = {"12": (5.0, 7.1), "16": (6.1, 8.2), "20": (6.9, 9.3), "30": (9.3, 12.5), "40": (12.5, 16.3), "50": (16.3, 21.9)}
J306 = {"80": (8.5, 11.0), "85": (11.0, 13.5), "90": (13.5, 18.5), "110": (18.5, 24.0), "140": (24.0, 32.5)}


def grades(table: dict[str, tuple[float, float]], viscosity: float) -> list[str]:
    """Every grade whose limits a viscosity lies in."""
    return [grade for grade, (least, below) in table.items() if least <= viscosity < below]


@GRADES.says_each(
    "limits",
    "KV100 {0} lies in {1} grade(s) of the table, so a product that says only that",
    [(16.3, 1, "not stated"), (18.5, 1, "not stated"), (7.0, 3, "not stated")],
)
def no_grade(viscosity: float, count: int) -> object:
    assert len(grades(J306 if viscosity == 18.5 else J300, viscosity)) == count
    verdicts = {one.verdict for one in compare("SAE 40; SAE 5W-30; SAE 50; 75W-110", f"KV100 {viscosity}")}
    return ", ".join(sorted(verdicts))


@GRADES.says_each("one grade, many hands", "{0}", [
    ("75W90", "75W90"), ("75W-90", "75W90"), ("SAE 75W-90", "75W90"), ("sae75w 90", "75W90"),
    ("Sae\u00a075W\u201190", "75W90"),
])  # fmt: skip
def one_viscosity(written: str) -> object:
    return evened(written)


@LISTED.says_each(
    "designations", "needs {0}, product lists {1}",
    [
        ("API GL-4", "API GL-5", "different"), ("API GL-4", "API GL-4/GL-5", "listed"), ("GL-4", "api gl 4", "listed"),
        ("ACEA A3/B4", "ACEA C3", "different"), ("ACEA A3/B4", "acea a3/b4", "listed"),
    ],
)  # fmt: skip
@NOT_ALIKE.says_each("designations", "needs {0}, product lists {1}", [("API CK-4", "API FA-4", "different")])
def verdict(needs: str, meets: str) -> object:
    return ", ".join(one.verdict for one in compare(needs, meets))


@CAUTION.says_each(
    "GL-5 is no safe substitute", "needs {0}, lists {1}: caution",
    [("API GL-4", "API GL-4/GL-5", "yes"), ("API GL-4", "API GL-5", "yes"), ("API GL-5", "API GL-5", "no")],
)  # fmt: skip
def synchronisers(needs: str, meets: str) -> object:
    return [one.caution for one in compare(needs, meets)]
