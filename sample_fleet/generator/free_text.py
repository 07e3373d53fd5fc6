"""The relief fitter: a hand that writes no task, only words, some of them German, and often several works in one line.

From `SINCE` on the fitter keeps the book of three vehicles. What the workshops would have written of a day there
becomes one line of free text with the day's parts and hours; `REMARKS` are lines that no wording rule of fleet.toml
reads, on purpose.
"""

from datetime import date
from typing import Any

from generator.usage import chance_of

Line = dict[str, Any]
HAND = "relief_fitter"
VEHICLES = ("L15", "P07", "V08")
SINCE = date(2025, 2, 3)
WORKSHOPS = ("harrow_bore", "cinder_flat", "tallow_crossing")

# task: the words it may be written in, the last one or two German
WORDS = {
    "engine_oil": ("oil change", "engine oil + filter", "Ölwechsel", "Motoröl und Filter neu"),
    "air_filter": ("air filter new", "Air-filter changed", "Luftfilter neu"),
    "cabin_filter": ("cabin filter", "Innenraumfilter neu"),
    "fuel_filter": ("fuel filter, water trap drained", "DIESELFILTER gewechselt"),
    "brake_fluid": ("brake fluid flushed", "Bremsflüssigkeit erneuert"),
    "coolant": ("coolant drained and filled", "Kühlmittel gewechselt"),
    "gearbox_oil": ("gearbox oil", "Getriebeöl gewechselt"),
    "transfer_oil": ("transfer case oil", "Öl Verteilergetriebe"),
    "front_axle_oil": ("front axle oil", "Öl Vorderachse neu"),
    "rear_axle_oil": ("rear axle oil", "Öl Hinterachse neu"),
    "front_axle_recheck": ("front axle level looked at again", "Stand Vorderachse nachgeprüft"),
    "rear_axle_recheck": ("rear axle level looked at again", "Stand Hinterachse nachgeprüft"),
    "service_a": ("A service", "small service", "kleine Inspektion"),
    "service_b": ("B service", "Inspektion B"),
    "service_c": ("C service", "große Inspektion"),
    "tyre_rotation": ("tyres turned round", "Räder getauscht"),
    "extinguisher_check": ("extinguisher looked at", "Feuerlöscher geprüft"),
    "first_aid_kit": ("first-aid box complete", "Verbandskasten geprüft"),
}
JOINTS = (", ", " + ", " and ", "; ")
# vehicle, day, words, parts, hours: nobody can tell from these what was done, or only a person can
REMARKS = (
    ("P07", "2025-03-05", "wash and grease", None, 0.8),
    ("P07", "2025-07-16", "wash and grease", None, 0.8),
    ("V08", "2025-09-10", "Wash and grease", None, 0.7),
    ("L15", "2026-02-11", "wash and grease", None, 1.0),
    ("L15", "2025-06-25", "usual", None, 1.5),
    ("V08", "2026-01-21", "usual", None, 1.2),
    ("P07", "2026-05-06", "engin oyl chanegd", "38.40", 0.9),
    ("V08", "2026-06-17", "Klappern gesucht", None, 2.1),
    ("L15", "2026-08-19", "see blue book p. 14", "212.75", 3.4),
    ("P07", "2026-11-18", "Keilriemen", "27.90", 0.6),
)


def in_free_text(lines: list[Line]) -> list[Line]:
    """The lines with the fitter's in place of those that the workshops would have written."""
    days: dict[tuple[str, str], list[Line]] = {}
    kept = []
    for line in lines:
        if _is_fitters(line):
            days.setdefault((line["vehicle_id"], line["done_on"]), []).append(line)
        else:
            kept.append(line)
    written = [_line_of(day) for day in days.values()]
    for vehicle, on, words, parts, hours in REMARKS:
        written.append({
            "hand": HAND, "vehicle_id": vehicle, "done_on": on, "description": words, "parts_cost": parts,
            "labour_hours": hours,
        })  # fmt: skip
    return sorted([*kept, *written], key=lambda line: (line["done_on"], line["vehicle_id"]))


def _is_fitters(line: Line) -> bool:
    return (
        line["vehicle_id"] in VEHICLES
        and line["hand"] in WORKSHOPS
        and line.get("task") is not None
        and date.fromisoformat(line["done_on"]) >= SINCE
    )


def _line_of(day: list[Line]) -> Line:
    """One line for all that was done on a vehicle in a day, in the order it was done."""
    first = day[0]
    rng = chance_of("free text", first["vehicle_id"], first["done_on"])
    tasks = list(dict.fromkeys(line["task"] for line in day))
    said = rng.choice(JOINTS).join(rng.choice(WORDS[task]) for task in tasks)
    money = {name: sum(float(line.get(name) or 0) for line in day) for name in ("parts_cost", "labour_hours")}
    return {
        "hand": HAND,
        "vehicle_id": first["vehicle_id"],
        "done_on": first["done_on"],
        "odometer": next((line["odometer"] for line in day if line.get("odometer") is not None), None),
        "unit": next((line["unit"] for line in day if line.get("unit") is not None), None),
        "description": said,
        "parts_cost": f"{money['parts_cost']:.2f}" if money["parts_cost"] else None,
        "labour_hours": f"{money['labour_hours']:.1f}" if money["labour_hours"] else None,
    }
