"""The vehicles of the invented operator, their exceptions and what is known of their use, as plain data.

The last four columns of `VEHICLES` never reach vehicles.csv: km and hours of a working day, the exports a
vehicle's meters turn up in, and how it is used (a key of usage.SEASONS).
"""

# fmt: off
# ruff: noqa: E501 - a row of a table of data stays on one line

from generator.stock import rows_of

VEHICLE_COLUMNS = ("vehicle_id", "title", "class", "depot", "cost_centre", "distance_unit", "in_service_on",
                   "in_service_odometer", "in_service_hours", "duty", "retired_on", "budget_per_year")
MONEY_COLUMNS = ("warranty_until", "warranty_distance", "price", "value_now")
USE_COLUMNS = ("km_a_day", "hours_a_day", "exports", "season")
CLASS_OF = {"L": "light_4x4", "V": "van", "P": "pickup", "T": "tipper", "W": "water_tanker", "D": "wheel_loader",
            "G": "generator", "R": "trailer"}
DEPOT_OF = {"hb": "Harrow Bore", "cf": "Cinder Flat", "tc": "Tallow Crossing"}

# id | title | depot | cost centre | unit | in service | odometer | hours | duty | retired | budget | km | h | exports | season
VEHICLES = """
L01 | Light 4x4, bore inspection | hb | water | | 2019-03-11 | | | severe | | 2400 | 150 | | tracker | water
L02 | Light 4x4, bore inspection | hb | water | | 2021-06-07 | | | | | 2000 | 120 | | tracker | water
L03 | Light 4x4, fence and grid gang | hb | roads | | 2018-09-24 | | | severe | | 2800 | 135 | | tracker | roads
L04 | Light 4x4, survey | hb | roads | | 2022-02-14 | | | | | 1700 | 110 | | tracker | roads
L05 | Light 4x4, pipeline patrol | cf | water | | 2020-10-05 | | | severe | | 2600 | 170 | | tracker | water
L06 | Light 4x4, pipeline patrol | cf | water | | 2023-05-15 | | | severe | | 2300 | 165 | | tracker | water
L07 | Light 4x4, long-range sump | cf | power | | 2019-11-18 | | | | | 2200 | 125 | | tracker | power
L08 | Light 4x4, up-country crew | cf | power | | 2017-08-21 | | | severe | | 2900 | 140 | | tracker | power
L09 | Light 4x4, line inspection | cf | power | | 2024-04-08 | | | | | 1600 | 115 | | tracker | power
L10 | Light 4x4, camp supply | tc | camps | | 2021-01-25 | | | | | 1800 | 105 | | tracker | flat
L11 | Light 4x4, camp supply | tc | camps | | 2020-03-02 | | | severe | | 2300 | 130 | | tracker | flat
L12 | Light 4x4, river gauges | tc | water | mi | 2018-05-28 | 21400 | | | | 2100 | 120 | | fuelcard | water
L13 | Light 4x4, spare crew | tc | roads | | 2017-02-13 | | | | | 1000 | 85 | | tracker | roads
L14 | Light 4x4, river gauges | tc | water | mi | 2022-08-15 | 6800 | | | | 1900 | 110 | | fuelcard | water
L15 | Light 4x4, road foreman | hb | roads | | 2025-03-17 | | | | | 1500 | 125 | | tracker | roads
L16 | Light 4x4, bore inspection | hb | water | | 2026-11-20 | 12 | | severe | | 2100 | 140 | | tracker | water
V01 | Van, fitters | hb | roads | | 2020-06-15 | | | | | 1500 | 120 | | fuelcard | flat
V02 | Van, laboratory | hb | water | | 2021-09-06 | | | | | 1400 | 95 | | fuelcard | water
V03 | Van, stores run | hb | camps | | 2019-01-14 | | | severe | | 1900 | 190 | | tracker | flat
V04 | Van, stores run | cf | camps | | 2022-11-07 | | | severe | | 1700 | 185 | | tracker | flat
V05 | Van, electricians | cf | power | | 2023-03-20 | | | | | 1300 | 90 | | fuelcard | power
V06 | Van, fitters | tc | roads | | 2018-10-01 | | | | | 1600 | 110 | | fuelcard | flat
V07 | Van, crew, sold on | tc | camps | | 2016-04-18 | 30250 | | | 2026-11-16 | 1200 | 80 | | fuelcard | flat
V08 | Van, crew | tc | camps | | 2024-09-30 | | | | | 1300 | 115 | | tracker | flat
P01 | Pickup, road patrol | hb | roads | mi | 2019-07-08 | 18200 | | | | 1300 | 130 | | fuelcard | roads
P02 | Pickup, road patrol | hb | roads | mi | 2020-02-17 | 9100 | | | | 1300 | 125 | | fuelcard | roads
P03 | Pickup, meter reader | hb | water | mi | 2021-05-03 | 11750 | | | | 1200 | 95 | | fuelcard | water
P04 | Pickup, sampling | cf | water | mi | 2019-10-21 | 26300 | | severe | | 1600 | 140 | | fuelcard | water
P05 | Pickup, line crew | cf | power | mi | 2022-01-10 | 5400 | | | | 1200 | 120 | | fuelcard | power
P06 | Pickup, line crew | cf | power | mi | 2018-03-26 | 31900 | | severe | | 1600 | 135 | | fuelcard | power
P07 | Pickup, camp warden | tc | camps | mi | 2023-06-12 | 3300 | | | | 1000 | 75 | | fuelcard | flat
P08 | Pickup, sign gang | tc | roads | mi | 2020-08-24 | 14600 | | | | 1300 | 110 | | fuelcard | roads
P09 | Pickup, camp warden | tc | camps | mi | 2026-12-07 | 40 | | | | 1000 | 80 | | fuelcard | flat
T01 | Tipper, gravel | hb | roads | | 2018-02-05 | | | | | 6900 | 190 | | tracker | roads
T02 | Tipper, gravel | hb | roads | | 2019-08-12 | | | | | 6400 | 205 | | tracker | roads
T03 | Tipper, gravel, uses oil | hb | roads | | 2016-11-07 | 41000 | | severe | | 8100 | 175 | | tracker | roads
T04 | Tipper, patching | cf | roads | | 2020-05-25 | | | | | 5900 | 165 | | tracker | roads
T05 | Tipper, pipe trench spoil | cf | water | | 2021-04-19 | | | severe | | 6800 | 180 | | tracker | water
T06 | Tipper, pipe trench spoil | cf | water | | 2022-09-12 | | | severe | | 5800 | 185 | | tracker | water
T07 | Tipper, gravel | tc | roads | | 2017-06-19 | 18500 | | | | 7300 | 170 | | tracker | roads
T08 | Tipper, patching | tc | roads | | 2019-03-25 | | | | | 5300 | 150 | | tracker | roads
W01 | Water tanker, drinking water | hb | water | | 2019-09-16 | | | severe | | 6300 | 150 | 3.2 | tracker hand | water
W02 | Water tanker, drinking water | cf | water | | 2021-02-08 | | | | | 5600 | 160 | 3.5 | tracker hand | water
W03 | Water tanker, drinking water | cf | camps | | 2022-06-20 | | | | | 5400 | 145 | 3.0 | tracker hand | water
W04 | Water tanker, dust laying | tc | roads | | 2018-01-29 | | | severe | | 6800 | 120 | 4.1 | tracker hand | roads
W05 | Water tanker, drinking water | tc | camps | | 2024-01-22 | | | | | 5000 | 130 | 2.8 | tracker hand | water
D01 | Wheel loader, gravel pit | hb | roads | | 2018-04-16 | | | severe | | 6100 | | 5.2 | tracker hand | roads
D02 | Wheel loader, gravel pit | hb | roads | | 2021-07-26 | | | severe | | 5400 | | 5.6 | tracker | roads
D03 | Wheel loader, pipe yard | cf | water | | 2020-01-20 | | | | | 4800 | | 4.4 | tracker hand | water
D04 | Wheel loader, depot yard | tc | roads | | 2017-10-09 | | 3120 | | | 4300 | | 3.1 | hand | roads
D05 | Wheel loader, landfill | tc | camps | | 2023-09-04 | | | | | 4500 | | 3.8 | hand | flat
G01 | Generator, camp One | hb | power | | 2019-12-02 | | | severe | | 2600 | | 9.5 | hand | power
G02 | Generator, relay station | cf | power | | 2021-11-15 | | | severe | | 2500 | | 8.6 | hand | power
G03 | Generator, pump station | cf | water | | 2022-04-11 | | | | | 2200 | | 6.2 | hand | water
G04 | Generator, camp Two | tc | camps | | 2020-07-13 | | 1460 | | | 2300 | | 7.4 | hand | flat
G05 | Generator, standby, yard | tc | power | | 2018-08-06 | | | | | 800 | | 0.2 | hand | flat
R01 | Trailer, low loader | hb | roads | | 2017-03-06 | | | | | 1100 | | | | flat
R02 | Trailer, tilt bed | hb | roads | | 2021-08-30 | | | | | 700 | | | | flat
R03 | Trailer, pipe carrier | cf | water | | 2020-04-27 | | | | | 800 | | | | flat
R04 | Trailer, cable drum | cf | power | | 2022-10-17 | | | | | 600 | | | | flat
R05 | Trailer, camp kitchen | tc | camps | | 2019-05-20 | | | | | 900 | | | | flat
R06 | Trailer, fuel bowser | tc | roads | | 2023-11-06 | | | | 2025-10-31 | 700 | | | | flat
"""

