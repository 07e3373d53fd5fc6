"""What the sheets of the forecast's workbook hold, as data: tables, columns, formulas.

A formula refers to cells of its own row (`{r}` is its number), to names of the sheet Notes (tax_rate, money_digits,
financial_year) and to the named columns of the sheet Forecast. `forecast_book.py` writes them.
"""

from typing import NamedTuple


class Formula(NamedTuple):
    """A formula of a row, with `{r}` for its own row number; the value stands in the database's column."""

    text: str


class Field(NamedTuple):
    """A column of a sheet: its heading, the database's column, how it is shown, its width, and its formula if it has
    one.

    Kinds: text, date, money, per_use, count, share, percent.
    """

    heading: str
    column: str
    kind: str
    width: int = 14
    formula: Formula | None = None
    is_summed: bool = False


class Plan(NamedTuple):
    """A sheet: its title, the table (with the order of its rows) behind it.

    And its columns. Summed columns get a total.
    """

    title: str
    source: str
    fields: tuple[Field, ...]


def _forecast_sum(column: str, keys: str) -> Formula:
    """Sum of a named column of the sheet Forecast over its rows that have these keys."""
    return Formula(f"SUMIFS({column},{keys})")


BY_MONTH = "spend_month,$A{r}"
BY_CENTRE = 'spend_centre,IF($A{r}="","=",$A{r})'
BY_CATEGORY = 'spend_category,IF($A{r}="","=",$A{r})'


def _sums(keys: str) -> tuple[Field, ...]:
    return (
        Field("Planned", "scheduled", "money", 14, _forecast_sum("spend_planned", keys), True),
        Field("Unplanned", "unscheduled", "money", 14, _forecast_sum("spend_unplanned", keys), True),
        Field("Total", "total", "money", 14, Formula("B{r}+C{r}"), True),
        Field("1 in 10 below", "p10", "money"),
        Field("1 in 10 above", "p90", "money"),
        Field("Tax on top", "tax", "money", 14, _forecast_sum("spend_tax", keys), True),
    )


