"""A plan of one pack size an item, for numbers that the solver cannot take: within every limit, not proved cheapest.

Each item takes the single offer that leaves it least short, then the one that keeps, then the cheapest. A supplier
whose lines together stay below its least order is left out where others leave nothing more short; where
only it can deliver, packs are added to its lines up to the least order, and where that cannot be done nothing is
bought of it. What then lacks is told.
"""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from fleetreport.items.offers import Bought, Offer, Purchase, Wanted, ceil_of


def plain_packs(group: Sequence[Wanted], least_orders: Mapping[str, Decimal]) -> Purchase:
    """What to buy of each item; all of them are `unproven`. `least_orders`: money by supplier."""
    left_out: set[str] = set()
    plan = _each_alone(group, left_out)
    # Whoever is left out may bring another below its least order; at most every supplier is.
    while below := below_least_order(plan, least_orders):
        without = _each_alone(group, left_out | {below})
        raised = _raised(plan, group, below, least_orders[below])
        if raised and _lacks(without) > _lacks(plan):
            plan = raised
        else:
            left_out.add(below)
            plan = without
    return plan._replace(unproven=frozenset(one.item for one in group))


def of_one_offer(one: Wanted, offer: Offer) -> Purchase:
    """As many packs of one offer as the need asks for, its price wants, there are, and find room."""
    count = min(max(ceil_of(one.amount, offer.size), offer.min_count), _most(one, offer))
    if count < offer.min_count:
        count = 0
    return _purchase(one, [Bought(one.item, offer, count)] if count > 0 else [])


def _most(one: Wanted, offer: Offer) -> int:
    """No more packs of an offer can be had, or find room. Without either limit: as many as anybody might want."""
    limits = [offer.available, None if one.room is None else max(0, int(one.room // offer.size))]
    return min((limit for limit in limits if limit is not None), default=10**18)


def _purchase(one: Wanted, bought: list[Bought]) -> Purchase:
    lacking = one.amount - sum((b.amount for b in bought), Decimal(0))
    outlasted = any(b.offer.keeps is not None and b.amount > b.offer.keeps for b in bought)
    return Purchase(bought, {one.item: lacking} if lacking > 0 else {}, frozenset({one.item} if outlasted else ()))


def _each_alone(group: Sequence[Wanted], left_out: set[str]) -> Purchase:
    together = Purchase([], {})
    for one in group:
        ways = [of_one_offer(one, offer) for offer in sorted(one.offers) if offer.supplier not in left_out]
        nothing = Purchase([], {one.item: one.amount})
        together += min(ways, key=lambda p: (_lacks(p), len(p.outlasted), p.cost), default=nothing)
    return together


def _lacks(plan: Purchase) -> Decimal:
    return sum(plan.short.values(), Decimal(0))


def below_least_order(plan: Purchase, least_orders: Mapping[str, Decimal]) -> str | None:
    """The first supplier by name whose lines do not come to its least order."""
    money: dict[str, Decimal] = {}
    for b in plan.bought:
        money[b.offer.supplier] = money.get(b.offer.supplier, Decimal(0)) + b.cost
    return min((name for name, cost in money.items() if cost < least_orders.get(name, Decimal(0))), default=None)


def _raised(plan: Purchase, group: Sequence[Wanted], supplier: str, least: Decimal) -> Purchase | None:
    """The plan with packs added to a supplier's lines until they come to its least order; None: they cannot."""
    wanted = {one.item: one for one in group}
    missing = least - sum((b.cost for b in plan.bought if b.offer.supplier == supplier), Decimal(0))
    found = Purchase([], plan.short)
    for b in plan.bought:
        more = 0
        if b.offer.supplier == supplier and missing > 0 and b.offer.price > 0:
            more = min(ceil_of(missing, b.offer.price), _most(wanted[b.item], b.offer) - b.packs)
            missing -= more * b.offer.price
        found += _purchase(wanted[b.item], [b._replace(packs=b.packs + more)])
    return found if missing <= 0 else None
