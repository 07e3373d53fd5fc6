"""In which rounds the tables of a week are made where the vehicles are split into shards. Pure.

What is `per_vehicle` is made on each shard by itself, all else by the one process that leads the run, from what the
shards left. A vehicle's table may need one of the fleet (what its class drives a day), and that one the vehicles'
tables again: each such turn begins a round.
"""

from collections.abc import Collection, Sequence
from typing import NamedTuple

from fleetreport.query import Query, Step
from fleetreport.tables import TABLES

Made = Query | Step
# The input tables whose rows are a vehicle's; the others are whole in every shard.
OF_VEHICLES = frozenset(table.name for table in TABLES if any(column.name == "vehicle_id" for column in table.columns))
# The folders of queries/ whose tables the reports show.
SHOWN = ("money", "record", "pages")


class Round(NamedTuple):
    """What each shard makes, what it leaves of that for others, and what is made of it for the whole fleet then.

    The first round of all has nothing on the shards.
    """

    on_shards: Sequence[Made]
    left: frozenset[str]
    in_all: Sequence[Made]


def rounds_of(made: Sequence[Made], shown: Collection[str], others: Collection[str] = ()) -> list[Round]:
    """The rounds of a week; `made` is in order.

    `shown` are tables that the reports read besides those of the folders in SHOWN. `others` are tables that were per
    vehicle, but stand here in another's making (a fleet's own query): what reads them is made for the whole fleet too.
    """
    on_shards = _on_shards(made, others)
    number = _numbers(made, on_shards)
    read_later = {
        name
        for one in made
        for name in one.reads
        if name in on_shards and (one.table not in on_shards or number[one.table] > number[name])
    }
    wanted = read_later | set(shown) | {one.table for one in made if isinstance(one, Query) and one.folder in SHOWN}
    rounds = []
    for at in range(-1, max(number.values(), default=-1) + 1):
        now = [one for one in made if number[one.table] == at]
        shards = [one for one in now if one.table in on_shards]
        left = frozenset(one.table for one in shards) & wanted
        rounds.append(Round(shards, left, [one for one in now if one.table not in on_shards]))
    return rounds


def _on_shards(made: Sequence[Made], others: Collection[str]) -> frozenset[str]:
    found: set[str] = set()
    whole = set(others)
    for one in made:
        if one.per_vehicle and not whole & set(one.reads):
            found.add(one.table)
        elif one.per_vehicle:
            whole.add(one.table)
    return frozenset(found)


def _numbers(made: Sequence[Made], on_shards: Collection[str]) -> dict[str, int]:
    """The round in which each table is made, as early as can be; -1 before the first shard is looked at."""
    number: dict[str, int] = {}
    for one in made:
        is_on_shards = one.table in on_shards
        after = [number[name] + (is_on_shards and name not in on_shards) for name in one.reads if name in number]
        number[one.table] = max([0 if is_on_shards else -1, *after])
    return number


def handed_out(now: Round, on_shards: Collection[str]) -> list[str]:
    """The tables of the whole fleet that a round's shards read, those of the input left out."""
    made = {one.table for one in now.on_shards}
    inputs = {table.name for table in TABLES}
    return sorted({name for one in now.on_shards for name in one.reads} - made - inputs - set(on_shards))
