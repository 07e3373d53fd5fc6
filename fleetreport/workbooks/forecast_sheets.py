"""What the sheets of the forecast's workbook hold, as data: tables, columns, formulas.

A formula refers to cells of its own row (`{r}` is its number), to names of the sheet Notes (tax_rate, money_digits,
financial_year) and to the named columns of the sheet Forecast. `forecast_book.py` writes them.
"""

from typing import NamedTuple


class Formula(NamedTuple):
    """A formula of a row, with `{r}` for its own row number; the value stands in the database's column."""

    text: str


class Field(NamedTuple):
    """A column of a sheet: its heading (`sheet.` in the catalogue), the database's column, how it is shown, its width,
    and its formula if it has one. One that `warns` stands out where it is above 0, or has a word. `coded` is where the
    catalogue has the words of its codes.

    Kinds: text, date, money, per_use, count, share, percent.
    """

    heading: str
    column: str
    kind: str
    width: int = 14
    formula: Formula | None = None
    is_summed: bool = False
    warns: bool = False
    coded: str = ""


class Plan(NamedTuple):
    """A sheet: its title (`sheet_title.` in the catalogue), the table behind it in order, its columns.

    Summed columns get a total.
    """

    title: str
    source: str
    fields: tuple[Field, ...]

    @property
    def in_data(self) -> str:
        """The table of data/ that its rows come from."""
        return self.source.split()[3]


def _forecast_sum(column: str, *keys: str) -> Formula:
    """Sum of a named column of the sheet Forecast over its rows that have these keys.

    EXACT, since SUMIFS and `=` take "North" and "north" for the same, and SUMIFS `*`, `?`, `~`, `<` and more than 255
    characters for something else.
    """
    return Formula(f"SUMPRODUCT({','.join(f'--EXACT({key})' for key in keys)},{column})")


BY_MONTH = "spend_month,$A{r}"
BY_CENTRE = "spend_centre,$A{r}"
BY_CATEGORY = "spend_category,$A{r}"


def _sums(keys: str) -> tuple[Field, ...]:
    return (
        Field("planned", "scheduled", "money", 14, _forecast_sum("spend_planned", keys), True),
        Field("unplanned", "unscheduled", "money", 14, _forecast_sum("spend_unplanned", keys), True),
        Field("total", "total", "money", 14, Formula("B{r}+C{r}"), True),
        Field("1_in_10_below", "p10", "money"),
        Field("1_in_10_above", "p90", "money"),
        Field("tax_on_top", "tax", "money", 14, _forecast_sum("spend_tax", keys), True),
    )


