"""Which whole packs cover a need at the lowest price: exact, as an integer programme.

`cheapest_packs` takes what is wanted of each item with the packs on offer, and gives how many of each to buy:
the lowest total price; of equal prices the smaller surplus, then the fewer packs, then more of the pack whose
supplier and name come first. An `Offer` is a price of one pack from a number of packs on; several offers of one
pack are its price breaks, of which one counts, for all of them. What may keep too short a time (`keeps`), or
find no room in the store (`room`), is a limit on how much is bought; a supplier's least order is one on how much money.
What ties items together is only a least order that is not met where each takes what is best for itself.

Where the limits leave no way to cover a need, the shelf lives go first, and are told; what then still cannot be had
is told as `short`. Numbers too far apart for the solver (a price of a thousandth of a cent beside one of millions), and
too many items that a least order ties together, get a plan within the same limits that is not proved the cheapest
(`plain_packs.py`, `_without_small_orders`), and are told as `unproven`. Knows nothing of why a need arose. Method:
integer linear programming, e.g. Winston, Operations Research, ch. 9 (fixed charges and price breaks as 0-1 variables).
"""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from functools import lru_cache
from itertools import groupby
from math import gcd, lcm

from fleetreport.items.offers import Bought, Offer, Purchase, Wanted, ceil_of
from fleetreport.items.plain_packs import below_least_order, of_one_offer, plain_packs
from fleetreport.items.whole_numbers import Row, best_whole_numbers

# Packs on offer in one programme of which equal plans are told apart by name, one pack after the other.
MOST_BY_NAME = 40
# Packs on offer for items settled together: of more, nodes bound the effort no longer, since the first takes too long.
MOST_TOGETHER = 200


def cheapest_packs(wanted: Iterable[Wanted], least_orders: Mapping[str, Decimal] | None = None) -> Purchase:
    """The cheapest whole packs for each item wanted; `least_orders` is the least money a supplier takes an order for.

    Items of suppliers with a least order are settled together where one of these is not met, all others each by itself.
    """
    least = {name: money for name, money in (least_orders or {}).items() if money > 0}
    everything = Purchase([], {})
    for group in _groups(sorted(wanted), least):
        everything += _settle(group, least)
    everything.bought.sort(key=lambda one: (one.item, one.offer))
    return everything


def one_pack_size(wanted: Wanted) -> Purchase | None:
    """The cheapest way to cover a need with a single pack size; None where no single one suffices."""
    found = []
    for _, same in groupby(sorted(wanted.offers), key=lambda offer: offer[:2]):
        purchase = cheapest_packs([wanted._replace(offers=tuple(same))])
        if not purchase.short:
            found.append(purchase)
    return min(found, key=lambda p: (p.cost, sum(one.amount for one in p.bought), p.bought), default=None)


def _groups(wanted: Sequence[Wanted], least: Mapping[str, Decimal]) -> list[list[Wanted]]:
    """What must be settled together: all that a supplier with a least order could deliver."""
    together = [one for one in wanted if any(offer.supplier in least for offer in one.offers)]
    groups = [[one] for one in wanted if one not in together and one.amount > 0]
    return [*groups, *([together] if any(one.amount > 0 for one in together) else [])]


def _settle(group: list[Wanted], least: Mapping[str, Decimal]) -> Purchase:
    """One group: within all limits; else without shelf lives; else as much as can be had."""
    group = [one for one in group if one.amount > 0]
    if len(group) > 1:
        # Nothing ties them together but the least orders: where these are met anyhow, no plan is better.
        alone = _each_by_itself(group)
        if not alone.unproven and below_least_order(alone, least) is None:
            return alone
    try:
        return _solve(group, least)
    except ArithmeticError:  # OverflowError is one
        ways = [plain_packs(group, least), *([_without_small_orders(group, least)] if len(group) > 1 else [])]
        return min(ways, key=lambda plan: (sum(plan.short.values()), len(plan.outlasted), plan.cost))


