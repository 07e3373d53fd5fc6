"""The rows that the order's page, sheets and letters are made from, as typed tuples (read by `report_rows`)."""

from datetime import date
from decimal import Decimal
from typing import NamedTuple


class OrderSummary(NamedTuple):
    """`order_summary`, one row: the figures at the head of the order. Money in the fleet's currency."""

    service_level: Decimal
    review_days: int
    items: int
    items_ordered: int
    items_short: int
    suppliers: int
    packs: int
    cost: Decimal
    suppliers_today: int
    packs_today: int
    cost_today: Decimal
    items_to_ask: int
    items_one_size: int
    cost_one_size: Decimal
    cost_one_size_as_ordered: Decimal
    works_lacking: int
    first_lacking_on: date | None


class OrderLine(NamedTuple):
    """`order`: a pack to buy. `not_listed`: tokens needed that the product does not list, with what it does.

    `ask_first`: not to be ordered before the maker has confirmed it; `confirmed`: who said that they have.
    """

    item: str
    pack: str
    size: Decimal
    pack_count: int
    price: Decimal
    cost: Decimal
    supplier: str | None
    product: str | None
    unit: str
    min_count: int
    needs: str | None
    meets: str | None
    not_listed: str | None
    ask_first: bool
    confirmed: str | None


class OrderItem(NamedTuple):
    """`order_items`: an item, and why it is or is not bought. Amounts in `unit`; None from `bought` on: not bought."""

    item: str
    title: str
    unit: str
    needed: Decimal
    planned: Decimal
    unplanned: Decimal
    safety: Decimal
    on_hand: Decimal
    on_order: Decimal
    to_order: Decimal
    until: date
    lead_time_days: int
    arrives_on: date
    counted_on: date | None
    used_since: Decimal
    is_overdrawn: bool
    runs_out_on: date | None
    bought: Decimal | None
    surplus: Decimal | None
    short: Decimal | None
    cost: Decimal | None
    cost_one_size: Decimal | None
    cost_listed: Decimal | None
    cost_held: Decimal | None
    cost_instead: Decimal | None
    instead: str | None
    instead_is_listed: bool | None
    is_measured: bool
    wanted_by: date
    is_listed: bool | None
    is_outlasted: bool | None
    is_unproven: bool | None
    works_lacking: int
    first_lacking_on: date | None
    method: str | None
    demand_class: str | None
    per_period: float | None
    error: float | None
    bar_error: float | None
    with_use: int | None
    periods: int | None
    economic_quantity: Decimal | None


class LateWork(NamedTuple):
    """`late_without_order`: planned work that would lack an item if nothing were bought."""

    vehicle_id: str
    vehicle_title: str | None
    depot: str
    task: str
    task_title: str
    occurrence_no: int
    on_day: date
    item: str
    item_title: str
    unit: str
    quantity: Decimal
    lacking: Decimal
    is_measured: bool
    arrives_on: date
    is_too_late: bool
    is_urgent: bool


class OrderWarning(NamedTuple):
    """`order_warnings`: a token that an ordered product does not list, or that needs a caution."""

    item: str
    title: str
    supplier: str
    pack: str
    min_count: int
    product: str | None
    token: str
    verdict: str
    beside: str | None
    is_cautioned: bool
    confirmed: str | None
    vehicles: int
    vehicles_in_warranty: int
    in_warranty: str | None


class SwappedItem(NamedTuple):
    """`swapped_items`: a vehicle's own item whose needs do not list what the class's item needs."""

    vehicle_id: str
    task: str
    task_title: str
    item: str
    item_title: str
    instead_of: str
    instead_title: str
    token: str
    verdict: str
    beside: str | None
    is_cautioned: bool
    reason: str | None
    warranty_until: date | None
    is_in_warranty: bool


class ProductListing(NamedTuple):
    """`product_listings`: a product on offer for an item, and what it lists of what the item needs."""

    item: str
    title: str
    supplier: str
    product: str
    meets: str
    verdicts: str
    gaps: int
    is_cautioned: bool


class BulkWeek(NamedTuple):
    """`bulk_weeks`: litres of a fluid in an ISO week."""

    item: str
    title: str
    kind: str | None
    iso_week: str
    from_day: date
    to_day: date
    litres: Decimal
    planned: Decimal


class Container(NamedTuple):
    """`order_containers`: how many of a kind and size of pack the order brings."""

    container: str
    size: Decimal
    unit: str
    pack_count: int
    amount: Decimal


class Returned(NamedTuple):
    """`returned`: what comes back of a waste stream in an ISO week, in `unit`."""

    stream: str
    unit: str
    iso_week: str
    amount: Decimal


class ProductMove(NamedTuple):
    """`fewer_products`: a fluid, its cheapest product alone and the one of the smallest set; money a year."""

    item: str
    supplier_alone: str
    product_alone: str
    cost_alone: Decimal
    supplier_together: str
    product_together: str
    cost_together: Decimal
    lists: str
    is_cautioned: bool


class Supplier(NamedTuple):
    """`suppliers`: where an order goes and the customer number to quote."""

    supplier: str
    email: str | None
    account: str | None
    min_order: Decimal


class OrderOffer(NamedTuple):
    """`order_offers`: a pack on offer of an item that is to be ordered, and the count that the order takes."""

    item: str
    title: str
    supplier: str
    pack: str
    min_count: int
    product: str | None
    size: Decimal
    unit: str
    price: Decimal
    available: int | None
    pack_count: int
    to_order: Decimal
    ask_first: bool
