"""The accountant's letter: the spend ahead by month and cost centre, budget and outcome, with the workbook attached.

Made of the tables that forecast.html is made of: plain text that stands by itself, and the same as HTML of plain
tables. It goes to those whom the settings name under `[mail] forecast`.
"""

from typing import Any

import duckdb

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.letters.mail import WORKBOOK_TYPE, Attachment, Letter, inline, wrap
from fleetreport.letters.pictures import months_picture
from fleetreport.pages.frame import left_for_filling, natural_order, page_environment, plain_environment
from fleetreport.report.cautions import cautions
from fleetreport.report.money_rows import BudgetRow, ForecastFacts, ForecastTotal
from fleetreport.report.moved import moved_in_a_line, what_moved
from fleetreport.report.report_rows import read_rows
from fleetreport.report.sentences import day, number


def forecast_letter(db: duckdb.DuckDBPyConnection, workbook: bytes, words: Catalogue = ENGLISH) -> Letter:
    """The letter with forecast.xlsx attached; the same tables give the same letter.

    Raises duckdb.Error for a missing table or column.
    """
    facts = read_rows(db, ForecastFacts, "forecast_facts")[0]
    totals = read_rows(db, ForecastTotal, "forecast_totals")
    whole = next((row for row in totals if row.level == "all"), None)
    budget = read_rows(db, BudgetRow, "budget_total")
    moved = what_moved(db)
    months = sorted((row for row in totals if row.level == "month"), key=lambda row: row.month or "")
    picture = months_picture(months, facts, words)
    shown: dict[str, Any] = {
        "moved": moved, "moved_said": moved_in_a_line(moved, facts.currency, words),
        "facts": facts, "whole": whole, "budget": budget[0] if budget else None, "cautions": cautions(words, "money"),
        "months": months, "picture": picture,
        "centres": sorted((row for row in totals if row.level == "cost centre"),
                          key=lambda row: natural_order(row.cost_centre or "")),
    }  # fmt: skip
    html = page_environment(words).get_template("mail_forecast.html").render(shown)
    plain = plain_environment(words)
    plain.filters["wrap"] = left_for_filling(wrap)
    text = plain.get_template("mail_forecast.txt").render(shown)
    total = number(whole.total, words) if whole else "0"
    return Letter(
        report="forecast",
        subject=words["forecast_mail.subject"].format(
            fleet=facts.fleet_name, total=total, currency=facts.currency, day=day(facts.last_on, words)
        ).replace("\u00a0", " "),
        text=text.replace("\u00a0", " "),
        html=inline(html),
        attachments=(Attachment(f"forecast-{facts.as_of.isoformat()}.xlsx", WORKBOOK_TYPE, workbook),),
        pictures=(picture,) if picture else (),
    )  # fmt: skip
