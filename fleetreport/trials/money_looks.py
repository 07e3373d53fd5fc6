"""What a look at a past forecast of spend found: figures, how far off they were, as text and as CSV.

Knows nothing of how a forecast is made anew; `money_backtest.py` does that, `money_backtest_page.py` shows it.
"""

import csv
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple


class Look(NamedTuple):
    """A past forecast and what was paid, for the vehicles in service on the day of the look, in the minor unit.

    `month` is one of the twelve (YYYY-MM), or None for all of them, with the band of the sum.
    """

    as_of: date
    month: str | None
    forecast: Decimal
    mean: Decimal
    p10: Decimal
    p90: Decimal
    paid: Decimal
    last_year: Decimal
    last_3_months: Decimal

    @property
    def in_band(self) -> bool:
        """Whether what was paid lay inside the band."""
        return self.p10 <= self.paid <= self.p90


ESTIMATORS = ("forecast", "mean", "last_year", "last_3_months")


class Score(NamedTuple):
    """How one estimator did over some looks: sums of errors, without and with sign, as a share of what was paid.

    None where nothing was paid. A bias above 0 is too much foretold.
    """

    estimator: str
    error: float | None
    bias: float | None


def scores(looks: Sequence[Look]) -> list[Score]:
    """A score for each of ESTIMATORS."""
    paid = sum(look.paid for look in looks)
    found = []
    for name in ESTIMATORS:
        off = [getattr(look, name) - look.paid for look in looks]
        error, bias = (float(sum(map(abs, off)) / paid), float(sum(off) / paid)) if paid else (None, None)
        found.append(Score(name, error, bias))
    return found


class MoneyBacktest(NamedTuple):
    """All looks, the latest first; whose they are, in which currency and with how many decimals."""

    fleet_name: str
    currency: str
    digits: int
    months: list[Look]
    years: list[Look]

    def lines(self) -> list[str]:
        """The summary in plain text: each year, then error, bias and coverage by month and by year."""
        rows: list[tuple[str, ...]] = [
            ("as of", "forecast", "mean", "1 in 10 below", "above", "paid", "error", "mean's", "in band")
        ]
        for year in self.years:
            errors = [
                f"{100 * (said / year.paid - 1):+.1f} %" if year.paid else "-" for said in (year.forecast, year.mean)
            ]
            amounts = (f"{amount:,.0f}" for amount in year[2:7])
            rows.append((str(year.as_of), *amounts, *errors, "yes" if year.in_band else "no"))
        widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
        lines = ["  ".join(f"{cell:>{width}}" for cell, width in zip(row, widths, strict=True)) for row in rows]
        for name, looks in (("month", self.months), ("year", self.years)):
            said = "; ".join(
                f"{NAMES[one.estimator]} {_share(one.error, '.4f')}, bias {_share(one.bias, '+.4f')}"
                for one in scores(looks)
            )
            inside = sum(look.in_band for look in looks)
            lines.append(f"by {name}: error of the {said}; {inside} of {len(looks)} inside the 80 % band")
        return lines


NAMES = {
    "forecast": "forecast", "mean": "mean", "last_year": "same as last year",
    "last_3_months": "same as last 3 months",
}  # fmt: skip


def _share(value: float | None, form: str) -> str:
    return "-" if value is None else f"{value:{form}}"


HEADS = (
    "as_of", "month", "forecast", "mean", "p10", "p90", "paid", "in_band", "same_as_last_year",
    "same_as_last_3_months", "currency",
)  # fmt: skip


def write_csv(result: MoneyBacktest, path: Path) -> None:
    """Every look as a row, amounts with the currency's decimals; the twelve months together last."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(HEADS)
        for look in (*result.months, *result.years):
            figures = [f"{amount:.{result.digits}f}" for amount in look[2:]]
            told = str(look.in_band).lower()
            writer.writerow((look.as_of, look.month or "all twelve", *figures[:5], told, *figures[5:], result.currency))
