"""The order for each supplier: a list as CSV, and a letter to paste into an e-mail.

`supplier_files` gives both as text by file name. A name is made of the supplier's letters and figures only, so that
no name of a supplier can leave the folder, hide a file or be one that a system keeps for itself; two
suppliers whose names come down to the same get numbers. Lines of a letter are at most 78 characters (RFC 5322, 2.1.1),
text without breaks apart. In the CSV a cell that a spreadsheet would take for a formula has an apostrophe before it.
"""

import csv
import io
import re
import textwrap
import unicodedata
from collections.abc import Iterable, Mapping

import duckdb

from fleetreport.cells import clean, harmless, plain
from fleetreport.pages.order_page import SupplierOrder, by_supplier
from fleetreport.report.order_rows import OrderItem, OrderLine, Supplier
from fleetreport.report.report_rows import WeekAtAGlance, read_rows, read_week
from fleetreport.report.sentences import amount, day, money
from fleetreport.report.words import ENGLISH, Catalogue

WIDTH = 78
COLUMNS = (
    "item", "description", "product", "pack", "size", "unit", "count", "price", "cost", "currency", "must_list",
    "needed_by",
)  # fmt: skip
HEADER = ",".join(COLUMNS)
LONGEST_NAME = 60
# Names that some systems keep for devices.
KEPT_NAMES = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))}


def supplier_files(db: duckdb.DuckDBPyConnection, words: Catalogue = ENGLISH) -> dict[str, str]:
    """File name to text: `<slug>.csv` and `<slug>.txt` for each supplier that gets an order."""
    week = read_week(db)
    known = {row.supplier: row for row in read_rows(db, Supplier, "suppliers")}
    items = {row.item: row for row in read_rows(db, OrderItem, "order_items")}
    orders = by_supplier(read_rows(db, OrderLine, "order"))
    names = file_names(part.supplier for part in orders)
    files = {}
    for part in orders:
        name = names[part.supplier]
        files[f"{name}.csv"] = as_csv(part.lines, items, week.currency)
        files[f"{name}.txt"] = letter(part, known.get(part.supplier), items, week, words)
    return files


def file_names(suppliers: Iterable[str]) -> dict[str, str]:
    """A file name without ending for each supplier, all different, whatever characters the names have."""
    names: dict[str, str] = {}
    taken: set[str] = set()
    for supplier in sorted(suppliers):
        slug = slug_of(supplier)
        numbered = (slug if n == 1 else f"{slug}-{n}" for n in range(1, len(taken) + 2))
        names[supplier] = next(name for name in numbered if name not in taken)
        taken.add(names[supplier])
    return names


def slug_of(supplier: str) -> str:
    """The letters and figures of a name in lower case, hyphens between: `Grüne Gasse & Co.` is `grune-gasse-co`."""
    plain = unicodedata.normalize("NFKD", supplier).encode("ascii", "ignore").decode().lower()
    slug = re.sub(r"[^a-z0-9]+", "-", plain)[:LONGEST_NAME].strip("-")
    if not slug:
        return "supplier" if supplier else "no-supplier"
    return f"supplier-{slug}" if slug in KEPT_NAMES else slug


def as_csv(lines: Iterable[OrderLine], items: Mapping[str, OrderItem], currency: str) -> str:
    """The list of one supplier, with the columns `COLUMNS`."""
    written = io.StringIO()
    writer = csv.writer(written, lineterminator="\n")
    writer.writerow(COLUMNS)
    for line in lines:
        row = items[line.item]
        needed_by = row.runs_out_on.isoformat() if row.runs_out_on else ""
        cells = (line.item, row.title, line.product or "", line.pack)
        figures = (plain(line.size), line.unit, line.pack_count, plain(line.price), plain(line.cost), currency)
        writer.writerow([harmless(cell) for cell in (*cells, *figures, line.needs or "", needed_by)])
    return written.getvalue()


def letter(
    part: SupplierOrder, supplier: Supplier | None, items: Mapping[str, OrderItem], week: WeekAtAGlance,
    words: Catalogue = ENGLISH,
) -> str:  # fmt: skip
    """The order as a person would write it to a supplier: what, how many, what it must list, the sum, by when."""
    name = clean(part.supplier)
    fleet = clean(week.fleet_name)
    lines = [words["order.letter_title"].format(fleet=fleet, day=day(week.as_of, words))]
    if supplier and supplier.email:
        lines.append(f"To: {clean(supplier.email)}")
    if supplier and supplier.account:
        lines.append(f"Our customer number: {clean(supplier.account)}")
    lines += ["", f"To {name}," if name else "Dear supplier,", "", "Please send us:", ""]
    for number, line in enumerate(part.lines, 1):
        lines += _letter_line(number, line, items[line.item], week.currency, words)
    total = money(part.cost, words, currency=week.currency)
    soonest = min((r.runs_out_on for r in (items[line.item] for line in part.lines) if r.runs_out_on), default=None)
    lines += [f"Together {total}, by the prices of your list, taxes and carriage as agreed.", ""]
    if soonest and soonest <= week.as_of:
        lines += ["Some of these we lack already; please send them as soon as you can.", ""]
    elif soonest:
        lines += [f"By our estimate the first of these runs out on {day(soonest, words)}.", ""]
    lines += [
        "Please confirm prices and the day of delivery. Please tell us before you send anything that does not list "
        "what stands under \"must list\", or that is not the product named.",
        "", "With kind regards", fleet, "",
    ]  # fmt: skip
    return "\n".join(_folded(line) for line in lines).replace("\u00a0", " ")


def _letter_line(number: int, line: OrderLine, row: OrderItem, currency: str, words: Catalogue) -> list[str]:
    product = clean(line.product or row.title)
    pack = f"{clean(line.pack)}, {amount(line.size, words, unit=clean(line.unit))}"
    each, cost = money(line.price, words, currency=currency), money(line.cost, words, currency=currency)
    lines = [f"{number:3}. {line.pack_count} x {product} ({pack})"]
    if line.product:
        lines.append(f"     for: {clean(row.title)}")
    if line.needs:
        lines.append(f"     must list: {listed(line.needs)}")
    if line.not_listed:
        lines.append(
            f"     Our record of this product does not list {listed(line.not_listed)}. Please answer this first."
        )
    lines.append(f"     {each} each, {cost}")
    return [*lines, ""]


def listed(tokens: str) -> str:
    """Tokens with `;` between, as a person writes them in a letter."""
    return ", ".join(part for token in tokens.split(";") if (part := clean(token)))


def _folded(line: str) -> str:
    indent = " " * (len(line) - len(line.lstrip()))
    wrapped = textwrap.wrap(line, WIDTH, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)
    return "\n".join(wrapped)
