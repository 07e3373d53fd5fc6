"""The order's sheets of the workbook: what is needed, what to buy, and the sums, with formulas that live.

Change what is on hand in "Items needed", or a count in "Order", and amounts, costs and sums follow. The formulas are
the sums of the report over again, so that a spreadsheet that recalculates must come to the same cents. They refer to
whole columns of one sheet each, so an order longer than a sheet (a million packs on offer) would be cut.
"""

from collections.abc import Iterator

import duckdb

from fleetreport.report.order_rows import OrderItem, OrderOffer
from fleetreport.report.report_rows import iterate_rows, read_rows
from fleetreport.workbooks.sheets import Column, Formula, as_cell_text

NEEDED_COLUMNS = (
    Column("Item", "text", 22), Column("Title", "text", 34), Column("Unit", "text", 8), Column("Planned", "amount", 11),
    Column("Unplanned", "amount", 11), Column("Safety", "amount", 11), Column("On hand", "amount", 11),
    Column("On order", "amount", 11), Column("To order", "amount", 11), Column("Until", "date", 12),
    Column("Runs out on", "date", 12), Column("Counted on", "date", 12), Column("Used since", "amount", 11),
    Column("Cannot be had", "amount", 11),
)  # fmt: skip
ORDER_COLUMNS = (
    Column("Item", "text", 22), Column("Pack", "text", 16), Column("Count", "count", 9), Column("Size", "amount", 10),
    Column("Unit", "text", 8), Column("Price", "money", 11), Column("Amount", "amount", 11), Column("Cost", "money",
    12), Column("To order", "amount", 11), Column("Left over (-: lacking)", "amount", 13), Column("Supplier", "text",
    24), Column("Product", "text", 24), Column("For", "text", 34), Column("Available", "count", 10),
    Column("Price from", "count", 10),
)  # fmt: skip
TOTAL_COLUMNS = (Column("Supplier", "text", 40), Column("Packs", "count", 10), Column("Cost", "money", 14))
ALL = "All suppliers"


def needed_rows(db: duckdb.DuckDBPyConnection) -> Iterator[tuple[object, ...]]:
    """A row an item; `To order` is worked out from the cells beside it."""
    for at, row in enumerate(iterate_rows(db, OrderItem, "order_items", ("title",)), 2):
        yield (
            row.item, row.title, row.unit, row.planned, row.unplanned, row.safety, row.on_hand, row.on_order,
            # What is exact to a thousandth must not come out with a ten-thousandth beside it.
            Formula(f"=ROUND(MAX(0,D{at}+E{at}+F{at}-G{at}-H{at}),3)"), row.until, row.runs_out_on, row.counted_on,
            row.used_since, row.short or None,
        )  # fmt: skip


def order_rows(db: duckdb.DuckDBPyConnection) -> Iterator[tuple[object, ...]]:
    """A row a pack on offer; amount, cost and what is left over of the item follow the count."""
    offers = sorted(
        read_rows(db, OrderOffer, "order_offers"), key=lambda o: (o.title, o.item, o.supplier, o.size, o.pack)
    )
    last = len(offers) + 1
    last_item = int(db.execute("select count(*) + 1 from order_items").fetchall()[0][0])
    items, to_order = (f"'Items needed'!${letter}$2:${letter}${last_item}" for letter in "AI")
    for at, row in enumerate(offers, 2):
        of_item = f"SUMPRODUCT(EXACT($A$2:$A${last},A{at})*$G$2:$G${last})"
        yield (
            row.item, row.pack, row.pack_count, row.size, row.unit, row.price, Formula(f"=ROUND(C{at}*D{at},7)"),
            Formula(f"=ROUND(C{at}*F{at},4)"),
            Formula(f"=SUMPRODUCT(EXACT({items},A{at})*{to_order})"),
            Formula(f"=ROUND({of_item}-I{at},3)"), row.supplier or None, row.product, row.title, row.available,
            row.min_count,
        )  # fmt: skip


def total_rows(db: duckdb.DuckDBPyConnection) -> Iterator[tuple[object, ...]]:
    """A row a supplier with its packs and cost, and one for all."""
    last = max(1, int(db.execute("select count(*) from order_offers").fetchall()[0][0])) + 1
    names = [name for (name,) in db.execute("select distinct supplier from order_offers order by supplier").fetchall()]
    for at, name in enumerate(names, 2):
        # Compared with the cell, whatever characters the name has; a criterion would read `*`, `?`, `<` in it.
        same = f"EXACT('Order'!$K$2:$K${last},A{at})" if name else f"('Order'!$K$2:$K${last}=\"\")"
        yield (
            as_cell_text(name) if name else "(no supplier named)",
            Formula(f"=SUMPRODUCT({same}*'Order'!$C$2:$C${last})"),
            Formula(f"=ROUND(SUMPRODUCT({same}*'Order'!$H$2:$H${last}),4)"),
        )  # fmt: skip
    yield ALL, Formula(f"=SUM('Order'!$C$2:$C${last})"), Formula(f"=ROUND(SUM('Order'!$H$2:$H${last}),4)")