# the maker's warranty (day, distance in the vehicle's unit), what a new one costs, what this one would fetch
MONEY = """
L09 | 2027-04-08 | 100000 | 32000 | 21500
L04 | 2025-02-13 | 100000 | |
L11 | 2027-03-01 | 250000 | |
L15 | 2028-03-17 | 100000 | 32000 | 26000
L16 | 2029-11-20 | 100000 | 32000 | 31800
P07 | 2026-06-12 | 60000 | 38200 | 19800
V08 | 2027-09-30 | 120000 | 41900 | 30100
W05 | 2026-01-22 | 80000 | 171000 | 121000
D05 | 2025-09-04 | | 138000 | 84000
L08 | | | 32000 | 14500
L13 | | | 32000 | 13500
V06 | | | 41900 | 7400
T01 | | | 118000 | 31500
T03 | | | 118000 | 19500
W04 | | | 171000 | 40500
D04 | | | 138000 | 36000
G05 | | | 24500 | 7600
"""
# vehicle, day, meter, first reading of the new dial; the old dial's last one comes from that day's truth
METER_CHANGES = (("T04", "2025-05-13", "odometer", 0), ("P06", "2024-10-08", "odometer", 12),
                 ("D01", "2025-08-21", "hours", 0))
# vehicle, tasks whose work was never written down: "no record", though somebody may have done it
UNRECORDED = (
    ("V01", ("coolant", "gearbox_oil")),
    ("V06", ("coolant", "gearbox_oil", "brake_fluid")),
    ("P01", ("coolant", "gearbox_oil")),
    ("L13", ("gearbox_oil", "coolant")),
    ("T01", ("gearbox_oil",)),
    ("T07", ("coolant",)),
    ("D04", ("coolant", "axle_oil", "axle_recheck")),
    ("G04", ("valve_gaps",)),
    ("W04", ("coolant",)),
)
# vehicle, from, to: stood still
IDLE = (("L13", "2026-08-21", "2027-12-31"), ("T08", "2026-05-18", "2026-09-06"), ("V06", "2025-02-03", "2025-03-30"),
        ("W05", "2026-10-26", "2026-11-15"), ("P07", "2024-06-24", "2024-09-01"))

