"""The order's page: what to buy this week, from whom, for how much, and why that is enough.

`order_page` reads the tables of the order, arranges their rows and hands them to `templates/order.html`. Every figure
is a cell of a table, or a sum of cells that stand beside it. The chart of litres by week is drawn only where there
is something to draw, so that Matplotlib is imported only then. Knows nothing of how a need is worked out.
"""

from collections.abc import Iterable, Sequence
from decimal import Decimal
from itertools import groupby
from typing import NamedTuple

import duckdb
from markupsafe import Markup

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.pages.frame import natural_order, page_environment, styled
from fleetreport.report.cautions import cautions, waste_caution
from fleetreport.report.order_rows import (
    BulkWeek,
    Container,
    LateWork,
    OrderItem,
    OrderLine,
    OrderSummary,
    OrderWarning,
    ProductListing,
    ProductMove,
    Returned,
    Supplier,
    SwappedItem,
)
from fleetreport.report.report_rows import WeekAtAGlance, read_rows, read_week

LONGEST = 300  # of what lacks an item; data/late_without_order.csv has all
SHOWN = 40  # of a long list; the workbook has all


class SupplierOrder(NamedTuple):
    """One supplier's part of the order."""

    supplier: str
    lines: list[OrderLine]
    cost: Decimal


class WeeklyAmounts(NamedTuple):
    """A row of a table by week: what it is, an amount for each week, and their sum."""

    name: str
    unit: str
    amounts: list[Decimal]
    total: Decimal
    caution: str | None = None


class ProductSet(NamedTuple):
    """The smallest set of products and what it would change."""

    moves: list[ProductMove]
    products_alone: int
    products_together: int
    cost_alone: Decimal
    cost_together: Decimal


class OrderPage(NamedTuple):
    """Everything that `order.html` lays out."""

    week: WeekAtAGlance
    summary: OrderSummary
    suppliers: list[SupplierOrder]
    to_ask: list[OrderLine]
    items: dict[str, OrderItem]
    below_least: dict[str, Decimal]
    bought: list[OrderItem]
    not_bought: list[OrderItem]
    forecast: list[OrderItem]
    late: list[LateWork]
    warnings: list[OrderWarning]
    swapped: list[SwappedItem]
    listings: list[ProductListing]
    weeks: list[str]
    bulk: list[WeeklyAmounts]
    bulk_chart: Markup | None
    containers: list[Container]
    returned: list[WeeklyAmounts]
    fewer: ProductSet
    titles: dict[str, str]


def order_page(db: duckdb.DuckDBPyConnection, words: Catalogue = ENGLISH) -> str:
    """The page as HTML text, to be written as UTF-8. The same tables give the same text.

    Raises duckdb.Error for a missing table or column, ValueError where a table of one row has another number.
    """
    template = page_environment(words).get_template("order.html")
    return template.render(
        page=arrange(db, words), **styled("_style.css"), cautions=cautions(words, "order", "week"),
        shown=SHOWN, longest=LONGEST,
    )  # fmt: skip