def _each_by_itself(group: Sequence[Wanted]) -> Purchase:
    together = Purchase([], {})
    for one in group:
        together += _by_itself(one)
    return together


@lru_cache(maxsize=1_000)
def _by_itself(one: Wanted) -> Purchase:
    """Asked for again when a supplier falls out that it does not buy of."""
    return _settle([one], {})


def _without_small_orders(group: Sequence[Wanted], least: Mapping[str, Decimal]) -> Purchase:
    """What is best for each item by itself, without the suppliers whose least order that does not come to."""
    left_out: set[str] = set()
    plan = _each_by_itself(group)
    while below := below_least_order(plan, least):
        left_out.add(below)
        plan = _each_by_itself(
            [
                one._replace(offers=tuple(offer for offer in one.offers if offer.supplier not in left_out))
                for one in group
            ]
        )
    return plan._replace(unproven=frozenset(one.item for one in group))


def _solve(group: list[Wanted], least: Mapping[str, Decimal]) -> Purchase:
    if len(group) == 1 and (only := _only_way(group[0], least)):
        return only
    if len(group) > 1 and sum(len(one.offers) for one in group) > MOST_TOGETHER:
        raise ArithmeticError("too many packs on offer to be weighed together")
    for keeping, covering in ((True, True), (False, True), (False, False)):
        programme = _Programme(group, least, keeping, covering)
        values = best_whole_numbers(programme.bounds, programme.rows, programme.aims)
        if values is not None:
            return programme.purchase(values)
    raise ArithmeticError("buying nothing must always be possible")


def _only_way(one: Wanted, least: Mapping[str, Decimal]) -> Purchase | None:
    """Where there is nothing to choose or to limit, no solver is needed."""
    if not one.offers:
        return Purchase([], {one.item: one.amount})
    offer = one.offers[0]
    if len(one.offers) > 1 or offer.min_count > 1 or offer.keeps is not None or one.room is not None:
        return None
    return None if offer.supplier in least else of_one_offer(one, offer)


