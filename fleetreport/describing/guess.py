"""Which column of a strange file is which of a table's, and how its numbers, dates and units are written.

The values decide and the header helps: a column whose cells are no dates is never taken for a date, whatever stands
over it. What the values leave open (12.345, 03/04/2026) stays open unless another column of the file settles it.
Nothing here reads a file or words a sentence for people.
"""

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from datetime import date
from itertools import pairwise
from statistics import median
from typing import NamedTuple

from fleetreport.alike import looks_like
from fleetreport.describing.header_words import KILOMETRES, METRES, MILES, PER_ONE, THINGS, header_score, plain_words
from fleetreport.describing.profile import Profile, Way
from fleetreport.kinds import TEXT
from fleetreport.settings.formats import Format
from fleetreport.settings.sources import UNIT_COLUMN
from fleetreport.tables import BY_NAME

DATES = ("date", "in service", "retired", "due")
AMOUNTS = ("odometer", "hours", "labour hours", "labour cost", "parts cost", "cost", "quantity")
# No vehicle gains more than this in a day as a rule (km); a meter that does counts metres.
MOST_PER_DAY = 1500
# A share of cells that are not what their column is: slips of the hand, notes, totals.
SOME_WRONG = 0.5
FEW = 0.02
# The share of a column's cells that are vehicles of the fleet, under whatever header; of one that holds figures, which
# may be ids by chance, more.
MOST_KNOWN, NEARLY_ALL_KNOWN = 0.5, 0.9


class Guess(NamedTuple):
    """What the columns of a file are for one table: our column → the file's, and what is left open.

    `decimal` and `thousands` hold for the whole file; `forms` are columns that differ, with the ways they can be read
    where there is more than one. `dates` are the orders that fit: one is settled.
    """

    table: str
    columns: dict[str, Profile]
    time_column: Profile | None
    decimal: str
    thousands: tuple[str, ...]
    differing: dict[str, Way]
    open_numbers: dict[str, list[Way]]
    dates: tuple[str, ...]
    has_serials: bool
    unit: str
    unit_why: str


def guess(profiles: Sequence[Profile], table: str = "", vehicles: AbstractSet[str] = frozenset()) -> Guess:
    """The guess for a table; without one, for the table that the file looks like.

    `vehicles` are the ids of the fleet, as far as they are known: a column that holds them is the vehicle's.
    """
    own = _holds_vehicles(profiles, {looks_like(vehicle) for vehicle in vehicles})
    chosen = table or _likely_table(profiles, own)
    columns = _assigned(profiles, chosen, own)
    decimal, thousands, differing, open_numbers = _number_marks(columns, profiles)
    time_column = next((p for p in _left(profiles, columns) if header_score("time", p.name)
                        and p.times > SOME_WRONG * p.filled and p.date_share < SOME_WRONG), None)  # fmt: skip
    columns |= _under_our_names(_left(profiles, columns), chosen)
    orders, has_serials = _date_orders([p for name, p in columns.items() if _thing(chosen, name) in DATES])
    unit, why = _unit(columns, profiles, chosen, orders, decimal, thousands)
    return Guess(
        chosen, columns, time_column, decimal, thousands, differing, open_numbers, orders, has_serials, unit, why
    )


def _left(profiles: Sequence[Profile], columns: dict[str, Profile]) -> list[Profile]:
    """The columns that are not taken for anything."""
    return [profile for profile in profiles if all(profile is not taken for taken in columns.values())]


def _under_our_names(left: Sequence[Profile], table: str) -> dict[str, Profile]:
    """Columns of text or codes that stand under our own names; the meter's unit under any name, by its cells."""
    found: dict[str, Profile] = {}
    for column in BY_NAME[table].columns:
        if column.name in THINGS.get(table, {}):
            continue
        codes = set(column.kind.expected.split(" or "))
        for profile in left:
            cells = {value.casefold() for value in profile.values if value}
            is_named = plain_words(profile.name) == plain_words(column.name)
            fits = cells and (cells <= codes or (column.kind == TEXT and is_named))
            if fits and (is_named or column.name == UNIT_COLUMN.get(table)):
                found[column.name] = profile
    return found


def _thing(table: str, name: str) -> str:
    return THINGS.get(table, {}).get(name, name)


def _likely_table(profiles: Sequence[Profile], own: Profile | None) -> str:
    history = _assigned(profiles, "history", own)
    vehicles = _assigned(profiles, "vehicles", own)
    if "in_service_on" in vehicles and "class" in vehicles and "description" not in history:
        return "vehicles"
    words = {"description", "parts_cost", "labour_cost", "labour_hours", "task", "invoice"}
    return (
        "history" if (words & set(history) and "quantity" not in history) or "odometer" not in history else "readings"
    )


