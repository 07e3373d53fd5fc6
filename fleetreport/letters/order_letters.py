"""The order for each supplier: a list as CSV, and a letter to paste into an e-mail.

`supplier_files` gives both as text by file name. A name is made of the supplier's letters and figures only, so that
no name of a supplier can leave the folder, hide a file or be one that a system keeps for itself; two
suppliers whose names come down to the same get numbers. Lines of a letter are at most 78 characters (RFC 5322, 2.1.1),
text without breaks apart. The order number is the as-of date and the file's name, so that the
same order has the same. In the CSV a cell that a spreadsheet would take for a formula has an apostrophe before it.
"""

import csv
import io
import re
import textwrap
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

import duckdb

from fleetreport.cells import clean, harmless, plain
from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.pages.order_page import SupplierOrder, by_supplier
from fleetreport.report.amounts import amount, money
from fleetreport.report.order_rows import OrderItem, OrderLine, Supplier
from fleetreport.report.report_rows import WeekAtAGlance, read_rows, read_week
from fleetreport.report.sentences import counted, day

WIDTH = 78
COLUMNS = (
    "item", "description", "product", "pack", "size", "unit", "count", "price", "cost", "currency", "must_list",
    "needed_by",
)  # fmt: skip
HEADER = ",".join(COLUMNS)
LONGEST_NAME = 60
# Names that some systems keep for devices.
KEPT_NAMES = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))}


class Case(NamedTuple):
    """What all letters of an order share: the items by name, the week, where to deliver, and the words."""

    items: Mapping[str, OrderItem]
    week: WeekAtAGlance
    deliver_to: str
    words: Catalogue


def supplier_files(db: duckdb.DuckDBPyConnection, words: Catalogue = ENGLISH) -> dict[str, str]:
    """File name to text: `<slug>.csv` and `<slug>.txt` for each supplier that gets an order or is asked first.

    What the maker is to be asked about first stands in the letter as a question, and not in the list.
    """
    known = {row.supplier: row for row in read_rows(db, Supplier, "suppliers")}
    place = db.execute("select deliver_to from run").fetchall()[0][0]
    case = Case({row.item: row for row in read_rows(db, OrderItem, "order_items")}, read_week(db), place, words)
    orders = by_supplier(read_rows(db, OrderLine, "order"))
    names = file_names(part.supplier for part in orders)
    files = {}
    for part in orders:
        name = names[part.supplier]
        today = [line for line in part.lines if not line.ask_first]
        files[f"{name}.csv"] = as_csv(today, case)
        files[f"{name}.txt"] = letter(part, known.get(part.supplier), f"{case.week.as_of}-{name}", case)
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


def as_csv(lines: Iterable[OrderLine], case: Case) -> str:
    """The list of one supplier, with the columns `COLUMNS`."""
    written = io.StringIO()
    writer = csv.writer(written, lineterminator="\n")
    writer.writerow(COLUMNS)
    for line in lines:
        row = case.items[line.item]
        cells = (line.item, row.title, line.product or "", line.pack)
        figures = (plain(line.size), line.unit, line.pack_count, plain(line.price), plain(line.cost))
        rest = (case.week.currency, line.needs or "", row.wanted_by.isoformat())
        writer.writerow([harmless(cell) for cell in (*cells, *figures, *rest)])
    return written.getvalue()


def letter(part: SupplierOrder, supplier: Supplier | None, reference: str, case: Case) -> str:
    """The order as a person would write it to a supplier: what, how many, what it must list, the sum, where, by when.

    Begins with a question instead where there is nothing to order before it is answered.
    """
    words, week = case.words, case.week
    today = [line for line in part.lines if not line.ask_first]
    asked = [line for line in part.lines if line.ask_first]
    kind = "letter.title" if today else "letter.question_title"
    name, fleet = clean(part.supplier), clean(week.fleet_name)
    lines = [words[kind].format(fleet=fleet, day=day(week.as_of, words), reference=reference)]
    if supplier and supplier.email:
        lines.append(words["letter.to"].format(email=clean(supplier.email)))
    if supplier and supplier.account:
        lines.append(words["letter.account"].format(account=clean(supplier.account)))
    if today:
        lines.append(words["letter.reference"].format(reference=reference))
        lines.append(words["letter.deliver_to"].format(place=clean(case.deliver_to) or fleet))
    lines += ["", words["letter.dear"].format(supplier=name) if name else words["letter.dear_nobody"], ""]
    if today:
        lines += _ordered(today, case)
    if asked:
        lines += _asked(asked, case)
    lines += [words["letter.confirm" if today else "letter.answer"], "", words["letter.regards"], fleet, ""]
    return "\n".join(_folded(line) for line in lines).replace("\u00a0", " ")


def _ordered(today: Sequence[OrderLine], case: Case) -> list[str]:
    words, currency = case.words, case.week.currency
    lines = [words["letter.please"], ""]
    for number, line in enumerate(today, 1):
        lines += _letter_line(number, line, case)
    total = sum((line.cost for line in today), Decimal(0))
    return [*lines, words["letter.total"].format(money=money(total, words, currency=currency)), ""]


def _asked(asked: Sequence[OrderLine], case: Case) -> list[str]:
    words = case.words
    lines = [words["letter.ask"], ""]
    for line in asked:
        lines += [
            "  -  " + _what("letter.ask_line", line, case),
            "     " + words["letter.ask_tokens"].format(tokens=listed(line.not_listed or "")), "",
        ]  # fmt: skip
    return lines


def _what(key: str, line: OrderLine, case: Case) -> str:
    size = amount(line.size, case.words, unit=clean(line.unit))
    product = clean(line.product or case.items[line.item].title)
    return case.words[key].format(count=line.pack_count, product=product, pack=clean(line.pack), size=size)


def _letter_line(number: int, line: OrderLine, case: Case) -> list[str]:
    words, currency, row = case.words, case.week.currency, case.items[line.item]
    said = []
    if line.product:
        said.append(words["letter.for"].format(title=clean(row.title)))
    if line.needs:
        said.append(words["letter.must_list"].format(tokens=listed(line.needs)))
    if line.not_listed and not line.confirmed:
        said.append(words["letter.not_listed"].format(tokens=listed(line.not_listed)))
    said.append(_wanted_by(row, case))
    each, cost = money(line.price, words, currency=currency), money(line.cost, words, currency=currency)
    said.append(words["letter.price"].format(each=each, cost=cost))
    return [f"{number:3}. {_what('letter.line', line, case)}", *(f"     {text}" for text in said), ""]


def _wanted_by(row: OrderItem, case: Case) -> str:
    words = case.words
    if row.runs_out_on and row.runs_out_on <= case.week.as_of:
        return words["letter.wanted_now"]
    key = "letter.wanted_soon" if row.wanted_by < row.arrives_on else "letter.wanted"
    return words[key].format(day=day(row.wanted_by, words), days=counted("days", row.lead_time_days, words))


def listed(tokens: str) -> str:
    """Tokens with `;` between, as a person writes them in a letter."""
    return ", ".join(part for token in tokens.split(";") if (part := clean(token)))


def _folded(line: str) -> str:
    indent = " " * (len(line) - len(line.lstrip()))
    wrapped = textwrap.wrap(line, WIDTH, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)
    return "\n".join(wrapped)