VEHICLE_TASK_COLUMNS = ("vehicle_id", "task", "title", "every_distance", "every_months", "every_hours",
                        "first_distance", "distance_unit", "basis", "after", "labour_hours", "category", "source",
                        "caution", "reason")
VEHICLE_TASKS = """
L03 | engine_oil | | 7500 | | | | | | | | | own | | tows the fence trailer every day
L05 | winch_service | Winch: rope, brake, gearbox grease | | 12 | | | | | | 1.0 | body | maker | Gloves; stand clear of a loaded rope. | fitted 2021
L08 | winch_service | Winch: rope, brake, gearbox grease | | 12 | | | | | | 1.0 | body | maker | Gloves; stand clear of a loaded rope. | fitted when new
L08 | air_filter | | 7500 | 6 | | | | | | | | own | | dust of the up-country track
L11 | cabin_filter | | 10000 | 6 | | | | | | | | own | | driver with hay fever
L12 | service_a | | 6000 | | | | mi | | | | | maker | | schedule printed in miles
V02 | fridge_unit | Refrigeration unit serviced | | 12 | | | | | | 1.5 | body | contract | Refrigerant only by licensed hands. | sample fridge
V03 | tyre_rotation | | 12000 | | | | | | | | | own | | always loaded on the rear axle
P04 | brake_fluid | | | 12 | | | | | | | | own | | many fords
T03 | service_a | | 8000 | 3 | | | | | | | | own | | oil use watched until the engine is overhauled
T06 | hoist_oil | | | 12 | | | | | | | | maker | | bio-based oil on trial
T07 | wheels_off | | 30000 | | | | | | | | | own | | re-used hubs
W03 | tank_cleaning | | | 2 | | | | last_done | | | | contract | | school run, two-month clause
G05 | oil_change | | | 24 | | | | | | | | maker | | standby, under 100 h a year
D04 | bucket_pins | | | 2 | | | | | | | | own | | pins over the wear mark, parts ordered
"""
VEHICLE_ITEM_COLUMNS = ("vehicle_id", "task", "item", "instead_of", "quantity", "reason")
VEHICLE_ITEMS = """
L07 | engine_oil | engine_oil_light | | 5.1 | long-range sump
L08 | front_axle_oil | axle_oil_light | | 1.8 | larger housing
L11 | gearbox_oil | axle_oil_light | gear_oil | 2.4 | gearbox swapped, later type with GL-5 oil named on its plate
P06 | engine_oil | engine_oil_heavy | engine_oil_light | 5.4 | older engine, maker names 15W-40
T03 | service_a | engine_oil_heavy | | 26 | deeper sump of the replacement engine
W02 | axle_oil | axle_oil_heavy | | 21 | hub reduction
W04 | pump_service | pump_oil | | 2.0 | twin pump
D02 | service_250 | oil_filter_machine | | 2 | twin filter heads
V02 | fridge_unit | drive_belt | | 1 | belt of the fridge unit
"""
# task: a date that stands in expiries only, by class; roadworthiness is also in the plan
CERTIFICATES = {"roadworthiness": ("L", "V", "P", "T", "W", "R"), "extinguisher_pressure_test": ("T", "W", "D", "G"),
                "water_hygiene_licence": ("W",), "operator_licence_disc": ("T",)}
# a last expiry date chosen for the story of the three weeks
EXPIRES = {("R03", "roadworthiness"): "2026-11-19", ("V06", "roadworthiness"): "2026-11-27",
           ("P08", "roadworthiness"): "2026-10-30", ("T01", "extinguisher_pressure_test"): "2026-12-01",
           ("G04", "extinguisher_pressure_test"): "2026-11-14", ("W02", "water_hygiene_licence"): "2026-11-30",
           ("L10", "roadworthiness"): "2026-12-14"}



def vehicle_rows() -> list[dict[str, str]]:
    """Every vehicle with its class, its depot's full name and the columns of use."""
    cut = tuple(c for c in VEHICLE_COLUMNS if c != "class")
    rows = rows_of(VEHICLES, cut + USE_COLUMNS)
    money = {row["vehicle_id"]: row for row in rows_of(MONEY, ("vehicle_id", *MONEY_COLUMNS))}
    nothing = dict.fromkeys(MONEY_COLUMNS, "")
    return [
        row | nothing | money.get(row["vehicle_id"], {})
        | {"class": CLASS_OF[row["vehicle_id"][0]], "depot": DEPOT_OF[row["depot"]]}
        for row in rows
    ]
