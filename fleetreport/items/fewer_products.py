"""The fewest products that between them list what every fluid needs: exact, as a set cover.

`fewest` knows only who lists what and what a year would cost; that a product lists all the tokens of an item
does not say that it suits a machine, so the answer is a question to the makers, never a decision. Of equally
small sets the cheapest a year is taken, then the one whose products come first by supplier and name.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any, NamedTuple

import duckdb

from fleetreport.items.specification import compare
from fleetreport.items.whole_numbers import Row, best_whole_numbers
from fleetreport.query import Step, fill_table

Product = tuple[str, str]  # supplier, name


class Move(NamedTuple):
    """An item, the product that is cheapest for it alone, and the one it would take in the smallest set."""

    item: str
    alone: Product
    cost_alone: Decimal
    together: Product
    cost_together: Decimal


def fewest(costs: Mapping[str, Mapping[Product, Decimal]]) -> list[Move]:
    """The smallest set, as one `Move` an item; `costs` is money a year by item and product that lists all it needs.

    Items without a product are left out. Raises ArithmeticError where numbers are too far apart to be solved exactly.
    """
    items = sorted(item for item, by_product in costs.items() if by_product)
    products = sorted({product for item in items for product in costs[item]})
    pairs = [(item, product) for item in items for product in sorted(costs[item])]
    if not items:
        return []
    number = {pair: len(products) + at for at, pair in enumerate(pairs)}
    chosen = {product: at for at, product in enumerate(products)}
    rows = [Row({number[item, product]: 1 for product in costs[item]}, 1, 1) for item in items]
    rows += [Row({chosen[product]: 1, number[item, product]: -1}, 0, None) for item, product in pairs]
    cents = {number[item, product]: round(costs[item][product] * 100) for item, product in pairs}
    aims = [dict.fromkeys(chosen.values(), 1), cents, {at: at + 1 for at in chosen.values()}, {at: at for at in cents}]
    values = best_whole_numbers([(0, 1)] * (len(products) + len(pairs)), rows, aims)
    if values is None:
        raise ArithmeticError("every item has a product, so a set must exist")
    moves = []
    for item in items:
        together = next(product for product in sorted(costs[item]) if values[number[item, product]])
        alone = min(costs[item], key=lambda product: (costs[item][product], product))
        moves.append(Move(item, alone, costs[item][alone], together, costs[item][together]))
    return moves


MOVES = {
    "item": "varchar", "supplier_alone": "varchar", "product_alone": "varchar", "cost_alone": "decimal(18, 2)",
    "supplier_together": "varchar", "product_together": "varchar", "cost_together": "decimal(18, 2)",
    "lists": "varchar", "is_cautioned": "boolean",
}  # fmt: skip


def _moves(db: duckdb.DuckDBPyConnection) -> None:
    """Make the table `fewer_products`: a fluid, its product alone and in the smallest set."""
    listed: dict[Product, list[str]] = defaultdict(list)
    price: dict[Product, Decimal] = {}
    for supplier, product, meets, a_litre in db.execute(
        """select o.supplier, o.product, coalesce(o.meets, ''), (o.price::decimal(38, 12)
            / nullif(litres(o.size, i.unit), 0))::decimal(18, 7)
        from offers o join items i using (item)
        where o.product is not null and o.min_count = 1 and litres(1, i.unit) is not null
            and coalesce(o.available, 1) > 0 order by all"""
    ).fetchall():
        if a_litre is not None:
            listed[supplier, product].append(meets)
            price[supplier, product] = min(a_litre, price.get((supplier, product), a_litre))
    fluids = db.execute("select item, needs, litres_a_year from fluids order by item").fetchall()
    meets = {product: "; ".join(dict.fromkeys(texts)) for product, texts in listed.items()}
    verdicts = {(item, p): compare(needs, meets[p]) for item, needs, _ in fluids for p in meets}
    costs = {
        item: {p: round(price[p] * litres, 2) for p in meets if all(v.verdict == "listed" for v in verdicts[item, p])}
        for item, _, litres in fluids
    }
    rows: list[Sequence[Any]] = []
    for move in _moves_or_none(costs):
        cautioned = any(verdict.caution for verdict in verdicts[move.item, move.together])
        rows.append([move.item, *move.alone, move.cost_alone, *move.together, move.cost_together,
                     meets[move.together], cautioned])  # fmt: skip
    fill_table(db, "fewer_products", MOVES, rows)


def _moves_or_none(costs: Mapping[str, Mapping[Product, Decimal]]) -> list[Move]:
    try:
        return fewest(costs)
    except ArithmeticError:
        return []


FEWER_PRODUCTS = Step("fewer_products", ("offers", "items", "fluids"), _moves)
