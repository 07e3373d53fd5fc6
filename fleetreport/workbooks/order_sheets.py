"""The order's sheets of the workbook: what is needed, what to buy, and the sums, with formulas that live.

Change what is on hand in "Items needed", or a count in "Order", and amounts, costs and sums follow. The formulas are
the sums of the report over again, so that a spreadsheet that recalculates must come to the same cents. They refer to
whole columns of one sheet each, so an order longer than a sheet (a million packs on offer) would be cut.
"""

from collections.abc import Iterator

import duckdb

from fleetreport.languages.catalogues import Catalogue
from fleetreport.report.order_rows import OrderItem, OrderOffer
from fleetreport.report.report_rows import iterate_rows, read_rows
from fleetreport.workbooks.sheet_cells import Formula, as_cell_text
from fleetreport.workbooks.sheets import Column


def needed_columns(words: Catalogue) -> tuple[Column, ...]:
    """The columns of the sheet of items needed."""
    return _columns(words, (
        ("item", "text", 22), ("title", "text", 34), ("unit", "text", 8), ("planned", "amount", 11),
        ("unplanned", "amount", 11), ("safety", "amount", 11), ("on_hand", "amount", 11), ("on_order", "amount", 11),
        ("to_order", "amount", 11), ("until", "date", 12), ("runs_out_on", "date", 12), ("counted_on", "date", 12),
        ("used_since", "amount", 11), ("short", "amount", 11),
    ))  # fmt: skip


def order_columns(words: Catalogue) -> tuple[Column, ...]:
    """The columns of the sheet of packs on offer."""
    return _columns(words, (
        ("item", "text", 22), ("pack", "text", 16), ("count", "count", 9), ("size", "amount", 10), ("unit", "text", 8),
        ("price", "money", 11), ("amount", "amount", 11), ("cost", "money", 12), ("to_order", "amount", 11),
        ("left_over", "amount", 13), ("supplier", "text", 24), ("ask_first", "text", 9), ("product", "text", 24),
        ("for", "text", 34), ("available", "count", 10), ("price_from", "count", 10),
    ))  # fmt: skip


def total_columns(words: Catalogue) -> tuple[Column, ...]:
    """The columns of the sheet of sums."""
    return _columns(words, (
        ("supplier", "text", 40), ("packs", "count", 10), ("cost", "money", 14), ("ask_first_cost", "money", 14),
        ("today_cost", "money", 14),
    ))  # fmt: skip


def _columns(words: Catalogue, columns: tuple[tuple[str, str, float], ...]) -> tuple[Column, ...]:
    return tuple(Column(words[f"sheet.{name}"], kind, width) for name, kind, width in columns)


def needed_rows(db: duckdb.DuckDBPyConnection) -> Iterator[tuple[object, ...]]:
    """A row an item; `To order` is worked out from the cells beside it."""
    for at, row in enumerate(iterate_rows(db, OrderItem, "order_items", ("title",)), 2):
        yield (
            row.item, row.title, row.unit, row.planned, row.unplanned, row.safety, row.on_hand, row.on_order,
            # What is exact to a thousandth must not come out with a ten-thousandth beside it.
            Formula(f"=ROUND(MAX(0,D{at}+E{at}+F{at}-G{at}-H{at}),3)"), row.until, row.runs_out_on, row.counted_on,
            row.used_since, row.short or None,
        )  # fmt: skip


def order_rows(db: duckdb.DuckDBPyConnection, words: Catalogue) -> Iterator[tuple[object, ...]]:
    """A row a pack on offer; amount, cost and what is left over of the item follow the count."""
    offers = sorted(
        read_rows(db, OrderOffer, "order_offers"), key=lambda o: (o.title, o.item, o.supplier, o.size, o.pack)
    )
    last = len(offers) + 1
    last_item = int(db.execute("select count(*) + 1 from order_items").fetchall()[0][0])
    needed = words["sheet.items_needed"]
    items, to_order = (f"'{needed}'!${letter}$2:${letter}${last_item}" for letter in "AI")
    for at, row in enumerate(offers, 2):
        of_item = f"SUMPRODUCT(EXACT($A$2:$A${last},A{at})*$G$2:$G${last})"
        yield (
            row.item, row.pack, row.pack_count, row.size, row.unit, row.price, Formula(f"=ROUND(C{at}*D{at},7)"),
            Formula(f"=ROUND(C{at}*F{at},4)"),
            Formula(f"=SUMPRODUCT(EXACT({items},A{at})*{to_order})"),
            Formula(f"=ROUND({of_item}-I{at},3)"), row.supplier or None, words["sheet.yes"] if row.ask_first else None,
            row.product, row.title, row.available, row.min_count,
        )  # fmt: skip


def total_rows(db: duckdb.DuckDBPyConnection, words: Catalogue) -> Iterator[tuple[object, ...]]:
    """A row a supplier with its packs and cost, and one for all; what is to be asked about first stands apart."""
    last = max(1, int(db.execute("select count(*) from order_offers").fetchall()[0][0])) + 1
    names = [name for (name,) in db.execute("select distinct supplier from order_offers order by supplier").fetchall()]
    count, cost, supplier, ask = (f"'{words['sheet.order']}'!${letter}$2:${letter}${last}" for letter in "CHKL")
    for at, name in enumerate([*names, None], 2):
        # Compared with the cell, whatever characters the name has; a criterion would read `*`, `?`, `<` in it.
        same = "1" if name is None else f"EXACT({supplier},A{at})" if name else f'({supplier}="")'
        shown = words["sheet.all_suppliers"] if name is None else as_cell_text(name) or words["sheet.no_supplier"]
        yield (
            shown,
            Formula(f"=SUM({count})" if name is None else f"=SUMPRODUCT({same}*{count})"),
            Formula(f"=ROUND(SUM({cost}),4)" if name is None else f"=ROUND(SUMPRODUCT({same}*{cost}),4)"),
            Formula(f'=ROUND(SUMPRODUCT({same}*({ask}<>"")*{cost}),4)'), Formula(f"=ROUND(C{at}-D{at},4)"),
        )  # fmt: skip
