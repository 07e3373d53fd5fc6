"""The rows that the forecast's page and workbook are made from, as typed tuples; `report_rows.read_rows` reads them.

Each NamedTuple is one row of the table named beside it. Money is in the run's currency, in its minor unit, without tax
unless said; `vehicle_class` is the column `class`. Nothing here knows how a row is shown.
"""

from datetime import date
from decimal import Decimal
from typing import NamedTuple


class ForecastFacts(NamedTuple):
    """`forecast_facts`, one row: whose money, by which rates, and what the forecast does not hold."""

    fleet_name: str
    as_of: date
    currency: str
    money_digits: int
    distance_unit: str
    months: int
    last_on: date
    financial_year: str
    labour_rate: Decimal
    tax_rate: Decimal
    inflation_per_year: Decimal
    discount_rate: Decimal
    unpriced_items: int
    unpriced_lines: int
    unknown_paid: Decimal
    coming_vehicles: int
    accrued: Decimal
    accrued_major: Decimal
    warranty_paid: Decimal
    paid_pct: Decimal | None


class ForecastTotal(NamedTuple):
    """`forecast_totals`: a sum of printed rows and the band of the sum; None in a column means all of it."""

    level: str
    financial_year: str | None
    month: str | None
    cost_centre: str | None
    category: str | None
    scheduled: Decimal
    unscheduled: Decimal
    total: Decimal
    p10: Decimal
    p90: Decimal
    tax: Decimal
    mean: Decimal
    budget: Decimal | None


class MonthCompared(NamedTuple):
    """`month_compared`: the kept week about a month ago, and the months that its forecast and ours both hold whole."""

    iso_week: str
    as_of: date
    same_currency: bool
    first_month: str | None
    last_month: str | None
    months: int


class Moved(NamedTuple):
    """`moved_since_last_month`: what a forecast moved by, at a level (all, cost centre, line)."""

    level: str
    cost_centre: str | None
    category: str | None
    total_before: Decimal
    total: Decimal
    change: Decimal
    paid_between: Decimal | None
    outcome_before: Decimal | None
    outcome: Decimal | None
    outcome_change: Decimal | None


class BudgetRow(NamedTuple):
    """`budget`, `budget_total`: a cost centre (None: all) in the year; the variance is the sum of its four parts."""

    cost_centre: str | None
    financial_year: str
    year_until: date
    budget_year: Decimal | None
    budget_to_date: Decimal | None
    planned_to_date: Decimal
    unplanned_to_date: Decimal
    paid_to_date: Decimal
    variance_to_date: Decimal | None
    volume: Decimal | None
    price: Decimal | None
    unplanned_work: Decimal | None
    timing: Decimal | None
    forecast_rest: Decimal
    outcome: Decimal
    outcome_p10: Decimal
    outcome_p90: Decimal
    variance_year: Decimal | None
    is_whole: bool


class Accrual(NamedTuple):
    """`accrual`: a vehicle and a task, how much of its next doing is used up; `cost` is of one doing."""

    vehicle_id: str
    task: str
    title: str
    cost_centre: str
    category: str
    cost: Decimal
    used_by: str
    used_pct: Decimal
    used_share: Decimal
    accrued: Decimal
    last_done_on: date | None
    treatment: str


class AccrualSum(NamedTuple):
    """`accrual_summary`: a cost centre, a category and a treatment."""

    cost_centre: str
    category: str
    treatment: str
    tasks: int
    cost: Decimal
    accrued: Decimal


class ClassRepairs(NamedTuple):
    """`class_repairs`: a class's record of repairs; `power` 1 means that no trend is counted."""

    vehicle_class: str
    measure: str
    vehicles: int
    use_watched: float
    repairs: int
    cost_now: float
    trend_score: float
    trend_p: float
    power: float
    fence: float | None
    above_fence: int


class CurvePoint(NamedTuple):
    """`repair_curve`: mean cumulative repair cost a vehicle at a use (km, h or days)."""

    vehicle_class: str
    measure: str
    used: float
    at_risk: int
    mean_cost: float
    error: float


class CostPerUse(NamedTuple):
    """`cost_per_use`: a vehicle over the last 365 days beside its class."""

    vehicle_id: str
    title: str | None
    vehicle_class: str
    cost_centre: str
    planned: Decimal
    unplanned: Decimal
    paid: Decimal
    distance: Decimal | None
    distance_unit: str
    hours: Decimal | None
    cost_per_distance: Decimal | None
    class_cost_per_distance: Decimal | None
    cost_per_hour: Decimal | None
    class_cost_per_hour: Decimal | None
    repairs: int
    expected_repairs: Decimal
    chance_pct: Decimal
    outruns: bool


class ClassCosts(NamedTuple):
    """`class_costs`: a class over the last 365 days, and the months beyond its limits."""

    vehicle_class: str
    vehicles: int
    planned: Decimal
    unplanned: Decimal
    paid: Decimal
    distance: Decimal | None
    distance_unit: str
    hours: Decimal | None
    cost_per_distance: Decimal | None
    cost_per_hour: Decimal | None
    months_out: str
    repair_months_out: str


class VehicleMonth(NamedTuple):
    """`vehicle_cost_months`: a vehicle in a month beside the limits that its own months give."""

    vehicle_id: str
    vehicle_class: str
    month: str
    measure: str
    use: Decimal | None
    paid: Decimal
    cost_per_use: Decimal | None
    cost_mean: Decimal | None
    cost_low: Decimal | None
    cost_high: Decimal | None
    cost_is_out: bool


class WarrantyWork(NamedTuple):
    """`warranty_work`: a repair that was paid for inside the maker's warranty; distances in the vehicle's unit."""

    vehicle_id: str
    cost_centre: str
    done_on: date
    description: str | None
    invoice: str | None
    paid: Decimal
    warranty_until: date | None
    warranty_distance: Decimal | None
    distance: Decimal | None
    distance_unit: str
    file: str
    line: int


class Replacement(NamedTuple):
    """`replacement`: a vehicle with a price; whether a further year costs more than its life so far did a year."""

    vehicle_id: str
    title: str | None
    vehicle_class: str
    age_years: int
    price: Decimal
    value_now: Decimal
    annual_cost: Decimal
    loss_of_value: Decimal
    maintenance_ahead: Decimal
    next_year_cost: Decimal
    past_cheapest: bool


class PriceRule(NamedTuple):
    """`price_rules`: how the prices of a kind grow; `factor_end` is what a price is multiplied by on the last day."""

    kind: str
    per_year: Decimal
    series: str | None
    base_month: str | None
    last_month: str | None
    factor_end: Decimal