def arrange(db: duckdb.DuckDBPyConnection, words: Catalogue = ENGLISH, with_chart: bool = True) -> OrderPage:
    """Read the order's tables and put their rows in the order in which they are read."""
    summaries = read_rows(db, OrderSummary, "order_summary")
    if len(summaries) != 1:
        raise ValueError(f"order_summary: found {len(summaries)} rows, expected 1")
    items = read_rows(db, OrderItem, "order_items")
    lines = read_rows(db, OrderLine, "order")
    bulk = read_rows(db, BulkWeek, "bulk_weeks", ("iso_week",))
    weeks = sorted({row.iso_week for row in bulk})
    litres = _bulk_rows(bulk, weeks)
    soonest = sorted(items, key=lambda row: (row.runs_out_on is None, row.runs_out_on, row.title))
    today = by_supplier(line for line in lines if not line.ask_first)
    least = {row.supplier: row.min_order for row in read_rows(db, Supplier, "suppliers")}
    return OrderPage(
        week=read_week(db),
        summary=summaries[0],
        suppliers=today,
        to_ask=[line for line in lines if line.ask_first],
        items={row.item: row for row in items},
        below_least={part.supplier: least[part.supplier] for part in today if part.cost < least.get(part.supplier, 0)},
        bought=[row for row in soonest if row.to_order > 0],
        not_bought=[row for row in soonest if row.to_order <= 0],
        forecast=[row for row in items if row.method],
        late=sorted(read_rows(db, LateWork, "late_without_order"), key=_by_day),
        warnings=read_rows(db, OrderWarning, "order_warnings"),
        swapped=sorted(read_rows(db, SwappedItem, "swapped_items"), key=lambda row: natural_order(row.vehicle_id)),
        listings=read_rows(db, ProductListing, "product_listings", ("title",)),
        weeks=weeks,
        bulk=litres,
        bulk_chart=_chart(litres, weeks, words) if with_chart else None,
        containers=read_rows(db, Container, "order_containers"),
        returned=_returned_rows(read_rows(db, Returned, "returned"), weeks, words),
        fewer=_product_set(read_rows(db, ProductMove, "fewer_products")),
        titles={row.item: row.title for row in items},
    )


def by_supplier(lines: Iterable[OrderLine]) -> list[SupplierOrder]:
    """The order, supplier by supplier; lines without one last."""
    found = []
    in_order = sorted(lines, key=lambda line: (line.supplier is None, line.supplier or "", line.item, line.pack))
    for supplier, of_one in groupby(in_order, key=lambda line: line.supplier):
        mine = list(of_one)
        found.append(SupplierOrder(supplier or "", mine, sum((line.cost for line in mine), Decimal(0))))
    return found


def _by_day(row: LateWork) -> tuple[object, ...]:
    return row.on_day, natural_order(row.vehicle_id), row.task, row.item


def _bulk_rows(rows: Sequence[BulkWeek], weeks: Sequence[str]) -> list[WeeklyAmounts]:
    """A row a fluid, the one of which most is needed first."""
    found = []
    for (_, title), of_one in groupby(sorted(rows, key=lambda r: (r.item, r.title)), key=lambda r: (r.item, r.title)):
        by_week = {row.iso_week: row.litres for row in of_one}
        amounts = [by_week.get(week, Decimal(0)) for week in weeks]
        if any(amounts):
            found.append(WeeklyAmounts(title, "L", amounts, sum(amounts, Decimal(0))))
    return sorted(found, key=lambda row: (-row.total, row.name))


def _returned_rows(rows: Sequence[Returned], weeks: Sequence[str], words: Catalogue) -> list[WeeklyAmounts]:
    found = []
    for (stream, unit), of_one in groupby(rows, key=lambda row: (row.stream, row.unit)):
        by_week = {row.iso_week: row.amount for row in of_one}
        amounts = [by_week.get(week, Decimal(0)) for week in weeks]
        said = waste_caution(stream, words)
        if any(amounts):
            found.append(WeeklyAmounts(stream, unit, amounts, sum(amounts, Decimal(0)), said))
    return found


def _product_set(moves: Sequence[ProductMove]) -> ProductSet:
    return ProductSet(
        list(moves),
        len({(m.supplier_alone, m.product_alone) for m in moves}),
        len({(m.supplier_together, m.product_together) for m in moves}),
        sum((m.cost_alone for m in moves), Decimal(0)),
        sum((m.cost_together for m in moves), Decimal(0)),
    )


def _chart(rows: Sequence[WeeklyAmounts], weeks: Sequence[str], words: Catalogue) -> Markup | None:
    if not rows:
        return None
    from fleetreport.pages.order_chart import litres_chart

    return litres_chart([(row.name, [float(a) for a in row.amounts]) for row in rows], weeks, words)
