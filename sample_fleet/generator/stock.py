"""What the stores hold: task_items, items and packs, as plain data.

Suppliers and products are invented. Specification tokens are neutral ones of open standards; that a product
lists a token is part of the invention and says nothing about any real product.
"""

# fmt: off
# ruff: noqa: E501 - a row of a table of data stays on one line

ITEM_COLUMNS = ("item", "title", "unit", "kind", "grade", "needs", "unit_cost", "on_hand", "on_order",
                "lead_time_days", "used_becomes", "counted_on", "lead_time_sd_days", "storage_limit")
PACK_COLUMNS = ("item", "pack", "size", "price", "supplier", "product", "grade", "meets", "available", "min_count",
                "shelf_life_days")
SUPPLIER_COLUMNS = ("supplier", "email", "account", "min_order")
STOCK_TAKE_COLUMNS = ("item", "counted_on", "counted")
COUNTED_ON = "2026-11-09"  # the day of the stock list; what is used after it is in the histories
TASK_ITEM_COLUMNS = ("class", "task", "item", "quantity", "chance", "reuses")

# item | title | unit | kind | grade | needs | unit_cost | on_hand | on_order | lead_time_days | used_becomes
ITEMS = """
engine_oil_light | Engine oil, light diesel | L | oil | 5W-30 | ACEA C3;SAE 5W-30 | | 46 | 0 | 5 | used oil
engine_oil_heavy | Engine oil, heavy diesel | L | oil | 15W-40 | API CK-4;SAE 15W-40 | | 190 | 0 | 7 | used oil
gear_oil | Gear oil, gearboxes and transfer cases | L | oil | 75W-90 | API GL-4;SAE 75W-90 | | 17 | 0 | 7 | used oil
axle_oil_light | Axle oil, light axles | L | oil | 75W-90 | API GL-5;SAE 75W-90 | | 22 | 0 | 7 | used oil
axle_oil_heavy | Axle oil, heavy axles | L | oil | 80W-90 | API GL-5;SAE 80W-90 | | 16 | 0 | 10 | used oil
hydraulic_oil | Hydraulic oil | L | oil | 46 | ISO VG 46;ISO 11158 HM | | 90 | 0 | 10 | used oil
pump_oil | Water pump bearing oil, food grade | L | oil | 68 | ISO VG 68;ISO 21469 | 14.20 | 6 | 0 | 21 | used oil
coolant | Coolant, ready mixed | L | fluid | -37 | ASTM D3306 | | 60 | 40 | 7 | used coolant
coolant_heavy | Coolant, heavy diesel, ready mixed | L | fluid | -37 | ASTM D6210 | | 40 | 0 | 7 | used coolant
brake_fluid | Brake fluid | L | fluid | | DOT 4;ISO 4925 Class 4 | | 4 | 0 | 5 | used brake fluid
grease | Grease, cartridge of 400 g | piece | grease | NLGI 2 | NLGI 2 | 5.40 | 31 | 0 | 4 | oily rags
tank_disinfectant | Drinking-water tank disinfectant | L | chemical | | EN 901 | 3.10 | 25 | 0 | 14 |
sump_washer_light | Crush washer, sump plug, light | piece | seal | | | 0.45 | 16 | 0 | 6 |
fill_plug_washer_light | Washer, filler plug, light 4x4 | piece | seal | | | 1.15 | 9 | 0 | 6 |
axle_drain_washer | Crush washer, axle drain plug | piece | seal | | | 0.80 | 20 | 0 | 6 |
axle_fill_washer | Washer, axle fill plug | piece | seal | | | 0.95 | 14 | 0 | 6 |
gearbox_washer | Crush washer, gearbox plugs | piece | seal | | | 0.85 | 12 | 0 | 6 |
sump_washer_heavy | Crush washer, sump plug, heavy | piece | seal | | | 1.60 | 22 | 0 | 9 |
oil_filter_light | Oil filter, light 4x4 | piece | filter | | | 8.90 | 9 | 0 | 6 | used filters
oil_filter_van | Oil filter, van | piece | filter | | | 7.60 | 6 | 0 | 6 | used filters
oil_filter_pickup | Oil filter, pickup | piece | filter | | | 7.20 | 7 | 0 | 6 | used filters
oil_filter_heavy | Oil filter, heavy diesel | piece | filter | | | 23.50 | 4 | 0 | 9 | used filters
oil_filter_machine | Oil filter, machine | piece | filter | | | 18.40 | 5 | 4 | 9 | used filters
air_filter_light | Air filter, light 4x4 | piece | filter | | | 21.00 | 3 | 0 | 6 | used filters
air_filter_car | Air filter, van and pickup | piece | filter | | | 16.50 | 4 | 0 | 6 | used filters
air_filter_heavy | Air filter, heavy, outer | piece | filter | | | 64.00 | 1 | 0 | 12 | used filters
fuel_filter_light | Fuel filter, light 4x4 | piece | filter | | | 27.80 | 5 | 0 | 6 | used filters
fuel_filter_car | Fuel filter, van and pickup | piece | filter | | | 22.40 | 3 | 0 | 6 | used filters
fuel_filter_heavy | Fuel filter pair, heavy | piece | filter | | | 48.00 | 5 | 0 | 9 | used filters
cabin_filter | Cabin air filter | piece | filter | | | 11.30 | 6 | 0 | 6 | used filters
hydraulic_filter | Hydraulic return filter | piece | filter | | | 72.00 | 1 | 0 | 15 | used filters
brake_pads_light | Brake pads, front axle set | set | brake | | | 58.00 | 2 | 0 | 8 | scrap metal
brake_lining_heavy | Brake lining set, one axle | set | brake | | | 240.00 | 1 | 0 | 15 | scrap metal
drive_belt | Drive belt | piece | belt | | | 26.00 | 5 | 0 | 8 |
pump_seal_kit | Water pump seal kit | set | seal | | | 88.00 | 1 | 1 | 21 |
bearing_kit | Trailer bearing and seal kit | set | bearing | | | 34.00 | 2 | 0 | 8 | scrap metal
tyre_light | Tyre, light 4x4 | piece | tyre | | | 172.00 | 4 | 0 | 10 | tyres
tyre_heavy | Tyre, heavy | piece | tyre | | | 395.00 | 1 | 0 | 14 | tyres
battery | Starter battery | piece | battery | | | 128.00 | 1 | 0 | 5 | batteries
wiper_pair | Wiper blades, pair | set | body | | | 15.90 | 10 | 0 | 6 |
lamp | Lamp or light unit | piece | electric | | | 9.50 | 18 | 0 | 4 |
"""

