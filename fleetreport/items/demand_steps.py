"""The forecasts of unplanned use and the safety stock of a run, as tables (`demand.py` works them out).

Safety stock is what the shelf must hold beyond the expected need so that it lasts, with the chance of the service
level, until the next order arrives. Three things vary: whether planned work comes up in time (the band of its
projected day), whether an item is needed when it does (its chance), and use that no plan foresees (the errors of its
forecast); besides these the lead time, where the stock list gives its standard deviation. A fleet in which none of
them varies has none.
"""

from collections import defaultdict
from decimal import Decimal
from itertools import groupby
from operator import itemgetter
from typing import Any

import duckdb

from fleetreport.items.demand import (
    Lump,
    base_stock,
    choose_method,
    class_of_demand,
    economic_quantity,
    lead_time_variance,
)
from fleetreport.query import Step, fill_table

PERIOD_DAYS, YEAR_DAYS = 28, 365.25
UNFORESEEN = {
    "item": "varchar", "periods": "integer", "with_use": "integer", "demand_class": "varchar", "method": "varchar",
    "per_period": "double", "variance": "double", "judged": "integer", "error": "double", "bar_error": "double",
}  # fmt: skip
SAFETY = {
    "item": "varchar", "base_stock": "decimal(18, 3)", "safety": "decimal(18, 3)",
    "economic_quantity": "decimal(18, 1)",
}  # fmt: skip


def _forecast(db: duckdb.DuckDBPyConnection) -> None:
    """Make the table `unplanned_forecast`: an item with unplanned use, the method chosen and its forecast a period."""
    rows = db.execute("select item, amount from unplanned_use order by item, period_no desc").fetchall()
    made: list[list[Any]] = []
    for item, of_item in groupby(rows, itemgetter(0)):
        history = [float(amount) for _, amount in of_item]
        choice = choose_method(history)
        with_use = sum(amount > 0 for amount in history)
        numbers = [round(choice.per_period, 6), round(choice.variance, 6), choice.judged]
        errors = [None if error is None else round(error, 6) for error in (choice.error, choice.bar_error)]
        made.append([item, len(history), with_use, class_of_demand(history), choice.method, *numbers, *errors])
    fill_table(db, "unplanned_forecast", UNFORESEEN, made)


def _safety(db: duckdb.DuckDBPyConnection) -> None:
    """Make the table `safety_stock`: each item, the stock that lasts, and how much of it is beyond the expected
    need."""
    lumps: dict[str, list[Lump]] = defaultdict(list)
    planned: dict[str, float] = defaultdict(float)
    a_year: dict[str, float] = defaultdict(float)
    for item, full, quantity, chance, in_time, counts, share in db.execute(
        """select p.item, full_quantity, quantity, chance, chance_in_time, on_day <= until,
            ?::double / greatest(1, plan_until - as_of)
        from planned_use p, run order by p.item, on_day, vehicle_id, task, occurrence_no""",
        [YEAR_DAYS],
    ).fetchall():
        if chance and in_time:
            lumps[item].append(Lump(float(full), float(chance) * in_time))
        planned[item] += float(quantity) if counts else 0.0
        a_year[item] += float(quantity) * share
    made: list[list[Any]] = []
    for item, days, days_sd, whole, cost, level, ordering, holding, per_period, variance in db.execute(
        """select i.item, lead_time_days + review_days, lead_time_sd_days::double, not is_measured(unit),
            c.unit_cost::double, service_level::double, cost_of_an_order, holding_per_year,
            coalesce(per_period, 0), coalesce(variance, 0)
        from items i join item_cost c using (item) left join unplanned_forecast f using (item), run order by i.item"""
    ).fetchall():
        mean = per_period * days / PERIOD_DAYS
        expected = planned[item] + mean
        spread = lead_time_variance(expected / days, variance / PERIOD_DAYS, days, days_sd)
        stock = base_stock(lumps[item], mean, spread, level, whole)
        yearly = a_year[item] + per_period / PERIOD_DAYS * YEAR_DAYS
        at_once = economic_quantity(yearly, ordering, holding * (cost or 0))
        in_full = [Decimal(repr(round(amount, 3))) for amount in (stock, max(0.0, stock - expected))]
        made.append([item, *in_full, None if at_once is None else round(at_once, 1)])
    fill_table(db, "safety_stock", SAFETY, made)


UNPLANNED_FORECAST = Step("unplanned_forecast", ("unplanned_use",), _forecast)
SAFETY_STOCK = Step("safety_stock", ("planned_use", "unplanned_forecast", "items", "item_cost", "run"), _safety)