BUDGET = Field("budget_of_the_months", "budget", "money", 14, is_summed=True)
TEXT_WIDE = 30
# A month's cost of use beside its limits.
MONTH_FIELDS = (
    Field("month", "month", "text", 10),
    Field("use", "use", "count", 12),
    Field("measure", "measure", "text", 18, coded="measured_in."),
    Field("paid", "paid", "money"),
    Field("cost_a_unit", "cost_per_use", "per_use", 12),
    Field("mean", "cost_mean", "per_use", 10),
    Field("low_limit", "cost_low", "per_use", 10),
    Field("high_limit", "cost_high", "per_use", 10),
    Field("cost_is_out", "cost_is_out", "text", 10, warns=True),
)
PLANS = (
    Plan(
        "forecast",
        "select * from forecast order by month, cost_centre, category",
        (
            Field("month", "month", "text", 10),
            Field("cost_centre", "cost_centre", "text"),
            Field("category", "category", "text"),
            Field("planned", "scheduled", "money", is_summed=True),
            Field("unplanned", "unscheduled", "money", is_summed=True),
            Field("total", "total", "money", 14, Formula("D{r}+E{r}"), True),
            Field("1_in_10_below", "p10", "money"),
            Field("1_in_10_above", "p90", "money"),
            Field("tax_on_top", "tax", "money", 14, Formula("ROUND(F{r}*tax_rate,money_digits)"), True),
            Field("financial_year", "financial_year", "text", 11),
        ),
    ),
    Plan(
        "months",
        "select * from forecast_totals where level = 'month' order by month",
        (Field("month", "month", "text", 10), *_sums(BY_MONTH), BUDGET),
    ),
    Plan(
        "cost_centres",
        "select * from forecast_totals where level = 'cost centre' order by cost_centre",
        (Field("cost_centre", "cost_centre", "text", 18), *_sums(BY_CENTRE), BUDGET),
    ),
    Plan(
        "categories",
        "select * from forecast_totals where level = 'category' order by category",
        (Field("category", "category", "text", 18), *_sums(BY_CATEGORY)),
    ),
    Plan(
        "budget",
        "select * from budget order by cost_centre",
        (
            Field("cost_centre", "cost_centre", "text", 18),
            Field("budget_year", "budget_year", "money", is_summed=True),
            Field("budget_to_date", "budget_to_date", "money", is_summed=True),
            Field("paid_planned", "planned_to_date", "money", is_summed=True),
            Field("paid_unplanned", "unplanned_to_date", "money", is_summed=True),
            Field("paid_to_date", "paid_to_date", "money", 14, Formula("D{r}+E{r}"), True),
            Field("variance_to_date", "variance_to_date", "money", 14, Formula("F{r}-C{r}"), True, True),
            Field("of_it_volume", "volume", "money", is_summed=True),
            Field("price", "price", "money", is_summed=True),
            Field("unplanned_work", "unplanned_work", "money", is_summed=True),
            Field("timing", "timing", "money", 14, Formula("G{r}-H{r}-I{r}-J{r}"), True),
            Field(
                "still_to_come",
                "forecast_rest",
                "money",
                14,
                _forecast_sum("spend_total", BY_CENTRE, "spend_year,financial_year"),
                True,
            ),
            Field("outcome", "outcome", "money", 14, Formula("F{r}+L{r}"), True),
            Field("1_in_10_below", "outcome_p10", "money"),
            Field("1_in_10_above", "outcome_p90", "money"),
            Field("outcome_less_budget", "variance_year", "money", 14, Formula("M{r}-B{r}"), True, True),
        ),
    ),
    Plan(
        "moved",
        "select * from moved_since_last_month where level = 'line' order by cost_centre, category",
        (
            Field("cost_centre", "cost_centre", "text", 18),
            Field("category", "category", "text", 18),
            Field("forecast_then", "total_before", "money", is_summed=True),
            Field("forecast_now", "total", "money", is_summed=True),
            Field("change", "change", "money", 14, Formula("D{r}-C{r}"), True),
        ),
    ),
    Plan(
        "used_up_not_paid",
        "select * from accrual order by vehicle_id, task",
        (
            Field("vehicle", "vehicle_id", "text", 12),
            Field("task", "title", "text", TEXT_WIDE),
            Field("cost_centre", "cost_centre", "text"),
            Field("category", "category", "text"),
            Field("treatment", "treatment", "text", 14, coded="treatment."),
            Field("last_done_on", "last_done_on", "date", 12),
            Field("used_up_by", "used_by", "text", 16, coded="used_by."),
            Field("part_run", "used_share", "share", 12),
            Field("cost_of_one_doing", "cost", "money", is_summed=True),
            Field("used_up", "accrued", "money", 14, Formula("ROUND(I{r}*MIN(1,H{r}),money_digits)"), True),
        ),
    ),
    Plan(
        "cost_of_use",
        "select * from cost_per_use order by class, vehicle_id",
        (
            Field("vehicle", "vehicle_id", "text", 12),
            Field("class", "class", "text"),
            Field("cost_centre", "cost_centre", "text"),
            Field("planned", "planned", "money", is_summed=True),
            Field("unplanned", "unplanned", "money", is_summed=True),
            Field("paid_365_days", "paid", "money", 14, Formula("D{r}+E{r}"), True),
            Field("distance", "distance", "count", 12),
            Field("unit", "distance_unit", "text", 6),
            Field("hours", "hours", "count", 12),
            Field("cost_a_unit", "cost_per_distance", "per_use", 12, Formula('IF(N(G{r})=0,"",F{r}/G{r})')),
            Field("class_a_unit", "class_cost_per_distance", "per_use", 12),
            Field("cost_an_hour", "cost_per_hour", "per_use", 12, Formula('IF(N(I{r})=0,"",F{r}/I{r})')),
            Field("class_an_hour", "class_cost_per_hour", "per_use", 12),
            Field("repairs", "repairs", "count", 9),
            Field("expected", "expected_repairs", "per_use", 10),
            Field("chance", "chance_pct", "per_use", 10),
            Field("outruns_its_class", "outruns", "text", 10, warns=True),
        ),
    ),
    Plan(
        "class_months",
        "select * from class_cost_months order by class, month",
        (
            Field("class", "class", "text"),
            *MONTH_FIELDS,
            Field("repairs", "repairs", "count", 9),
            Field("low_limit_repairs", "repairs_low", "per_use", 10),
            Field("high_limit_repairs", "repairs_high", "per_use", 10),
            Field("repairs_are_out", "repairs_are_out", "text", 10, warns=True),
        ),
    ),
    Plan(
        "vehicle_months",
        "select * from vehicle_cost_months order by vehicle_id, month limit 1000000",
        (Field("vehicle", "vehicle_id", "text", 12), Field("class", "class", "text"), *MONTH_FIELDS),
    ),
    Plan(
        "inside_warranty",
        "select * from warranty_work order by done_on, file, line",
        (
            Field("vehicle", "vehicle_id", "text", 12),
            Field("done_on", "done_on", "date", 12),
            Field("work", "description", "text", 40),
            Field("invoice", "invoice", "text"),
            Field("paid", "paid", "money", is_summed=True),
            Field("at", "distance", "count", 12),
            Field("unit", "distance_unit", "text", 6),
            Field("warranty_until", "warranty_until", "date", 12),
            Field("warranty_distance", "warranty_distance", "count", 12),
            Field("file", "file", "text", 40),
            Field("line", "line", "count", 8),
        ),
    ),
    Plan(
        "keep_or_replace",
        "select * from replacement order by vehicle_id",
        (
            Field("vehicle", "vehicle_id", "text", 12),
            Field("class", "class", "text"),
            Field("years", "age_years", "count", 8),
            Field("price", "price", "money"),
            Field("value_now", "value_now", "money"),
            Field("yearly_cost_so_far", "annual_cost", "money"),
            Field("loss_and_interest_ahead", "loss_of_value", "money"),
            Field("maintenance_ahead", "maintenance_ahead", "money"),
            Field("next_year", "next_year_cost", "money", 14, Formula("G{r}+H{r}")),
            Field("past_its_cheapest_age", "past_cheapest", "text", 12, warns=True),
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