# item | pack | size | price | supplier | product | grade | meets | available
PACKS = """
engine_oil_light | bottle_1L | 1 | 9.80 | Hollow Lane Stores | Clean diesel 5W-30 | 5W-30 | ACEA C3;5W30 |
engine_oil_light | pail_20L | 20 | 138.00 | Hollow Lane Stores | Clean diesel 5W-30 | 5W-30 | ACEA C3;SAE 5W-30 |
engine_oil_light | drum_208L | 208 | 1186.00 | Millrace Oil Trade | Low-ash diesel | 5W-30 | acea c3; ACEA C2; SAE 5W-30 | 2
engine_oil_heavy | pail_20L | 20 | 104.00 | Hollow Lane Stores | Hard-work diesel 15W-40 | 15W-40 | API CK-4;15W-40 |
engine_oil_heavy | drum_208L | 208 | 842.00 | Millrace Oil Trade | Heavy diesel | 15W-40 | API CK-4;API CJ-4;SAE 15W-40 | 4
engine_oil_heavy | drum_208L_b | 208 | 798.00 | Dunmarsh Bulk Fluids | Plant diesel | 15W-40 | API CI-4;SAE 15W40 |
gear_oil | bottle_1L | 1 | 12.40 | Hollow Lane Stores | Gear four | 75W-90 | API GL-4;75W90 |
gear_oil | pail_20L | 20 | 176.00 | Millrace Oil Trade | Gearbox 75W-90 | 75W-90 | API GL-4; SAE 75W-90 |
gear_oil | pail_20L_b | 20 | 169.00 | Dunmarsh Bulk Fluids | Multi gear | 75W-90 | API GL-5;SAE 75W-90 |
axle_oil_light | bottle_1L | 1 | 12.90 | Hollow Lane Stores | Axle five | 75W-90 | API GL-5;75W-90 |
axle_oil_light | pail_20L | 20 | 184.00 | Millrace Oil Trade | Axle 75W-90 | 75W-90 | API GL 5;SAE 75W90 |
axle_oil_heavy | pail_20L | 20 | 131.00 | Millrace Oil Trade | Axle 80W-90 | 80W-90 | API GL-5;SAE 80W-90 |
axle_oil_heavy | drum_208L | 208 | 1095.00 | Millrace Oil Trade | Axle 80W-90 | 80W-90 | API GL-5;SAE 80W-90 | 1
hydraulic_oil | pail_20L | 20 | 82.00 | Dunmarsh Bulk Fluids | Hydraulic 46 | 46 | ISO VG 46;ISO 11158 HM |
hydraulic_oil | drum_208L | 208 | 705.00 | Dunmarsh Bulk Fluids | Hydraulic 46 | 46 | ISO VG 46;ISO 11158 HM | 3
pump_oil | bottle_1L | 1 | 14.20 | Hollow Lane Stores | Clear bearing oil | 68 | ISO VG 68;ISO 21469 | 12
coolant | bottle_1L | 1 | 4.60 | Hollow Lane Stores | Ready coolant | | ASTM D3306 |
coolant | pail_20L | 20 | 61.00 | Hollow Lane Stores | Ready coolant | | ASTM D3306 |
coolant | drum_208L | 208 | 540.00 | Dunmarsh Bulk Fluids | Bulk coolant | | |
coolant_heavy | pail_20L | 20 | 74.00 | Dunmarsh Bulk Fluids | Long-life coolant | | ASTM D6210;ASTM D3306 |
brake_fluid | bottle_1L | 1 | 8.70 | Hollow Lane Stores | Brake four | | DOT 4;ISO 4925 Class 4 |
brake_fluid | bottle_1L_b | 1 | 5.90 | Dunmarsh Bulk Fluids | Brake three | | DOT 3 | 30
brake_fluid | can_5L | 5 | 36.50 | Hollow Lane Stores | Brake four | | DOT 4;ISO 4925 Class 4 |
tank_disinfectant | can_5L | 5 | 15.50 | Hollow Lane Stores | Tank clean | | EN 901 |
sump_washer_light | bag_10 | 10 | 3.90 | Hollow Lane Stores | | | |
sump_washer_light | single | 1 | 0.60 | Hollow Lane Stores | | | |
oil_filter_light | single | 1 | 8.90 | Hollow Lane Stores | | | |
oil_filter_light | box_6 | 6 | 49.20 | Hollow Lane Stores | | | |
grease | box_12 | 12 | 58.00 | Millrace Oil Trade | Chassis grease | NLGI 2 | NLGI 2 |
gear_oil | pail_10L | 10 | 112.00 | Millrace Oil Trade | One for both 75W-90 | 75W-90 | API GL-4/GL-5; SAE 75W-90 | | | 1095
axle_oil_light | pail_10L | 10 | 112.00 | Millrace Oil Trade | One for both 75W-90 | 75W-90 | API GL-4/GL-5; SAE 75W-90 | | | 1095
coolant | pail_20L_b | 20 | 74.00 | Dunmarsh Bulk Fluids | Long-life coolant | | ASTM D6210;ASTM D3306 |
hydraulic_oil | pail_20L | 20 | 78.00 | Dunmarsh Bulk Fluids | Hydraulic 46 | 46 | ISO VG 46;ISO 11158 HM | | 5
brake_fluid | tin_500mL | 0.5 | 5.10 | Hollow Lane Stores | Brake four | | DOT 4;ISO 4925 Class 4 | | | 730
brake_fluid | drum_60L | 60 | 318.00 | Dunmarsh Bulk Fluids | Brake four, bulk | | DOT 4;ISO 4925 Class 4 | | | 60
oil_filter_heavy | single | 1 | 23.50 | Fernhay Parts | | | |
oil_filter_heavy | single | 1 | 21.20 | Fernhay Parts | | | | | 4
tyre_heavy | single | 1 | 395.00 | Fernhay Parts | | | |
tyre_heavy | single | 1 | 372.00 | Fernhay Parts | | | | | 4
tyre_heavy | set_6 | 6 | 2190.00 | Dunmarsh Bulk Fluids | | | | 1
air_filter_heavy | single | 1 | 64.00 | Fernhay Parts | | | | 3
"""
# What is bought one by one, each at the price of the stock list.
SINGLY = "Fernhay Parts"

