"""The service plan of the invented operator: which task each class has, how often, with which items.

Plain data. `TASKS` are the rows of tasks.csv, `TASK_ITEMS` those of task_items.csv. The intervals are common
practice, no published source: they show the arithmetic and are no advice for a real vehicle, whose maker's
schedule comes first. Labour of a service that covers a smaller one is the extra over the smaller one, so that
both together, when both fall due, add up to the visit.
"""

# fmt: off
# ruff: noqa: E501 - a row of a table of data stays on one line

from typing import Any

Cells = dict[str, Any]

TASK_COLUMNS = (
    "class", "task", "title", "every_distance", "every_months", "every_hours", "first_distance", "first_months",
    "first_hours", "severe_distance", "severe_months", "severe_hours", "distance_unit", "basis", "every_year_on",
    "after", "covers", "labour_hours", "category", "late_tolerance_pct", "source", "caution", "major",
)

HOT_OIL = "Oil may be hot enough to scald: let it cool, gloves and eye protection on; tighten plugs to the maker's data."
JACKING = "Level ground, wheels chocked, stands under the maker's lifting points; never under a jack alone."
WHEEL_NUTS = "Torque and sequence from the maker's data with a calibrated wrench; never by feel."
COOLANT = "Never open a hot cooling system; coolant is poisonous, keep it from people and animals."
BRAKES = "Brake fluid harms eyes, skin and paint; brake work by licensed hands only, road test after."
HYDRAULIC = "Body propped and locked, pressure released before a line is opened; look for leaks with card, never a hand."
ELECTRIC = "Isolate, lock out and prove dead; terminals by licensed electricians only."
CONFINED = "Tank entry only under a confined-space permit, with a second person outside."
DUST = "Blow no dust into the face; mask and eye protection."


def _task(cls: str, task: str, title: str, category: str, labour: float, **cells: Any) -> Cells:
    """One row of tasks.csv; `km`, `months`, `h` are short for the every_ columns, `sev` for the three severe_ ones."""
    severe = cells.pop("sev", (None, None, None))
    row: Cells = dict.fromkeys(TASK_COLUMNS)
    row |= {"class": cls, "task": task, "title": title, "category": category, "labour_hours": labour}
    row |= dict(zip(("severe_distance", "severe_months", "severe_hours"), severe, strict=True))
    short = {
        "km": "every_distance",
        "months": "every_months",
        "h": "every_hours",
        "tol": "late_tolerance_pct",
    }
    row |= {short.get(name, name): value for name, value in cells.items()}
    return row