def _holds_vehicles(profiles: Sequence[Profile], known: AbstractSet[str]) -> Profile | None:
    """The column in which vehicles of the fleet stand: of several the one with most, then the one named for it.

    Case, blanks and letters that look alike make no difference here; the run says that they do to it.
    """
    best: tuple[float, int] = (0.0, 0)
    found = None
    for profile in profiles:
        cells = [value for value in profile.values if value]
        alike = {value for value in set(cells) if looks_like(value) in known}
        share = sum(value in alike for value in cells) / len(cells) if cells else 0
        named = header_score("vehicle", profile.name)
        may_be_chance = not named and profile.number_share > SOME_WRONG
        if share >= (NEARLY_ALL_KNOWN if may_be_chance else MOST_KNOWN) and (share, named) > best:
            best, found = (share, named), profile
    return found


def _assigned(profiles: Sequence[Profile], table: str, own: Profile | None) -> dict[str, Profile]:
    """Our columns with the file's, the surest pairs first; then those that only the values can tell.

    `own` is the column that holds vehicles of the fleet, where one is known to.
    """
    things = THINGS.get(table) or {}
    found: dict[str, Profile] = {"vehicle_id": own} if own and "vehicle_id" in things else {}
    pairs = []
    for profile in profiles:
        for turn, (ours, thing) in enumerate(things.items()):
            named = header_score(thing, profile.name) + 20 * (plain_words(ours) == plain_words(profile.name))
            if named and _can_be(thing, profile):
                pairs.append((named, -turn, ours, profile))
    for _, _, ours, profile in sorted(pairs, key=lambda pair: pair[:2], reverse=True):
        if ours not in found and all(profile is not other for other in found.values()):
            found[ours] = profile
    left = _left(profiles, found)
    for ours, thing in things.items():
        if ours in found:
            continue
        told = None
        if thing == "date":
            told = max(
                (p for p in left if p.date_share > 0.8 and not _is_digits(p)), key=lambda p: p.date_share, default=None
            )
        elif thing == "odometer" and table != "vehicles":
            told = next((p for p in left if _is_meter(p)), None)
        elif thing == "vehicle":
            told = next((p for p in left if _names_few(p)), None)
        if told:
            found[ours] = told
            left = [profile for profile in left if profile is not told]
    return {ours: found[ours] for ours in things if ours in found}


def _can_be(thing: str, profile: Profile) -> bool:
    """Whether the values of a column can be this thing."""
    if not profile.filled:
        return False
    if thing in DATES:
        return profile.date_share >= SOME_WRONG or profile.serials >= SOME_WRONG * profile.filled
    if thing in AMOUNTS:
        is_date = profile.date_share > SOME_WRONG and not _is_digits(profile)
        is_rate = bool(PER_ONE.search(plain_words(profile.name))) or "%" in profile.name
        return profile.number_share >= SOME_WRONG and not is_date and not is_rate
    if thing in ("description", "note"):
        return profile.number_share < SOME_WRONG and profile.date_share < SOME_WRONG
    return thing in ("vehicle", "invoice", "item") or profile.date_share < SOME_WRONG


def _names_few(profile: Profile) -> bool:
    """Whether a column without a telling header holds short names with figures in them, each of them often."""
    is_value = profile.number_share > SOME_WRONG or profile.date_share > SOME_WRONG
    short = all(len(text) <= 20 and any(c.isdigit() for c in text) for text in profile.samples)
    return profile.name.startswith("column ") and not is_value and short and profile.distinct * 3 <= profile.filled


def _is_digits(profile: Profile) -> bool:
    """Whether most cells are nothing but figures, so that a date in them is only one way of reading them."""
    return sum(value.isdigit() for value in profile.values) > SOME_WRONG * profile.filled


def _is_meter(profile: Profile) -> bool:
    """Whether the figures go up (or, the newest first, down) nearly all the way and are large, under no other name."""
    way = profile.numbers[0] if profile.numbers and profile.number_share > 0.8 else None
    says_other = any(header_score(thing, profile.name) for thing in AMOUNTS if thing != "odometer")
    if not way or way.form.currency or says_other or PER_ONE.search(plain_words(profile.name)):
        return False
    values = [value for value in (_number(text, way.form) for text in profile.values) if value is not None]
    pairs = list(pairwise(values))
    if len(pairs) < 4 or median(values) < 1000:
        return False
    return max(sum(a <= b for a, b in pairs), sum(a >= b for a, b in pairs)) > 0.9 * len(pairs) and len(set(values)) > 4


def _number(text: str, form: Format) -> float | None:
    bare = "".join(c for c in text if c.isdigit() or c == (form.decimal or "."))
    try:
        return float(bare.replace(form.decimal or ".", "."))
    except ValueError:
        return None


