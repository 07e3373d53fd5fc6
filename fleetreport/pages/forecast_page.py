"""The page of the forecast: the spend to come, budget and outcome, repairs, accruals, cost of use, for the accountant.

`forecast_page` reads the money tables and lays them out by `forecast.html`. Every figure is a cell of one of those
tables; nothing is reckoned here but order. `forecast_charts.py` draws; a table under each chart holds its figures.
"""

from collections.abc import Sequence
from typing import NamedTuple

import duckdb
from markupsafe import Markup

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.pages.forecast_charts import curves_chart, months_chart
from fleetreport.pages.frame import natural_order, page_environment, styled
from fleetreport.report.cautions import cautions
from fleetreport.report.money_rows import (
    Accrual,
    AccrualSum,
    BudgetRow,
    ClassCosts,
    ClassRepairs,
    CostPerUse,
    CurvePoint,
    ForecastFacts,
    ForecastTotal,
    PriceRule,
    Replacement,
    VehicleMonth,
    WarrantyWork,
)
from fleetreport.report.moved import WhatMoved, moved_in_a_line, what_moved
from fleetreport.report.report_rows import read_rows

ACCRUALS_SHOWN = 15
MONTHS_OUT_SHOWN = 15
WARRANTY_SHOWN = 50


class Year(NamedTuple):
    """A financial year as far as the forecast reaches into it: its months and their sum."""

    name: str
    months: list[ForecastTotal]
    total: ForecastTotal


class ForecastPage(NamedTuple):
    """Everything that `forecast.html` lays out."""

    facts: ForecastFacts
    whole: ForecastTotal | None
    years: list[Year]
    centres: list[ForecastTotal]
    categories: list[ForecastTotal]
    budget: list[BudgetRow]
    budget_total: BudgetRow | None
    moved: WhatMoved
    accruals: list[Accrual]
    major: list[Accrual]
    accrual_sums: list[AccrualSum]
    classes: list[ClassRepairs]
    vehicle_months: list[VehicleMonth]
    vehicle_months_out: int
    class_costs: list[ClassCosts]
    outrunners: list[CostPerUse]
    warranty: list[WarrantyWork]
    replacements: list[Replacement]
    prices: list[PriceRule]
    moved_said: str
    has_budget: bool
    months_chart: Markup
    curves_chart: Markup


def forecast_page(db: duckdb.DuckDBPyConnection, words: Catalogue = ENGLISH) -> str:
    """The page as HTML text, to be written as UTF-8; the same tables give the same text.

    Raises duckdb.Error for a missing table or column.
    """
    page = _arrange(db, words)
    return page_environment(words).get_template("forecast.html").render(
        page=page, facts=page.facts, **styled("_style.css"), cautions=cautions(words, "money"),
        warranty_shown=WARRANTY_SHOWN,
    )  # fmt: skip


def _arrange(db: duckdb.DuckDBPyConnection, words: Catalogue) -> ForecastPage:
    facts = read_rows(db, ForecastFacts, "forecast_facts")[0]
    totals = read_rows(db, ForecastTotal, "forecast_totals")
    months = sorted(_level(totals, "month"), key=lambda row: row.month or "")
    years = [
        Year(total.financial_year or "", [m for m in months if m.financial_year == total.financial_year], total)
        for total in sorted(_level(totals, "year"), key=lambda row: row.financial_year or "")
    ]
    # A large fleet has tens of thousands of rows of each; what is shown is a few.
    shown = f"select accrued from accrual order by accrued desc limit {ACCRUALS_SHOWN}"
    largest = f"accrued >= (select min(accrued) from ({shown}))"
    out = read_rows(db, VehicleMonth, "vehicle_cost_months", where="cost_is_out")
    budget_total = read_rows(db, BudgetRow, "budget_total")
    whole = _level(totals, "all")
    moved = what_moved(db)
    return ForecastPage(
        facts=facts,
        whole=whole[0] if whole else None,
        years=years,
        centres=sorted(_level(totals, "cost centre"), key=lambda row: natural_order(row.cost_centre or "")),
        categories=sorted(_level(totals, "category"), key=lambda row: -row.total),
        budget=sorted(read_rows(db, BudgetRow, "budget"), key=lambda row: natural_order(row.cost_centre or "")),
        budget_total=budget_total[0] if budget_total else None,
        moved=moved,
        accruals=sorted(
            read_rows(db, Accrual, "accrual", where=largest),
            key=lambda row: (-row.accrued, natural_order(row.vehicle_id), row.task),
        )[:ACCRUALS_SHOWN],
        major=read_rows(db, Accrual, "accrual", where="treatment = 'major'"),
        accrual_sums=read_rows(db, AccrualSum, "accrual_summary"),
        classes=read_rows(db, ClassRepairs, "class_repairs"),
        vehicle_months=sorted(
            sorted(out, key=lambda row: natural_order(row.vehicle_id)), key=lambda row: row.month, reverse=True
        )[:MONTHS_OUT_SHOWN],
        vehicle_months_out=len(out),
        class_costs=read_rows(db, ClassCosts, "class_costs"),
        outrunners=sorted(
            read_rows(db, CostPerUse, "cost_per_use", where="outruns"),
            key=lambda row: (row.chance_pct, natural_order(row.vehicle_id)),
        ),
        warranty=read_rows(db, WarrantyWork, "warranty_work", ("done_on",)),
        replacements=sorted(read_rows(db, Replacement, "replacement"), key=lambda row: natural_order(row.vehicle_id)),
        prices=read_rows(db, PriceRule, "price_rules"),
        moved_said=moved_in_a_line(moved, facts.currency, words),
        has_budget=any(row.budget is not None for row in totals),
        months_chart=months_chart(months, facts, words),
        curves_chart=curves_chart(read_rows(db, CurvePoint, "repair_curve"), facts, words),
    )


def _level(totals: Sequence[ForecastTotal], level: str) -> list[ForecastTotal]:
    return [row for row in totals if row.level == level]