def _light_tasks() -> list[Cells]:
    """Light four-wheel-drives: every oil a task of its own, level re-checks after both live axles."""
    c = "light_4x4"
    return [
        _task(c, "engine_oil", "Engine oil and filter", "oils", 0.9, km=10000, months=6, first_distance=5000,
              sev=(5000, 3, None), source="maker", caution=HOT_OIL),
        _task(c, "gearbox_oil", "Gearbox oil", "oils", 0.8, km=60000, months=48, sev=(40000, 36, None),
              source="maker", caution=HOT_OIL),
        _task(c, "transfer_oil", "Transfer case oil", "oils", 0.6, km=40000, months=36, sev=(20000, 24, None),
              source="maker", caution=HOT_OIL),
        _task(c, "front_axle_oil", "Front axle oil", "oils", 0.7, km=40000, months=24, sev=(20000, 12, None),
              source="maker", caution=HOT_OIL),
        _task(c, "rear_axle_oil", "Rear axle oil", "oils", 0.7, km=40000, months=24, sev=(20000, 12, None),
              source="maker", caution=HOT_OIL),
        _task(c, "front_axle_recheck", "Front axle: level again after the oil has settled", "oils", 0.2,
              first_distance=1000, first_months=1, after="front_axle_oil", source="own", caution=JACKING),
        _task(c, "rear_axle_recheck", "Rear axle: level again after the oil has settled", "oils", 0.2,
              first_distance=1000, first_months=1, after="rear_axle_oil", source="own", caution=JACKING),
        _task(c, "air_filter", "Engine air filter", "filters", 0.3, km=20000, months=24, sev=(10000, 12, None),
              source="maker", caution=DUST),
        _task(c, "fuel_filter", "Fuel filter and water trap", "filters", 0.5, km=30000, months=24,
              sev=(20000, 12, None), source="maker", caution="No flame or spark near fuel; catch what drips."),
        _task(c, "cabin_filter", "Cabin air filter", "filters", 0.2, km=20000, months=12, source="own", caution=DUST),
        _task(c, "coolant", "Coolant", "fluids", 1.0, km=100000, months=48, first_months=60, source="maker",
              caution=COOLANT),
        _task(c, "brake_fluid", "Brake fluid", "brakes", 0.8, months=24, source="maker", caution=BRAKES),
        _task(c, "service_a", "A service: levels, lights, belts, leaks", "inspection", 1.0, km=10000, months=6,
              sev=(5000, 3, None), source="maker"),
        _task(c, "service_b", "B service: A, and brakes, joints, bearings", "inspection", 1.2, km=20000, months=12,
              sev=(10000, 6, None), covers="service_a", source="maker", caution=JACKING),
        _task(c, "service_c", "C service: B, and chassis, steering box, wiring", "inspection", 1.5, km=40000,
              months=24, sev=(20000, 12, None), covers="service_b", source="maker", caution=JACKING),
        _task(c, "tyre_rotation", "Wheels off: tyres turned round, brakes looked at", "tyres", 0.8, km=12000,
              source="own", caution=JACKING),
        _task(c, "wheel_nuts", "Wheel nuts re-torqued after 60 km", "tyres", 0.2, first_distance=60,
              after="tyre_rotation", source="maker", caution=WHEEL_NUTS),
    ]


