"""The order of a run, as tables: what each product lists, and which packs to buy (`packs.py` and `specification.py`).

`purchases` holds three plans. `order` is what to buy: the cheapest whole packs. `one_size` covers each item with the
cheapest single pack size, the habit that the order is compared with (no row of an item that none covers). `listed`
takes only products that list all the item needs, for the items where the order does not; it does not look at
suppliers' least orders.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Any

import duckdb

from fleetreport.items.offers import Bought, Offer, Purchase, Wanted
from fleetreport.items.packs import cheapest_packs, one_pack_size
from fleetreport.items.specification import compare, lists_all
from fleetreport.query import Step, fill_table

VERDICTS = {
    "item": "varchar", "supplier": "varchar", "min_count": "integer", "pack": "varchar", "turn": "integer",
    "token": "varchar", "verdict": "varchar", "beside": "varchar", "is_cautioned": "boolean",
}  # fmt: skip
SWAPPED_VERDICTS = {
    "item": "varchar", "instead_of": "varchar", "token": "varchar", "verdict": "varchar", "beside": "varchar",
    "is_cautioned": "boolean",
}  # fmt: skip
PURCHASES = {
    "plan": "varchar", "item": "varchar", "supplier": "varchar", "min_count": "integer", "pack": "varchar",
    "count": "bigint", "is_unproven": "boolean",
}  # fmt: skip


def _verdicts(db: duckdb.DuckDBPyConnection) -> None:
    """Make the table `specifications`: an offer and a token that its item needs, and what the product says to it."""
    made: list[list[Any]] = []
    for *key, needs, meets in db.execute(
        "select item, supplier, min_count, pack, needs, meets from offers order by all"
    ).fetchall():
        for turn, one in enumerate(compare(needs, meets), 1):
            made.append([*key, turn, one.token, one.verdict, "; ".join(one.beside) or None, one.caution])
    fill_table(db, "specifications", VERDICTS, made)


def _swapped(db: duckdb.DuckDBPyConnection) -> None:
    """Make the table `swapped_specifications`: a vehicle's own item, the class's, and a token that the latter needs."""
    made: list[list[Any]] = []
    for item, instead_of, own, classes in db.execute(
        """select distinct p.item, p.instead_of, i.needs, c.needs from item_plan p
        join items i on i.item = p.item join items c on c.item = p.instead_of
        where p.item <> p.instead_of order by all"""
    ).fetchall():
        for one in compare(classes, own):
            made.append([item, instead_of, one.token, one.verdict, "; ".join(one.beside) or None, one.caution])
    fill_table(db, "swapped_specifications", SWAPPED_VERDICTS, made)


def _plans(db: duckdb.DuckDBPyConnection) -> None:
    """Make the table `purchases`: a plan, an offer and how many packs of it the plan buys."""
    only_listed = bool(db.execute("select only_listed from run").fetchall()[0][0])
    offered: dict[str, list[tuple[Offer, bool]]] = defaultdict(list)
    rooms: dict[str, Decimal | None] = {}
    for item, supplier, pack, size, price, min_count, available, keeps, room, needs, meets in db.execute(
        """select item, supplier, pack, size, price, min_count, available, keeps, room, needs, meets
        from offers order by all"""
    ).fetchall():
        offered[item].append((Offer(supplier, pack, size, price, min_count, available, keeps), lists_all(needs, meets)))
        rooms[item] = room
    least = dict(db.execute("select supplier, min_order from suppliers where min_order > 0 order by all").fetchall())
    wanted, listed = [], {}
    for item, amount in db.execute(
        "select item, to_order from items_needed where to_order > 0 order by item"
    ).fetchall():
        of_listed = tuple(offer for offer, lists in offered[item] if lists)
        every = of_listed if only_listed else tuple(offer for offer, _ in offered[item])
        wanted.append(Wanted(item, amount, every, rooms.get(item)))
        listed[item] = of_listed
    order = cheapest_packs(wanted, least)
    _fill(db, wanted, order, _listed_instead(wanted, order, listed))


def _listed_instead(wanted: Iterable[Wanted], order: Purchase, listed: dict[str, tuple[Offer, ...]]) -> Purchase:
    """The cheapest packs of products that list everything, for the items where the order buys another."""
    others = {one.item for one in order.bought if one.offer not in listed[one.item]}
    return cheapest_packs(one._replace(offers=listed[one.item]) for one in wanted if one.item in others)


def _fill(db: duckdb.DuckDBPyConnection, wanted: Sequence[Wanted], order: Purchase, listed: Purchase) -> None:
    rows: list[list[Any]] = []
    for one in wanted:
        mine, instead = _of(one.item, order), _of(one.item, listed)
        single = one_pack_size(one) if len({offer[:2] for offer in one.offers}) > 1 else None
        for plan, bought in (("order", mine), ("one_size", single.bought if single else mine), ("listed", instead)):
            for b in bought:
                offer = b.offer
                unproven = one.item in order.unproven
                rows.append([plan, b.item, offer.supplier, offer.min_count, offer.pack, b.packs, unproven])
    fill_table(db, "purchases", PURCHASES, rows)


def _of(item: str, purchase: Purchase) -> list[Bought]:
    return [one for one in purchase.bought if one.item == item]


SPECIFICATIONS = Step("specifications", ("offers",), _verdicts)
SWAPPED = Step("swapped_specifications", ("item_plan", "items"), _swapped)
PURCHASED = Step("purchases", ("offers", "items_needed", "suppliers", "run"), _plans)