# supplier | email | account | min_order
SUPPLIERS = """
Hollow Lane Stores | orders@hollow-lane.example | OX-118 | 40
Millrace Oil Trade | desk@millrace.example | 70441 | 120
Dunmarsh Bulk Fluids | bulk@dunmarsh.example | |
Fernhay Parts | parts@fernhay.example | OWW |
"""

# item | counted_on | counted
STOCK_TAKES = """
engine_oil_light | 2026-11-16 | 31.5
engine_oil_light | 2026-11-23 | 22
hydraulic_oil | 2026-11-23 | 71
grease | 2026-11-20 | 19
wiper_pair | 2026-11-23 | 9
"""

# What the stock list says of few items: the most that may stand in the store, how much the lead time varies (days).
STORAGE_LIMITS = {"engine_oil_heavy": "624", "hydraulic_oil": "420", "engine_oil_light": "260"}
LEAD_TIME_SD = {"tyre_heavy": "4", "pump_seal_kit": "5"}

# class | task | item | quantity | chance | reuses
TASK_ITEMS = """
light_4x4 | engine_oil | engine_oil_light | 3.6 | |
light_4x4 | engine_oil | oil_filter_light | 1 | |
light_4x4 | engine_oil | sump_washer_light | 1 | | 0
light_4x4 | engine_oil | fill_plug_washer_light | 1 | | 2
light_4x4 | gearbox_oil | gear_oil | 2.4 | |
light_4x4 | gearbox_oil | gearbox_washer | 2 | | 0
light_4x4 | transfer_oil | gear_oil | 1.3 | |
light_4x4 | transfer_oil | gearbox_washer | 2 | | 0
light_4x4 | front_axle_oil | axle_oil_light | 1.6 | |
light_4x4 | front_axle_oil | axle_drain_washer | 1 | | 0
light_4x4 | front_axle_oil | axle_fill_washer | 1 | | 3
light_4x4 | rear_axle_oil | axle_oil_light | 1.9 | |
light_4x4 | rear_axle_oil | axle_drain_washer | 1 | | 0
light_4x4 | rear_axle_oil | axle_fill_washer | 1 | | 3
light_4x4 | front_axle_recheck | axle_oil_light | 0.2 | 0.3 |
light_4x4 | rear_axle_recheck | axle_oil_light | 0.2 | 0.3 |
light_4x4 | air_filter | air_filter_light | 1 | |
light_4x4 | fuel_filter | fuel_filter_light | 1 | |
light_4x4 | cabin_filter | cabin_filter | 1 | |
light_4x4 | coolant | coolant | 8.5 | |
light_4x4 | brake_fluid | brake_fluid | 1 | |
light_4x4 | service_a | grease | 1 | |
light_4x4 | service_b | brake_pads_light | 1 | 0.4 |
light_4x4 | service_c | drive_belt | 1 | 0.5 |
van | engine_oil | engine_oil_light | 6.2 | |
van | engine_oil | oil_filter_van | 1 | |
van | engine_oil | sump_washer_light | 1 | | 0
van | service_b | brake_pads_light | 1 | 0.5 |
van | air_filter | air_filter_car | 1 | |
van | fuel_filter | fuel_filter_car | 1 | |
van | cabin_filter | cabin_filter | 1 | |
van | brake_fluid | brake_fluid | 1 | |
van | coolant | coolant | 9 | |
van | gearbox_oil | gear_oil | 2.1 | |
pickup | engine_oil | engine_oil_light | 5.4 | |
pickup | engine_oil | oil_filter_pickup | 1 | |
pickup | engine_oil | sump_washer_light | 1 | | 0
pickup | service_b | brake_pads_light | 1 | 0.4 |
pickup | air_filter | air_filter_car | 1 | |
pickup | fuel_filter | fuel_filter_car | 1 | |
pickup | cabin_filter | cabin_filter | 1 | |
pickup | brake_fluid | brake_fluid | 1 | |
pickup | coolant | coolant | 7.5 | |
pickup | gearbox_oil | gear_oil | 2.2 | |
tipper | service_a | engine_oil_heavy | 24 | |
tipper | service_a | oil_filter_heavy | 1 | |
tipper | service_a | sump_washer_heavy | 1 | | 0
tipper | service_a | grease | 2 | |
tipper | service_b | fuel_filter_heavy | 1 | |
tipper | service_b | air_filter_heavy | 1 | 0.6 |
tipper | service_c | drive_belt | 1 | |
tipper | gearbox_oil | gear_oil | 11 | |
tipper | axle_oil | axle_oil_heavy | 18 | |
tipper | coolant | coolant_heavy | 32 | |
tipper | brake_lining_check | brake_lining_heavy | 1 | 0.1 |
tipper | hoist_oil | hydraulic_oil | 45 | |
tipper | wet_season_check | wiper_pair | 1 | 0.8 |
water_tanker | service_a | engine_oil_heavy | 22 | |
water_tanker | service_a | oil_filter_heavy | 1 | |
water_tanker | service_a | sump_washer_heavy | 1 | | 0
water_tanker | service_a | grease | 2 | |
water_tanker | service_b | fuel_filter_heavy | 1 | |
water_tanker | service_b | air_filter_heavy | 1 | 0.6 |
water_tanker | service_c | drive_belt | 1 | |
water_tanker | gearbox_oil | gear_oil | 10 | |
water_tanker | axle_oil | axle_oil_heavy | 16 | |
water_tanker | coolant | coolant_heavy | 30 | |
water_tanker | brake_lining_check | brake_lining_heavy | 1 | 0.1 |
water_tanker | pump_service | pump_oil | 1.2 | |
water_tanker | pump_service | pump_seal_kit | 1 | 0.5 |
water_tanker | tank_cleaning | tank_disinfectant | 2 | |
wheel_loader | service_250 | engine_oil_heavy | 19 | |
wheel_loader | service_250 | oil_filter_machine | 1 | |
wheel_loader | service_250 | sump_washer_heavy | 1 | | 0
wheel_loader | service_250 | grease | 3 | |
wheel_loader | service_500 | fuel_filter_heavy | 1 | |
wheel_loader | service_1000 | hydraulic_oil | 28 | |
wheel_loader | hydraulic_oil | hydraulic_oil | 110 | |
wheel_loader | hydraulic_oil | hydraulic_filter | 1 | |
wheel_loader | axle_oil | axle_oil_heavy | 34 | |
wheel_loader | air_filter | air_filter_heavy | 1 | |
wheel_loader | coolant | coolant_heavy | 26 | |
generator | oil_change | engine_oil_heavy | 14 | |
generator | oil_change | oil_filter_machine | 1 | |
generator | oil_change | sump_washer_heavy | 1 | | 0
generator | service_500 | fuel_filter_heavy | 1 | |
generator | service_500 | air_filter_heavy | 1 | 0.5 |
generator | coolant | coolant_heavy | 18 | |
trailer | wheel_bearings | bearing_kit | 1 | 0.3 |
trailer | lights_and_plugs | lamp | 1 | 0.4 |
* | first_aid_kit | first_aid_refill | 1 | 0.5 |
"""
ITEMS += "first_aid_refill | First-aid kit refill | set | safety | | | 18.50 | 4 | 0 | 7 |\n"