TEXT_WIDE = 30
# A month's cost of use beside its limits.
MONTH_FIELDS = (
    Field("Month", "month", "text", 10),
    Field("Use", "use", "count", 12),
    Field("Measure", "measure", "text", 10),
    Field("Paid", "paid", "money"),
    Field("Cost a unit", "cost_per_use", "per_use", 12),
    Field("Mean", "cost_mean", "per_use", 10),
    Field("Low limit", "cost_low", "per_use", 10),
    Field("High limit", "cost_high", "per_use", 10),
    Field("Cost is out", "cost_is_out", "text", 10),
)
PLANS = (
    Plan(
        "Forecast",
        "select * from forecast order by month, cost_centre, category",
        (
            Field("Month", "month", "text", 10),
            Field("Cost centre", "cost_centre", "text"),
            Field("Category", "category", "text"),
            Field("Planned", "scheduled", "money", is_summed=True),
            Field("Unplanned", "unscheduled", "money", is_summed=True),
            Field("Total", "total", "money", 14, Formula("D{r}+E{r}"), True),
            Field("1 in 10 below", "p10", "money"),
            Field("1 in 10 above", "p90", "money"),
            Field("Tax on top", "tax", "money", 14, Formula("ROUND(F{r}*tax_rate,money_digits)"), True),
            Field("Financial year", "financial_year", "text", 11),
        ),
    ),
    Plan(
        "Months",
        "select * from forecast_totals where level = 'month' order by month",
        (Field("Month", "month", "text", 10), *_sums(BY_MONTH)),
    ),
    Plan(
        "Cost centres",
        "select * from forecast_totals where level = 'cost centre' order by cost_centre",
        (Field("Cost centre", "cost_centre", "text", 18), *_sums(BY_CENTRE)),
    ),
    Plan(
        "Categories",
        "select * from forecast_totals where level = 'category' order by category",
        (Field("Category", "category", "text", 18), *_sums(BY_CATEGORY)),
    ),
    Plan(
        "Budget",
        "select * from budget order by cost_centre",
        (
            Field("Cost centre", "cost_centre", "text", 18),
            Field("Budget, year", "budget_year", "money", is_summed=True),
            Field("Budget to date", "budget_to_date", "money", is_summed=True),
            Field("Paid, planned", "planned_to_date", "money", is_summed=True),
            Field("Paid, unplanned", "unplanned_to_date", "money", is_summed=True),
            Field("Paid to date", "paid_to_date", "money", 14, Formula("D{r}+E{r}"), True),
            Field("Variance to date", "variance_to_date", "money", 14, Formula("F{r}-C{r}"), True),
            Field("of it volume", "volume", "money", is_summed=True),
            Field("price", "price", "money", is_summed=True),
            Field("unplanned work", "unplanned_work", "money", is_summed=True),
            Field("timing", "timing", "money", 14, Formula("G{r}-H{r}-I{r}-J{r}"), True),
            Field(
                "Still to come",
                "forecast_rest",
                "money",
                14,
                Formula('SUMIFS(spend_total,spend_centre,IF($A{r}="","=",$A{r}),spend_year,financial_year)'),
                True,
            ),
            Field("Outcome", "outcome", "money", 14, Formula("F{r}+L{r}"), True),
            Field("1 in 10 below", "outcome_p10", "money"),
            Field("1 in 10 above", "outcome_p90", "money"),
            Field("Outcome less budget", "variance_year", "money", 14, Formula("M{r}-B{r}"), True),
        ),
    ),
    Plan(
        "Used up, not paid",
        "select * from accrual order by vehicle_id, task",
        (
            Field("Vehicle", "vehicle_id", "text", 12),
            Field("Task", "title", "text", TEXT_WIDE),
            Field("Cost centre", "cost_centre", "text"),
            Field("Category", "category", "text"),
            Field("Treatment", "treatment", "text", 10),
            Field("Last done on", "last_done_on", "date", 12),
            Field("Used up by", "used_by", "text", 10),
            Field("Part run", "used_share", "share", 12),
            Field("Cost of one doing", "cost", "money", is_summed=True),
            Field("Used up", "accrued", "money", 14, Formula("ROUND(I{r}*MIN(1,H{r}),money_digits)"), True),
        ),
    ),
    Plan(
        "Cost of use",
        "select * from cost_per_use order by class, vehicle_id",
        (
            Field("Vehicle", "vehicle_id", "text", 12),
            Field("Class", "class", "text"),
            Field("Cost centre", "cost_centre", "text"),
            Field("Planned", "planned", "money", is_summed=True),
            Field("Unplanned", "unplanned", "money", is_summed=True),
            Field("Paid, 365 days", "paid", "money", 14, Formula("D{r}+E{r}"), True),
            Field("Distance", "distance", "count", 12),
            Field("Unit", "distance_unit", "text", 6),
            Field("Hours", "hours", "count", 12),
            Field("Cost a unit", "cost_per_distance", "per_use", 12, Formula('IF(N(G{r})=0,"",F{r}/G{r})')),
            Field("Class, a unit", "class_cost_per_distance", "per_use", 12),
            Field("Cost an hour", "cost_per_hour", "per_use", 12, Formula('IF(N(I{r})=0,"",F{r}/I{r})')),
            Field("Class, an hour", "class_cost_per_hour", "per_use", 12),
            Field("Repairs", "repairs", "count", 9),
            Field("Expected", "expected_repairs", "per_use", 10),
            Field("Chance, %", "chance_pct", "per_use", 10),
            Field("Outruns its class", "outruns", "text", 10),
        ),
    ),
    Plan(
        "Class months",
        "select * from class_cost_months order by class, month",
        (
            Field("Class", "class", "text"),
            *MONTH_FIELDS,
            Field("Repairs", "repairs", "count", 9),
            Field("Low limit, repairs", "repairs_low", "per_use", 10),
            Field("High limit, repairs", "repairs_high", "per_use", 10),
            Field("Repairs are out", "repairs_are_out", "text", 10),
        ),
    ),
    Plan(
        "Vehicle months",
        "select * from vehicle_cost_months order by vehicle_id, month limit 1000000",
        (Field("Vehicle", "vehicle_id", "text", 12), Field("Class", "class", "text"), *MONTH_FIELDS),
    ),
    Plan(
        "Inside warranty",
        "select * from warranty_work order by done_on, file, line",
        (
            Field("Vehicle", "vehicle_id", "text", 12),
            Field("Done on", "done_on", "date", 12),
            Field("Work", "description", "text", 40),
            Field("Invoice", "invoice", "text"),
            Field("Paid", "paid", "money", is_summed=True),
            Field("At", "distance", "count", 12),
            Field("Unit", "distance_unit", "text", 6),
            Field("Warranty until", "warranty_until", "date", 12),
            Field("Warranty distance", "warranty_distance", "count", 12),
            Field("File", "file", "text", 40),
            Field("Line", "line", "count", 8),
        ),
    ),
    Plan(
        "Keep or replace",
        "select * from replacement order by vehicle_id",
        (
            Field("Vehicle", "vehicle_id", "text", 12),
            Field("Class", "class", "text"),
            Field("Years", "age_years", "count", 8),
            Field("Price", "price", "money"),
            Field("Value now", "value_now", "money"),
            Field("Yearly cost so far", "annual_cost", "money"),
            Field("Loss and interest ahead", "loss_of_value", "money"),
            Field("Maintenance ahead", "maintenance_ahead", "money"),
            Field("Next year", "next_year_cost", "money", 14, Formula("G{r}+H{r}")),
            Field("Past its cheapest age", "past_cheapest", "text", 12),
        ),
    ),
)

# Names for the columns of the sheet Forecast, without its line of totals.
SPEND_NAMES = {
    "spend_month": "A",
    "spend_centre": "B",
    "spend_category": "C",
    "spend_planned": "D",
    "spend_unplanned": "E",
    "spend_total": "F",
    "spend_tax": "I",
    "spend_year": "J",
}
