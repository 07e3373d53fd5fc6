"""The money back-test on a small fleet: nothing later than its day is used, sums in the minor unit, the page."""

import csv
import re
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from conftest import WriteFleet
from simulated_spend import LAST_DAY, simulated_spend
from test_forecast import SETTINGS, VEHICLES, small_fleet

from fleetreport.trials.money_backtest import make_money_backtest
from fleetreport.trials.money_looks import Look, scores

AS_OF = date(2026, 11, 25)
READINGS = """
    vehicle_id,read_at,reading
    V1,2024-01-01,0
    V1,2026-11-25,106000
    V2,2024-01-01,0
    V2,2026-11-25,106000
"""
HISTORY = "    vehicle_id,done_on,task,kind,parts_cost,labour_cost\n" + "".join(
    f"    V1,{year}-{month:02}-05,oil,,24,120\n    V2,{year}-{month:02}-05,oil,,24,120\n"
    f"    V1,{year}-{month:02}-09,,repair,{90 + month},\n"
    for year in (2024, 2025, 2026)
    for month in range(1, 12, 2)
    if (year, month) <= (2026, 11)
)
INDEXES = """
    kind,month,index_value
    oils,2024-01-01,100
    oils,2025-09-01,104
"""


def fleet_with(write_fleet: WriteFleet, **other: str) -> Path:
    vehicles = VEHICLES.replace("2025-11-25", "2024-01-01")
    return small_fleet(
        write_fleet,
        **({"vehicles": vehicles, "readings": READINGS, "history": HISTORY, "price_indexes": INDEXES} | other),
    )


def test_nothing_later_than_its_day_is_used(write_fleet: WriteFleet, tmp_path: Path) -> None:
    """Index values of the month of the look and later, and a later retirement, change no forecast of it."""
    plain = make_money_backtest(fleet_with(write_fleet), AS_OF, tmp_path / "plain")
    assert plain.years[0].as_of == date(2025, 10, 31)
    later = INDEXES + "    oils,2025-10-01,300\n    oils,2026-06-01,900\n"
    retired = VEHICLES.replace("2025-11-25", "2024-01-01").replace("budget_per_year", "retired_on,budget_per_year")
    retired = retired.replace("2024-01-01,1000", "2024-01-01,2026-03-01,1000").replace(
        "2024-01-01,\n", "2024-01-01,,\n"
    )
    changed = make_money_backtest(
        fleet_with(write_fleet, price_indexes=later, vehicles=retired), AS_OF, tmp_path / "later"
    )
    assert [look[:6] for look in changed.months] == [look[:6] for look in plain.months]
    assert [look[:6] for look in changed.years] == [look[:6] for look in plain.years]


def test_what_is_written_adds_up_in_the_currencys_minor_unit(write_fleet: WriteFleet, tmp_path: Path) -> None:
    """Yen have no decimals (ISO 4217); every row has a cell for each heading; twelve months' money is their sum."""
    fleet = fleet_with(write_fleet, settings=SETTINGS.replace('"EUR"', '"JPY"'))
    result = make_money_backtest(fleet, AS_OF, tmp_path)
    with (tmp_path / "data" / "money_backtest.csv").open(encoding="utf-8", newline="") as file:
        heads, *rows = list(csv.reader(file))
    assert {len(row) for row in rows} == {len(heads)}
    assert (result.digits, result.currency) == (0, "JPY")
    assert all("." not in row[at] for row in rows for at in (2, 3, 4, 5, 6, 8, 9))
    paid = [int(row[heads.index("paid")]) for row in rows if row[:1] == ["2025-10-31"]]
    assert sum(paid[:12]) == paid[12]
    # From November 2025 to October 2026: 6 services of 144 each of two vehicles, and repairs of 90 and the month.
    assert paid[12] == 2 * 6 * 144 + sum(90 + month for month in (11, 1, 3, 5, 7, 9))
    page = (tmp_path / "backtest_money.html").read_text(encoding="utf-8")
    assert "default-src 'none'" in page
    assert not re.search(r"<script|<img|style=\"", page)
    assert re.search(r'<svg[^>]*role="img"[^>]*aria-labelledby="chart-looks-title', page)
    assert f"{paid[12]:,}" in page


def test_scores_by_hand() -> None:
    """Off by +10 and -30 of 200 paid: error 40 / 200, bias -20 / 200 (worked by hand); nothing paid, nothing known."""
    amounts = [(110, 100), (70, 100)]
    looks = [
        Look(AS_OF, "2026-01", *(Decimal(said) for _ in range(4)), Decimal(paid), Decimal(paid), Decimal(0))
        for said, paid in amounts
    ]
    found = {one.estimator: one for one in scores(looks)}
    assert (found["forecast"].error, found["forecast"].bias) == (pytest.approx(0.2), pytest.approx(-0.1))
    assert (found["last_year"].error, found["last_3_months"].bias) == (0, -1)
    assert scores([looks[0]._replace(paid=Decimal(0))])[0].error is None


def test_bands_of_a_simulated_fleet_hold_what_comes(tmp_path: Path) -> None:
    """Of a fleet whose spend is chance alone, with a season and a year of records without money, 8 in 10 months lie
    inside (what a band of 80 % says; months of looks overlap, so that about 32 independent ones stand behind: two
    standard errors are 14 points). The year's bands hold too, and the mean of the draws is within 5 %."""
    result = make_money_backtest(simulated_spend(tmp_path / "fleet", seed=1), LAST_DAY, tmp_path / "out")
    assert len(result.months) == 96
    assert 0.7 <= sum(look.in_band for look in result.months) / 96 <= 0.92
    assert sum(look.in_band for look in result.years) >= 6
    mean = next(one for one in scores(result.years) if one.estimator == "mean")
    assert mean.bias is not None
    assert abs(mean.bias) < 0.05