def item_rows() -> list[dict[str, str]]:
    """The stock list, with the day it was counted."""
    return [
        row | {
            "counted_on": COUNTED_ON, "lead_time_sd_days": LEAD_TIME_SD.get(row["item"], ""),
            "storage_limit": STORAGE_LIMITS.get(row["item"], ""),
        }
        for row in rows_of(ITEMS, ITEM_COLUMNS)
    ]


def pack_rows() -> list[dict[str, str]]:
    """What is on offer: the packs listed, and every other item one by one."""
    packs = rows_of(PACKS, PACK_COLUMNS)
    packed = {row["item"] for row in packs}
    blank = dict.fromkeys(PACK_COLUMNS, "")
    singly = [
        blank | {"item": row["item"], "pack": "single", "size": "1", "price": row["unit_cost"], "supplier": SINGLY}
        for row in rows_of(ITEMS, ITEM_COLUMNS)
        if row["item"] not in packed
    ]
    return packs + singly


PRICE_INDEX_COLUMNS = ("kind", "month", "index_value", "series")
# an invented index of tyre prices as a supplier's contract would give it, some months of it agreed ahead
TYRE_INDEX = (("2026-08", 131.4), ("2026-09", 131.9), ("2026-10", 132.6), ("2026-11", 133.0), ("2026-12", 133.0),
              ("2027-01", 137.5), ("2027-02", 137.5), ("2027-03", 137.5))


def price_index_rows() -> list[dict[str, str]]:
    """The rows of price_indexes.csv."""
    return [
        {"kind": "tyre", "month": f"{month}-01", "index_value": str(value), "series": "invented tyre index, 2020 = 100"}
        for month, value in TYRE_INDEX
    ]


def rows_of(text: str, columns: tuple[str, ...]) -> list[dict[str, str]]:
    """The lines of a `|` table as rows of text cells; a cell missing at the end is blank."""
    split = ([cell.strip() for cell in line.split("|")] for line in text.strip().splitlines())
    return [dict(zip(columns, cells + [""] * (len(columns) - len(cells)), strict=True)) for cells in split]
