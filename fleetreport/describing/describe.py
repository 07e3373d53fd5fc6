"""Say what a strange file is, as comments and a `[[source]]` section ready to paste into fleet.toml.

`look` finds the file's shape, `profile` what fits its cells, `guess` which column is which; this words it. What could
not be decided stands as commented lines with each choice, and until one is chosen the cells in question are set aside.
Nothing here prints or writes.
"""

import re
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from pathlib import Path

from fleetreport.alike import did_you_mean, looks_like
from fleetreport.characters import DECEIVES, code_of, stopping, toml_text
from fleetreport.describing.guess import DATES, Guess, guess
from fleetreport.describing.header_words import THINGS
from fleetreport.describing.known_vehicles import folder_of, vehicles_of
from fleetreport.describing.look import Look, look_at
from fleetreport.describing.profile import Profile, profile_columns
from fleetreport.problem import CannotReadOrWrite, WrongCall
from fleetreport.settings.formats import ORDERS, Format
from fleetreport.settings.sources import UNIT_COLUMN
from fleetreport.tables import BY_NAME

# So many dates on each side are no chance (0.39 to the 10th is 0.0001).
SURE = 10
# As a text in TOML writes it; in a comment too, which a line break of a file's name would end. A tab does neither.
_written = stopping(DECEIVES, code_of, but="\t")
TOTALS = "total|sum|summe|gesamt|zwischensumme|subtotal|somme|suma|totale|totaal|razem|summa"


def describe(path: Path, table: str = "", sheet: str = "", fleet: Path | None = None) -> str:
    """What a file is, as text for fleet.toml.

    `fleet` is the folder of the fleet, by whose vehicles their column is known (None: the one above the file).
    Raises WrongCall for a table that there is not, CannotReadOrWrite where the file cannot be read.
    """
    if table and table not in BY_NAME:
        raise WrongCall(f"--table: found {table}, expected one of {', '.join(BY_NAME)}{did_you_mean(table, BY_NAME)}")
    look = look_at(path, sheet)
    if not look.rows:
        raise CannotReadOrWrite(f"{path}: found no rows, expected a table")
    profiles = profile_columns(look.names, look.rows)
    folder = fleet or folder_of(path)
    vehicles = vehicles_of(folder) if folder else frozenset()
    found = guess(profiles, table, vehicles)
    lines = [
        *_about_file(path, look),
        *_about_columns(found, profiles, vehicles),
        *_section(path, folder, look, found, profiles, vehicles),
    ]
    return "".join(f"{_written(line)}\n" for line in lines)


def _about_file(path: Path, look: Look) -> Iterator[str]:
    shape = [look.kind]
    if look.kind == "text":
        shape += [look.encoding or "UTF-8", f"cells parted by {_shown_mark(look, path)}"]
    if look.sheets:
        shape.append("sheet " + ", ".join(look.sheets))
    shape.append("no header" if not look.header_line and look.kind in ("text", "workbook") else
                 f"header in line {look.header_line}" if look.header_line else "columns named")  # fmt: skip
    rows = f"{len(look.rows)} rows" + (" looked at, more follow" if look.is_cut else "")
    yield f"# {path.name}: {', '.join(shape)}, {rows}"
    if look.other_sheets:
        yield f"# Sheets not taken: {', '.join(look.other_sheets)} (describe one with --sheet)"
    if look.ragged:
        yield f"# {look.ragged} rows have more or fewer cells than the header."
    if look.unreadable:
        yield f"# {look.unreadable} rows cannot be read and will be set aside."
    yield "#"


def _shown_mark(look: Look, path: Path) -> str:
    mark = look.delimiter or ("\t" if path.name.lower().removesuffix(".gz").endswith((".tsv", ".tab")) else ",")
    return "tabs" if mark == "\t" else f'"{mark}"'


def _about_columns(found: Guess, profiles: Sequence[Profile], vehicles: AbstractSet[str]) -> Iterator[str]:
    """One line for each of the file's columns: what it is taken for and why."""
    ours = {id(profile): name for name, profile in found.columns.items()}
    yield f"# Taken for {found.table} (another table: --table):"
    width = max((len(profile.name) for profile in profiles), default=0)
    for profile in profiles:
        name = ours.get(id(profile), "")
        if profile is found.time_column:
            name = "time of day"
        yield f"#   {profile.name:<{width}}  {name or '-':<14} {_why(profile, name, found, vehicles)}".rstrip()
    yield "#"


