"""What the workshop knows beside the plan: when vehicles can come, what identifies them, what is found at services.

Everything is invented. `code_of` draws from a stream of chance of its own, so that it shifts nothing else.
"""

from collections.abc import Mapping

from generator.usage import chance_of

REGISTER_COLUMNS = ("make", "serial", "year", "tyre_size", "owner")
LIMIT_COLUMNS = ("limit_per_1000_km", "limit_per_100_h")
MAKER_COLUMNS = ("maker_distance", "maker_months", "maker_hours")

# V01 stands in the fitters' yard on Mondays and Thursdays only; W02 is free on two days before Christmas, then on
# Tuesdays.
AVAILABILITY = (
    ("V01", "", "mon"), ("V01", "", "thu"), ("W02", "2026-12-03", ""), ("W02", "2026-12-17", ""), ("W02", "", "tue"),
)  # fmt: skip
# One of each pair has to be on the road: the drinking-water tankers, the two patrols, the camps' generators.
PAIRS = (("W01", "W02"), ("L05", "L06"), ("G03", "G04"))
MAKES = {"L": "Maker A", "V": "Maker B", "P": "Maker B", "T": "Maker C", "W": "Maker C", "D": "Maker D", "G": "Maker E"}
TYRES = {
    "L": "7.50 R16", "V": "215/75 R16", "P": "245/70 R16", "T": "315/80 R22.5", "W": "315/80 R22.5",
    "D": "20.5 R25", "R": "265/70 R19.5", "G": "none",
}  # fmt: skip
# Nobody wrote these down.
NOT_WRITTEN_DOWN = {("L13", "serial"), ("T08", "tyre_size"), ("P07", "year"), ("V06", "make")}
LEASED = {"L15": "Dry Country Leasing", "L16": "Dry Country Leasing"}
# Litres between services that the (invented) handbooks allow.
LIMITS = {"engine_oil_heavy": ("1.0", "1.5"), "engine_oil_light": ("0.5", "")}
# Where the operator's own interval is another than the maker's.
MAKERS_INTERVAL = {("light_4x4", "cabin_filter"): ("40000", "24", ""), ("light_4x4", "air_filter"): ("40000", "36", "")}
CODES = ("clean", "serviceable", "soiled", "contaminated", "failed")
USUAL = (12, 80, 6, 2, 0)
WEIGHTS = {
    ("cabin_filter", "normal"): (70, 30, 0, 0, 0),
    ("cabin_filter", "severe"): (10, 50, 36, 4, 0),
    ("air_filter", "severe"): (0, 25, 30, 35, 10),
}
# Oil levels are dipped before draining since the job cards ask for it; T03's once a month besides.
DIPS_FROM = "2025-11-01"
USES_OIL = {"T03": 2.2, "L08": 0.6}
# Vehicle, task and day of work that left something open, what, and the note.
LEFT_OPEN = {
    ("L02", "engine_oil", "2026-11-16"): ("part", "cabin filter not on the shelf, ordered"),
    ("T02", "hoist_check", "2026-11-24"): ("inspection", "hinge pin dry, look again within the month"),
}


def register_of(vehicle: Mapping[str, str]) -> dict[str, str]:
    """Make, serial number, year, tyre size and owner of a vehicle: blank where nobody wrote it down, or it is ours."""
    number, letter = vehicle["vehicle_id"], vehicle["vehicle_id"][0]
    known = {
        "make": MAKES.get(letter, "own build"),
        "serial": f"X{chance_of(number, 'serial').randint(10**7, 10**8 - 1)}",
        "year": vehicle["in_service_on"][:4],
        "tyre_size": TYRES.get(letter, ""),
        "owner": LEASED.get(number, "own"),
    }
    return {field: "" if (number, field) in NOT_WRITTEN_DOWN else value for field, value in known.items()}


def below_mark(vehicle: Mapping[str, str], item: str, day: str) -> str:
    """Litres below the mark found by the dip before an oil change; nothing: no oil, before the cards, forgotten."""
    chance = chance_of(vehicle["vehicle_id"], item, day, "dip")
    if not item.startswith("engine_oil") or day < DIPS_FROM or chance.random() > 0.85:
        return ""
    usual = USES_OIL.get(vehicle["vehicle_id"], 0.5 if item.endswith("heavy") else 0.2)
    return f"{usual * chance.uniform(0.7, 1.3):.1f}"


def code_of(vehicle: Mapping[str, str], task: str, day: str, category: str) -> str:
    """What the mechanic ticked for an oil or a filter: one of five codes, or nothing."""
    chance = chance_of(vehicle["vehicle_id"], task, day, "code")
    if category not in ("oils", "filters") or chance.random() > 0.7:
        return ""
    return chance.choices(CODES, WEIGHTS.get((task, vehicle["duty"] or "normal"), USUAL))[0]