class _Programme:
    """The integer programme of one group: a count for each offer, a switch for those that need one, what is short."""

    def __init__(self, group: list[Wanted], least: Mapping[str, Decimal], keeping: bool, covering: bool) -> None:
        self.group, self.keeping = group, keeping
        self.choices = [(one, offer) for one in group for offer in sorted(one.offers)]
        self.bounds = [(0, _most(one, offer, least)) for one, offer in self.choices]
        self.rows: list[Row] = []
        # Sizes and prices as whole multiples of their greatest common part.
        self.size = _whole([offer.size for _, offer in self.choices])
        self.price = _whole([offer.price for _, offer in self.choices])
        self._unit = {one.item: _unit_of([offer.size for offer in one.offers] or [Decimal(1)]) for one in group}
        short = [self._cover(one, covering) for one in group]
        for at, (_, offer) in enumerate(self.choices):
            if offer.min_count > 1:
                self._switch({at: 1}, offer.min_count, self.bounds[at][1])
        self._one_price_a_pack()
        for supplier in sorted(least):
            self._least_order(supplier, least[supplier])
        counts = range(len(self.choices))
        self.aims = [
            {at: 1 for at in short if at is not None},
            dict(zip(counts, self.price, strict=True)),
            dict(zip(counts, self.size, strict=True)),
            dict.fromkeys(counts, 1),
            *self._names(),
        ]
        if covering:
            self.aims.pop(0)

    def _names(self) -> list[dict[int, int]]:
        """More of each pack in order; of many packs one sum in which the earlier count more, not an aim for each."""
        packs = len(self.choices)
        if packs > MOST_BY_NAME:
            return [{at: at - packs for at in range(packs)}]
        return [{at: -1} for at in range(packs - 1)]

    def _cover(self, one: Wanted, covering: bool) -> int | None:
        """The rows of one item: enough of it, within its room and its shelf lives."""
        unit = self._unit[one.item]
        sizes = {at: int(offer.size / unit) for at, (of, offer) in enumerate(self.choices) if of is one}
        enough = ceil_of(one.amount, unit)
        short = None
        if covering:
            self.rows.append(Row(sizes, enough, None))
        else:
            short = len(self.bounds)
            self.bounds.append((0, enough))
            self.rows.append(Row({**sizes, short: 1}, enough, None))
        if one.room is not None:
            self.rows.append(Row(sizes, None, max(0, int(one.room // unit))))
        if self.keeping:
            for keeps in sorted({offer.keeps for offer in one.offers if offer.keeps is not None}):
                within = {at: sizes[at] for at in sizes if (k := self.choices[at][1].keeps) is not None and k <= keeps}
                self.rows.append(Row(within, None, max(0, int(keeps // unit))))
        return short

    def _switch(self, terms: dict[int, int], least: int, most: int) -> int:
        """A 0-1 variable: off, the sum is 0; on, it lies between `least` and `most`."""
        switch = len(self.bounds)
        self.bounds.append((0, 1))
        self.rows.append(Row({**terms, switch: -least}, 0, None))
        self.rows.append(Row({**terms, switch: -most}, None, 0))
        return switch

    def _one_price_a_pack(self) -> None:
        """Of a pack's price breaks one counts, and no more packs than are available in all."""
        numbered = list(enumerate(self.choices))
        for _, same in groupby(numbered, key=lambda n: (n[1][0].item, n[1][1].supplier, n[1][1].pack)):
            breaks = [at for at, _ in same]
            if len(breaks) > 1:
                switches = [self._switch({at: 1}, 1, max(1, self.bounds[at][1])) for at in breaks]
                self.rows.append(Row(dict.fromkeys(switches, 1), None, 1))

    def _least_order(self, supplier: str, money: Decimal) -> None:
        mine = {at: self.price[at] for at, (_, offer) in enumerate(self.choices) if offer.supplier == supplier}
        if mine:
            unit = _unit_of([offer.price for _, offer in self.choices])
            most = sum(factor * self.bounds[at][1] for at, factor in mine.items())
            switch = self._switch(mine, ceil_of(money, unit), most)
            # Free packs are part of an order too.
            for at in mine:
                self.rows.append(Row({at: 1, switch: -self.bounds[at][1]}, None, 0))

    def purchase(self, values: Sequence[int]) -> Purchase:
        """What the values of the variables mean."""
        bought = [Bought(one.item, offer, n) for (one, offer), n in zip(self.choices, values, strict=False) if n]
        short, outlasted = {}, set()
        for one in self.group:
            mine = [b for b in bought if b.item == one.item]
            lacking = one.amount - sum((b.amount for b in mine), Decimal(0))
            if lacking > 0:
                short[one.item] = lacking
            for b in mine:
                keeps = b.offer.keeps
                in_all = sum(o.amount for o in mine if keeps is not None and o.offer.keeps is not None
                             and o.offer.keeps <= keeps)  # fmt: skip
                if keeps is not None and in_all > keeps:
                    outlasted.add(one.item)
        return Purchase(bought, short, frozenset(outlasted), frozenset())


def _most(one: Wanted, offer: Offer, least: Mapping[str, Decimal]) -> int:
    """No plan needs more packs of an offer than these."""
    most = max(ceil_of(one.amount, offer.size), offer.min_count)
    if least and offer.price > 0:
        most += ceil_of(max(least.values()), offer.price)
    # More of a dear pack never pays, but a price break may ask for more packs than the need does.
    return most if offer.available is None else min(most, offer.available)


def _unit_of(amounts: Sequence[Decimal]) -> Decimal:
    """The greatest amount of which all are whole multiples; amounts of 0 do not count."""
    ratios = [amount.as_integer_ratio() for amount in amounts if amount]
    if not ratios:
        return Decimal(1)
    below = lcm(*(d for _, d in ratios))
    return Decimal(gcd(*(n * (below // d) for n, d in ratios))) / Decimal(below)


def _whole(amounts: Sequence[Decimal]) -> list[int]:
    unit = _unit_of(amounts)
    return [int(amount / unit) for amount in amounts]