def _why(profile: Profile, name: str, found: Guess, vehicles: AbstractSet[str]) -> str:
    if not profile.filled:
        return "all cells blank"
    thing = THINGS.get(found.table, {}).get(name, "")
    samples = " | ".join(sample if len(sample) <= 24 else sample[:23] + "…" for sample in profile.samples)
    samples = samples.replace("\n", " ").replace("\r", " ")
    filled = f"{profile.filled} filled" + (
        f", {profile.distinct} different" if profile.distinct < profile.filled else ""
    )
    if name == "vehicle_id" and vehicles and found.table != "vehicles":
        filled += f", {sum(value in vehicles for value in profile.values)} of {profile.filled} stand in vehicles"
    if thing in DATES:
        fits = max((way.fits for way in profile.dates), default=0) + (profile.serials if found.has_serials else 0)
        filled = f"{min(fits, profile.filled)} of {profile.filled} are dates"
    elif profile.numbers and profile.number_share > 0.5 and name != "vehicle_id":
        filled = f"{profile.numbers[0].fits} of {profile.filled} are numbers"
    return f"{filled}: {samples}"


def _section(
    path: Path,
    folder: Path | None,
    look: Look,
    found: Guess,
    profiles: Sequence[Profile],
    vehicles: AbstractSet[str],
) -> Iterator[str]:
    yield "[[source]]"
    if folder and folder.resolve() not in path.resolve().parents:
        yield "# This file stands outside the fleet folder: copy it there, or nothing is read."
    yield f"files = {toml_text(_files(path, folder))}"
    yield f"table = {toml_text(found.table)}"
    if look.encoding:
        yield f"encoding = {toml_text(look.encoding)}" + _example_of(look, profiles)
        yield from (f"# encoding = {toml_text(other)}" for other in look.other_encodings)
    if look.delimiter:
        yield f"delimiter = {toml_text('tab' if look.delimiter == chr(9) else look.delimiter)}"
    if look.sheets and (look.other_sheets or len(look.sheets) > 1):
        yield f"sheet = {_listed(look.sheets)}"
    if look.kind in ("text", "workbook") and look.header_line != look.first_line:
        yield f"header_row = {look.header_line}"
    if look.ragged and look.ragged > 0.01 * len(look.rows):
        yield "# Short rows are filled up, surplus cells go to the last column; one that then has a fault is set aside."
        yield "ragged = true"
    yield from _numbers(found)
    yield from _dates(found)
    yield from _units(found)
    yield from _columns(path, found, vehicles)
    yield from _suggested(found, profiles)


def _files(path: Path, folder: Path | None) -> str:
    """The file's place in its fleet folder, if it stands in one; else its name."""
    if folder and folder.absolute() in path.absolute().parents:
        return path.absolute().relative_to(folder.absolute()).as_posix()
    return path.name


def _listed(values: Sequence[str]) -> str:
    return toml_text(values[0]) if len(values) == 1 else f"[{', '.join(map(toml_text, values))}]"


def _example_of(look: Look, profiles: Sequence[Profile]) -> str:
    words = [word for text in (*look.names, *(v for p in profiles for v in p.values)) for word in text.split()
             if any(ord(c) > 127 for c in word)]  # fmt: skip
    return f"  # reads as {', '.join(dict.fromkeys(words[:40][:4]))}; if that is wrong, one of these:" if words else ""


def _marks(form: Format) -> str:
    parts = [f"decimal = {toml_text(form.decimal)}"] if form.decimal else []
    return "; ".join([*parts, f"thousands = {_listed(form.thousands)}"] if form.thousands else parts)


def _numbers(found: Guess) -> Iterator[str]:
    if found.decimal and (found.decimal != "." or found.thousands or found.open_numbers):
        yield f"decimal = {toml_text(found.decimal)}"
    if found.thousands:
        yield f"thousands = {_listed(found.thousands)}"
    money = sorted({mark for name, p in found.columns.items() if "cost" in name for mark in p.currency})
    if money:
        yield f"currency = {_listed(money)}"
    for name, ways in found.open_numbers.items():
        profile = found.columns[name]
        sample = next((text for text in profile.samples if "." in text or "," in text), profile.samples[0])
        yield f"# UNDECIDED: {toml_text(profile.name)} has figures such as {sample}. Until a choice is made"
        yield "# (take its # away) such cells are set aside:"
        for way in ways:
            meant = sample.replace(".", "").replace(",", "") if way.form.thousands else sample.replace(",", ".")
            *before, last = (_marks(way.form) or 'decimal = "."').split("; ")
            yield from (f"# {line}" for line in before)
            yield f"# {last}  # {sample} is {meant}"


