"""What is wanted, what is on offer, and what is bought: the terms of choosing packs. Money and sizes are exact."""

from decimal import Decimal
from typing import NamedTuple


class Offer(NamedTuple):
    """A pack at a price (money) that holds from `min_count` packs on.

    `size` is in the item's unit, `available` packs (None: no limit). `keeps` is how much of the item may be bought in
    packs that keep no longer than this one, in the item's unit (None: no limit).
    """

    supplier: str
    pack: str
    size: Decimal
    price: Decimal
    min_count: int = 1
    available: int | None = None
    keeps: Decimal | None = None


class Wanted(NamedTuple):
    """An item of which `amount` is wanted, what is on offer, and how much of it finds room (None: no limit)."""

    item: str
    amount: Decimal
    offers: tuple[Offer, ...]
    room: Decimal | None = None


class Bought(NamedTuple):
    """So many packs of an offer."""

    item: str
    offer: Offer
    packs: int

    @property
    def cost(self) -> Decimal:
        """Money for all of them."""
        return self.offer.price * self.packs

    @property
    def amount(self) -> Decimal:
        """What they hold, in the item's unit."""
        return self.offer.size * self.packs


class Purchase(NamedTuple):
    """What to buy, how much of each item cannot be had, and the items whose packs may not keep until they are used.

    `unproven` are items for which no cheapest plan could be proved.
    """

    bought: list[Bought]
    short: dict[str, Decimal]
    outlasted: frozenset[str] = frozenset()
    unproven: frozenset[str] = frozenset()

    def __add__(self, other: object) -> "Purchase":
        """Both together; they share no item."""
        if not isinstance(other, Purchase):
            return NotImplemented
        return Purchase(
            self.bought + other.bought, self.short | other.short,
            self.outlasted | other.outlasted, self.unproven | other.unproven,
        )  # fmt: skip

    @property
    def cost(self) -> Decimal:
        """Money for everything."""
        return sum((one.cost for one in self.bought), Decimal(0))


def ceil_of(amount: Decimal, unit: Decimal) -> int:
    """How many whole units hold an amount that is not below 0. Decimal's own `//` cuts towards zero."""
    whole = int(amount // unit)
    return whole + (whole * unit < amount)
