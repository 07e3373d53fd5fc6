"""The order of a run, as tables: what each product lists, and which packs to buy (`packs.py` and `specification.py`).

`purchases` holds four plans. `order` is what to buy: the cheapest whole packs. `one_size` covers each item with the
cheapest single pack size, the habit that the order is compared with (no row of an item that none covers). `listed`
takes only products that list all the item needs (or that the maker confirmed), for the items where the order does
not. `instead` is what may be bought without asking where the order would buy a product that lists another
designation: of products that list everything, else of those that list nothing to the contrary. The last two do not
look at suppliers' least orders.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

import duckdb

from fleetreport.items.offers import Bought, Offer, Purchase, Wanted
from fleetreport.items.packs import cheapest_packs, one_pack_size
from fleetreport.items.specification import DIFFERENT, LISTED, compare, worst_verdict
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
    every_item, some_items = db.execute("select only_listed, only_listed_for from run").fetchall()[0]
    offered: dict[str, list[tuple[Offer, str]]] = defaultdict(list)
    rooms: dict[str, Decimal | None] = {}
    for item, supplier, pack, size, price, min_count, available, keeps, room, needs, meets, confirmed in db.execute(
        """select item, supplier, pack, size, price, min_count, available, keeps, room, needs, meets, confirmed
        from offers order by all"""
    ).fetchall():
        offer = Offer(supplier, pack, size, price, min_count, available, keeps)
        offered[item].append((offer, LISTED if confirmed else worst_verdict(needs, meets)))
        rooms[item] = room
    least = dict(db.execute("select supplier, min_order from suppliers where min_order > 0 order by all").fetchall())
    wanted = []
    listed: dict[str, tuple[Offer, ...]] = {}
    unopposed: dict[str, tuple[Offer, ...]] = {}
    for item, amount in db.execute(
        "select item, to_order from items_needed where to_order > 0 order by item"
    ).fetchall():
        listed[item] = tuple(offer for offer, worst in offered[item] if worst == LISTED)
        unopposed[item] = tuple(offer for offer, worst in offered[item] if worst != DIFFERENT)
        strict = every_item or item in some_items
        every = listed[item] if strict else tuple(offer for offer, _ in offered[item])
        wanted.append(Wanted(item, amount, every, rooms.get(item)))
    order = cheapest_packs(wanted, least)
    others = {"listed": _bought_of(wanted, order, listed), "instead": _bought_of(wanted, order, unopposed)}
    _prefer_listed(others)
    _fill(db, wanted, order, others)


def _bought_of(wanted: Iterable[Wanted], order: Purchase, offers: Mapping[str, tuple[Offer, ...]]) -> Purchase:
    """The cheapest packs of these offers, for the items where the order buys another."""
    others = {one.item for one in order.bought if one.offer not in offers[one.item]}
    return cheapest_packs(one._replace(offers=offers[one.item]) for one in wanted if one.item in others)


def _prefer_listed(others: dict[str, Purchase]) -> None:
    """Instead of a product that lists another designation: one that lists everything, wherever such cover the need."""
    listed, instead = others["listed"], others["instead"]
    held = {one.item for one in instead.bought} | set(instead.short)
    covered = {one.item for one in listed.bought if one.item in held and one.item not in listed.short}
    kept = [one for one in instead.bought if one.item not in covered]
    others["instead"] = instead._replace(bought=[*kept, *(one for one in listed.bought if one.item in covered)])


def _fill(
    db: duckdb.DuckDBPyConnection, wanted: Sequence[Wanted], order: Purchase, others: Mapping[str, Purchase]
) -> None:
    rows: list[list[Any]] = []
    for one in wanted:
        mine = _of(one.item, order)
        several = len({offer[:2] for offer in one.offers}) > 1
        single = one_pack_size(one) if several else None
        one_size = single.bought if single else [] if several else mine
        plans = {"order": mine, "one_size": one_size}
        plans |= {plan: _of(one.item, purchase) for plan, purchase in others.items()}
        for plan, bought in plans.items():
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