def _number_marks(
    columns: dict[str, Profile], profiles: Sequence[Profile]
) -> tuple[str, tuple[str, ...], dict[str, Way], dict[str, list[Way]]]:
    """The marks of the whole file, the columns that differ from them, and those that stay open.

    A column settles the marks if all its best ways mean the same figures and it has any mark at all.
    """
    numeric = [
        p for p in profiles if p.numbers and p.number_share > 0.8 and (p.date_share < SOME_WRONG or _is_digits(p))
    ]
    settled = [p for p in numeric if len({way.means for way in p.numbers}) == 1]
    forms = [p.numbers[0].form for p in settled]
    # Figures with a point that nothing can take for thousands are read without any declaration.
    votes = [form.decimal or "." for p, form in zip(settled, forms, strict=True)
             if form.decimal or form.thousands or any("." in text for text in p.values)]  # fmt: skip
    decimal = max(sorted(set(votes)), key=votes.count, default="")
    thousands = tuple(sorted({mark for form in forms if form.decimal == decimal for mark in form.thousands}))
    differing: dict[str, Way] = {}
    open_numbers: dict[str, list[Way]] = {}
    for name, profile in columns.items():
        ways = profile.numbers if profile in numeric else []
        fitting = [way for way in ways if way.form.decimal in ("", decimal)] if decimal else ways
        if not ways:
            continue
        if len({way.means for way in ways}) > 1 and not (decimal and len({way.means for way in fitting}) == 1):
            open_numbers[name] = _one_each(ways)
        elif not fitting:
            differing[name] = ways[0]
        else:
            thousands = tuple(sorted({*thousands, *fitting[0].form.thousands}))
    if not decimal and thousands:
        decimal = "."
    return decimal, thousands, differing, open_numbers


def _one_each(ways: Sequence[Way]) -> list[Way]:
    """Of ways that mean the same the plainest."""
    told: dict[str, Way] = {}
    for way in ways:
        told.setdefault(way.means, way)
    return list(told.values())


def _date_orders(profiles: Sequence[Profile]) -> tuple[tuple[str, ...], bool]:
    """The orders of day, month and year that fit best in all date columns, and whether day numbers stand among them.

    None: dates are in ISO form. Several: they are open.
    """
    serials = any(p.serials and (p.date_share < 1) for p in profiles)
    orders: list[str] = []
    for profile in profiles:
        ways = [way for way in profile.dates if way.fits]
        if not ways or not any(way.form.dates for way in ways) or any(not way.form.dates for way in ways):
            continue
        told = _one_each(ways)
        found = [way.form.dates[0] for way in told]
        shortest = min(told, key=lambda way: way.span)
        if _is_digits(profile) and all(way is shortest or way.span > 3 * shortest.span for way in told):
            # 250103 and its like: read in another order a year's rows are spread over thirty.
            found = [shortest.form.dates[0]]
        minority = min(profile.day_first, profile.month_first)
        if minority > FEW * profile.filled:
            found = ["dmy", "mdy"]
        orders = [order for order in found if order in orders] or found if orders else found
    return tuple(orders), serials


def _unit(
    columns: dict[str, Profile],
    profiles: Sequence[Profile],
    table: str,
    orders: tuple[str, ...],
    decimal: str,
    thousands: tuple[str, ...],
) -> tuple[str, str]:
    """The unit of the odometer in all rows and why; empty where nothing says it, or each row says its own.

    Fuel by the litre or gallon says nothing of it: there are countries that sell litres and drive miles, and others
    that sell gallons and drive kilometres.
    """
    meter = next((p for name, p in columns.items() if _thing(table, name) == "odometer"), None)
    if meter is None or table not in UNIT_COLUMN or UNIT_COLUMN[table] in columns:
        return "", ""
    if meter.unit in ("km", "mi", "m"):
        return meter.unit, f'"{meter.unit}" stands in its cells'
    for own in (meter.name, *(p.name for p in profiles)):
        for unit, words in (("m", METRES), ("mi", MILES), ("km", KILOMETRES)):
            if words.search(own.replace("_", " ").casefold()) and (own == meter.name or unit != "m"):
                return unit, f'the header says "{own}"'
    gain = _gain_per_day(meter, columns, table, orders, Format(decimal, thousands))
    if gain and gain > MOST_PER_DAY:
        return "m", f"it gains {gain:,.0f} a day, which no vehicle does in km"
    return "", ""


def _gain_per_day(
    meter: Profile, columns: dict[str, Profile], table: str, orders: tuple[str, ...], form: Format
) -> float | None:
    """The middle one of the meter's gains a day, of one vehicle at a time and only where dates are in ISO form."""
    days = next((p for name, p in columns.items() if _thing(table, name) == "date"), None)
    if days is None or orders:
        return None
    who = columns["vehicle_id"].values if "vehicle_id" in columns else [""] * len(meter.values)
    seen = []
    for vehicle, day, text in zip(who, days.values, meter.values, strict=True):
        value = _number(text, form)
        try:
            seen.append((vehicle, date.fromisoformat(day[:10]), value))
        except ValueError:
            continue
    told = sorted((v, d, x) for v, d, x in seen if x is not None)
    gains = [(b[2] - a[2]) / (b[1] - a[1]).days for a, b in pairwise(told)
             if a[0] == b[0] and b[1] > a[1] and b[2] > a[2]]  # fmt: skip
    return median(gains) if len(gains) > 4 else None