def _dates(found: Guess) -> Iterator[str]:
    days = [p for name, p in found.columns.items() if THINGS.get(found.table, {}).get(name) in DATES]
    others = ["serial"] if found.has_serials else []
    swapped = [p for p in days if p.iso == p.small_iso and p.iso >= SURE and p.day_first >= SURE]
    if swapped and found.dates == ("dmy",):
        yield f"# TAKE CARE: in {toml_text(swapped[0].name)} all {swapped[0].iso} real dates have a day up to 12,"
        yield "# and the others do not: a spreadsheet has swapped day and month of the real ones. They are swapped"
        yield '# back here. If that is wrong, take "swapped" away; better still, export the file again.'
        others.append("swapped")
    if len(found.dates) > 1:
        clash = any(min(p.day_first, p.month_first) for p in days)
        why = "some fit only one order, some only the other" if clash else "they fit each of these orders"
        sample = days[0].samples[0] if days else ""
        yield f"# UNDECIDED: dates such as {sample}; {why}. Until a choice is made (take its # away)"
        yield "# such rows are set aside:"
        for order in found.dates:
            way = next((way for p in days for way in p.dates if way.form.dates == (order,)), None)
            ordered = f"; {way.in_order:.0%} of the rows are then in order of time" if way else ""
            yield f"# dates = {_listed([order, *others])}  # {ORDERS.get(order, order)}{ordered}"
    elif found.dates or others:
        few = sum(min(p.day_first, p.month_first) for p in days)
        note = f"  # {few} dates fit only another order and will be set aside" if few else ""
        yield f"dates = {_listed([*found.dates, *others])}{note}"
    has_offset = any(re.search(r"(Z|[+-]\d\d:?\d\d)$", text) for day in days for text in day.samples)
    if any(day.times for day in days) and not has_offset:
        yield '# time_zone = "Europe/Berlin"  # if its times are not those of the fleet\'s time zone'


def _units(found: Guess) -> Iterator[str]:
    has_meter = any(name in found.columns for name in ("reading", "odometer", "in_service_odometer"))
    if found.unit:
        yield f"unit = {toml_text(found.unit)}  # {found.unit_why}"
    elif has_meter and found.table in UNIT_COLUMN and UNIT_COLUMN[found.table] not in found.columns:
        yield "# UNDECIDED: nothing says the odometer's unit. Until a choice is made it is the"
        yield "# distance_unit of vehicles.csv:"
        yield from (f'# unit = "{unit}"' for unit in ("km", "mi"))


def _columns(path: Path, found: Guess, vehicles: AbstractSet[str]) -> Iterator[str]:
    yield ""
    yield "[source.columns]"
    for name, profile in found.columns.items():
        headers = [profile.name]
        if found.time_column and name in ("read_at", "done_on"):
            headers.append(found.time_column.name)
        differs = found.differing.get(name)
        unit = profile.unit if profile.unit not in ("", "km", "mi", "m", "h") and name in ("quantity",) else ""
        extra = _marks(differs.form).replace("; ", ", ") if differs else ""
        extra = ", ".join(part for part in (extra, f"unit = {toml_text(unit)}" if unit else "") if part)
        yield f"{name} = {{ header = {_listed(headers)}, {extra} }}" if extra else f"{name} = {_listed(headers)}"
    table = BY_NAME[found.table]
    missing = [c.name for c in table.columns if c.needed and c.default is None and c.name not in found.columns]
    if missing:
        yield ""
        yield "[source.constants]"
        for name in missing:
            yield from _constant(name, path.name.split(".")[0], vehicles)


def _constant(name: str, stem: str, vehicles: AbstractSet[str]) -> Iterator[str]:
    """What could hold for all rows of a file that lacks a column they must have: in force only where it is known."""
    if name == "vehicle_id" and stem in vehicles:
        yield f"vehicle_id = {toml_text(stem)}  # no column names the vehicle; the file is called like one of the fleet"
        return
    said = "names the vehicle" if name == "vehicle_id" else f"was found for {name}"
    meant = "its id of vehicles.csv" if name == "vehicle_id" else "what holds for all rows"
    yield f"# UNDECIDED: no column {said}. Name one under [source.columns], or put"
    yield f"# {meant} here and take the # away. Until then no run starts:"
    near = next((one for one in sorted(vehicles) if looks_like(one) == looks_like(stem)), stem)
    yield f"# {name} = {toml_text(near if name == 'vehicle_id' else '?')}"


def _suggested(found: Guess, profiles: Sequence[Profile]) -> Iterator[str]:
    """Rows that look like totals, which a person may want to leave out."""
    for profile in profiles:
        totals = [value for value in profile.values if value.casefold().split(" ")[0].rstrip(":") in TOTALS.split("|")]
        if totals and len(totals) < 0.2 * profile.filled:
            yield ""
            yield f"# {len(totals)} rows look like totals, such as {toml_text(totals[0])}. To leave them out:"
            yield "# [source.leave_out]"
            yield f"# {toml_text(profile.name)} = {toml_text(f'/(?i)^({TOTALS})' + chr(92) + 'b/')}"
            return
