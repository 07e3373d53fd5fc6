"""The order as a letter to the buyer: what to buy from whom, what to ask first, and each supplier's letter to pass on.

It goes to those whom the settings name under `[mail] order`, never to a supplier: the buyer checks the shelf, then
sends each supplier its own letter, which stands in the text and is attached as it was written into `orders/`.
"""

from collections.abc import Mapping

import duckdb

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.letters.mail import WORKBOOK_TYPE, Attachment, Letter, inline, wrap
from fleetreport.letters.pictures import litres_picture
from fleetreport.pages.frame import left_for_filling, page_environment, plain_environment
from fleetreport.pages.order_page import arrange
from fleetreport.report.amounts import money
from fleetreport.report.cautions import cautions
from fleetreport.report.sentences import counted

LATE_SHOWN = 20  # the page and the workbook have them all


def order_letter(
    db: duckdb.DuckDBPyConnection, orders: Mapping[str, str], workbook: bytes, words: Catalogue = ENGLISH
) -> Letter:
    """The buyer's letter; `orders` are the suppliers' letters and lists by file name, `workbook` the week's."""
    page = arrange(db, words, with_chart=False)
    environment = page_environment(words)
    picture = litres_picture([(row.name, [float(a) for a in row.amounts]) for row in page.bulk], page.weeks, words)
    letters = {name: text for name, text in orders.items() if name.endswith(".txt")}
    shown = {
        "page": page, "picture": picture, "letters": letters, "late_shown": LATE_SHOWN,
        "cautions": cautions(words, "order", "week"),
        "urgent": [row for row in page.late if row.is_urgent],
    }  # fmt: skip
    plain = plain_environment(words)
    plain.filters["wrap"] = left_for_filling(wrap)
    text = plain.get_template("mail_order.txt").render(shown)
    lists = [
        Attachment(name, ("text", "csv" if name.endswith(".csv") else "plain"), said.encode())
        for name, said in orders.items()
    ]
    week = page.week
    return Letter(
        report="order",
        subject=words["mail.order_subject"].format(
            fleet=week.fleet_name, week=week.iso_week, packs=counted("packs", page.summary.packs_today, words),
            cost=money(page.summary.cost_today, words, currency=week.currency),
        ).replace("\u00a0", " "),
        text=text.replace("\u00a0", " "),
        html=inline(environment.get_template("mail_order.html").render(shown)),
        attachments=(Attachment(f"week-{week.iso_week}.xlsx", WORKBOOK_TYPE, workbook), *lists),
        pictures=(picture,) if picture else (),
    )  # fmt: skip