def _van_and_pickup_tasks() -> list[Cells]:
    """Vans on the anchored basis, pickups in miles with a fixed A/B ladder."""
    rows = []
    for c, unit, basis, step in (("van", None, "anchored", 15000), ("pickup", "mi", "fixed", 8000)):
        u = {"distance_unit": unit, "source": "maker"}
        rows += [
            _task(c, "engine_oil", "Engine oil and filter", "oils", 0.8, km=step, months=12,
                  sev=(step // 2, 6, None), caution=HOT_OIL, **u),
            _task(c, "service_a", "A service: levels, lights, brakes seen through", "inspection", 1.2, km=step,
                  months=12, basis=basis, **u),
            _task(c, "service_b", "B service: A, and wheels off, joints, belts", "inspection", 1.4, km=2 * step,
                  months=24, basis=basis, covers="service_a", caution=JACKING, **u),
            _task(c, "air_filter", "Engine air filter", "filters", 0.3, km=2 * step, months=24,
                  sev=(step, 12, None), caution=DUST, **u),
            _task(c, "fuel_filter", "Fuel filter", "filters", 0.4, km=3 * step, months=36, **u),
            _task(c, "cabin_filter", "Cabin air filter", "filters", 0.2, km=step, months=12, distance_unit=unit,
                  source="own"),
            _task(c, "brake_fluid", "Brake fluid", "brakes", 0.8, months=24, source="maker", caution=BRAKES),
            _task(c, "coolant", "Coolant", "fluids", 0.9, km=6 * step, months=48, caution=COOLANT, **u),
            _task(c, "gearbox_oil", "Gearbox oil", "oils", 0.7, km=6 * step, months=72, caution=HOT_OIL, **u),
        ]
    rows += [
        _task("van", "tyre_rotation", "Wheels off: tyres turned round", "tyres", 0.7, km=15000, source="own",
              caution=JACKING),
        _task("van", "wheel_nuts", "Wheel nuts re-torqued after 50 km", "tyres", 0.2, first_distance=50,
              after="tyre_rotation", source="maker", caution=WHEEL_NUTS),
        _task("pickup", "tyre_rotation", "Wheels off: tyres turned round", "tyres", 0.7, km=8000,
              distance_unit="mi", source="own", caution=JACKING),
        _task("pickup", "wheel_nuts", "Wheel nuts re-torqued after 35 mi", "tyres", 0.2, first_distance=35,
              distance_unit="mi", after="tyre_rotation", source="maker", caution=WHEEL_NUTS),
    ]
    return rows


def _heavy_tasks() -> list[Cells]:
    """Tippers and water tankers: A/B/C covers chain, yearly checks before the seasons, bodies and pumps."""
    rows = []
    for c in ("tipper", "water_tanker"):
        rows += [
            _task(c, "service_a", "A service: engine oil and filter, grease, leaks", "oils", 2.0, km=15000, months=6,
                  first_distance=5000, sev=(10000, 4, None), source="maker", caution=HOT_OIL),
            _task(c, "service_b", "B service: A, and fuel and air filters, belts", "filters", 1.8, km=30000,
                  months=12, sev=(20000, 8, None), covers="service_a", source="maker", caution=HOT_OIL),
            _task(c, "service_c", "C service: B, and valve gaps, air dryer, steering", "inspection", 3.5, km=60000,
                  months=24, sev=(40000, 16, None), covers="service_b", source="maker", caution=JACKING),
            _task(c, "gearbox_oil", "Gearbox oil", "oils", 1.2, km=120000, months=36, source="maker",
                  caution=HOT_OIL),
            _task(c, "axle_oil", "Drive axle oil", "oils", 1.4, km=90000, months=24, source="maker",
                  caution=HOT_OIL),
            _task(c, "coolant", "Coolant", "fluids", 1.5, km=240000, months=36, source="maker", caution=COOLANT),
            _task(c, "brake_lining_check", "Brake linings and drums", "brakes", 2.0, km=30000, months=6,
                  source="law", late_tolerance_pct=0, caution=BRAKES),
            _task(c, "wheels_off", "Wheels off: hubs, tyres, brakes", "tyres", 3.0, km=40000, months=12,
                  source="own", caution=JACKING),
            _task(c, "wheel_nuts", "Wheel nuts re-torqued after 80 km", "tyres", 0.5, first_distance=80,
                  after="wheels_off", source="maker", caution=WHEEL_NUTS),
            _task(c, "roadworthiness", "Roadworthiness certificate", "inspection", 1.0, source="law"),
        ]
    rows += [
        *(_task(k, "extinguisher_pressure_test", "Extinguisher to the pressure test, a charged one in its place",
                "inspection", 0.3, source="law") for k in ("tipper", "water_tanker", "wheel_loader", "generator")),
        _task("water_tanker", "water_hygiene_licence", "Drinking-water licence: sample taken, papers", "inspection",
              0.5, source="law"),
        _task("tipper", "operator_licence_disc", "Operator's licence disc renewed", "inspection", 0.1, source="law"),
        _task("tipper", "hoist_check", "Tipping gear, hinges and props", "body", 0.8, months=3, source="law", tol=5,
              caution=HYDRAULIC),
        _task("tipper", "hoist_oil", "Tipping gear hydraulic oil", "body", 1.2, months=24, source="maker",
              caution=HYDRAULIC),
        _task("tipper", "wet_season_check", "Before the rains: seals, wipers, underbody", "inspection", 1.5,
              every_year_on="10-20", source="own"),
        _task("water_tanker", "pump_service", "Water pump: seals, strainer, oil", "body", 1.5, h=250, months=12,
              basis="fixed", source="maker", caution=HYDRAULIC),
        _task("water_tanker", "tank_cleaning", "Drinking-water tank cleaned and disinfected", "body", 2.5, months=3,
              basis="anchored", source="contract", tol=5, caution=CONFINED),
        _task("water_tanker", "dry_season_check", "Before the dry season: hoses, valves, couplings", "inspection",
              1.5, every_year_on="04-15", source="contract"),
    ]
    return rows


def _machine_tasks() -> list[Cells]:
    """Wheel loaders and generators, by the hour meter."""
    c, g = "wheel_loader", "generator"
    return [
        _task(c, "service_250", "250 h: engine oil and filter, grease", "oils", 1.5, h=250, months=6, basis="fixed",
              first_hours=50, source="maker", caution=HOT_OIL),
        _task(c, "service_500", "500 h: 250 h, and fuel filters, belts", "filters", 1.2, h=500, months=12,
              basis="fixed", covers="service_250", source="maker", caution=HOT_OIL),
        _task(c, "service_1000", "1,000 h: 500 h, and transmission oil", "oils", 2.5, h=1000, months=24,
              basis="fixed", covers="service_500", source="maker", caution=HOT_OIL, major="yes"),
        _task(c, "hydraulic_oil", "Hydraulic oil and return filter", "oils", 3.0, h=2000, months=24, source="maker",
              caution=HYDRAULIC),
        _task(c, "axle_oil", "Axle and hub oil", "oils", 2.0, h=1500, months=24, source="maker", caution=HOT_OIL),
        _task(c, "axle_recheck", "Axle and hub level again", "oils", 0.3, first_hours=25, after="axle_oil",
              source="own"),
        _task(c, "air_filter", "Outer air filter element", "filters", 0.3, h=500, sev=(None, None, 250),
              source="maker", caution=DUST),
        _task(c, "coolant", "Coolant", "fluids", 1.5, h=3000, months=36, source="maker", caution=COOLANT),
        _task(c, "bucket_pins", "Bucket pins, bushes, articulation joint", "body", 0.8, months=3, source="own",
              caution=HYDRAULIC),
        _task(g, "oil_change", "Engine oil and filter", "oils", 1.0, h=250, months=12, first_hours=50,
              sev=(None, 6, 200), source="maker", caution=HOT_OIL),
        _task(g, "service_500", "500 h: fuel and air filters, belt", "filters", 1.2, h=500, months=12, basis="anchored",
              source="maker", caution=ELECTRIC),
        _task(g, "valve_gaps", "Valve gaps, injectors", "inspection", 4.0, h=2000, months=36, basis="anchored",
              source="maker", caution=ELECTRIC, major="yes"),
        _task(g, "coolant", "Coolant", "fluids", 0.8, h=3000, months=24, source="maker", caution=COOLANT),
        _task(g, "load_test", "Run one hour on the load bank", "inspection", 1.5, months=6, source="contract", tol=5,
              caution=ELECTRIC),
        _task(g, "fuel_tank_clean", "Base tank drained and wiped", "body", 1.5, months=24, source="own"),
        _task(g, "extinguisher_check", "Extinguisher: gauge, seal, bracket (engine room)", "inspection", 0.2,
              months=3, source="law"),
    ]


def _other_tasks() -> list[Cells]:
    """Trailers by time alone, and what every class has."""
    c = "trailer"
    return [
        _task(c, "lights_and_plugs", "Lights, plugs, reflectors", "inspection", 0.4, months=3, source="law"),
        _task(c, "brake_check", "Overrun or air brakes", "brakes", 1.0, months=6, source="law", caution=BRAKES),
        _task(c, "wheel_bearings", "Wheels off: bearings packed", "tyres", 1.5, months=12, source="maker",
              caution=JACKING),
        _task(c, "wheel_nuts", "Wheel nuts re-torqued within the month", "tyres", 0.2, first_months=1,
              after="wheel_bearings", source="maker", caution=WHEEL_NUTS),
        _task(c, "coupling_check", "Coupling, chains, breakaway cable", "body", 0.5, months=6, basis="fixed",
              source="own"),
        _task(c, "coupling_recheck", "Coupling bolts again", "body", 0.2, months=12, source="own"),
        _task(c, "roadworthiness", "Roadworthiness certificate", "inspection", 0.8, source="law"),
        _task(c, "cover_season_check", "Before the rains: covers, floors, drains", "inspection", 0.6,
              every_year_on="11-27", source="own"),
        *(_task(k, "roadworthiness", "Roadworthiness certificate", "inspection", 0.8, source="law")
          for k in ("light_4x4", "van", "pickup")),
        _task("*", "extinguisher_check", "Extinguisher: gauge, seal, bracket", "inspection", 0.2, months=6,
              source="law"),
        _task("*", "first_aid_kit", "First-aid kit complete and in date", "inspection", 0.1, months=12, source="own"),
    ]


TASKS = (*_light_tasks(), *_van_and_pickup_tasks(), *_heavy_tasks(), *_machine_tasks(), *_other_tasks())
