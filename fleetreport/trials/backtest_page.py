"""The page of a backtest: how far past projections were off, as charts with the tables behind them.

`backtest_page` reads the tables `backtest`, `horizons`, `judged` and `run` and lays them out by `backtest.html`. A
chart shows one meter of the whole fleet: the error ratio of every estimator by horizon, and the share of what
happened that lay inside the 80 % band. Every figure drawn stands in a table under it. Nothing is reckoned here but
order and the best of a row.
"""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from itertools import groupby
from typing import NamedTuple

import duckdb
from markupsafe import Markup
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.layout_engine import ConstrainedLayoutEngine
from matplotlib.ticker import PercentFormatter

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.pages.charts import INKS, svg_of
from fleetreport.pages.frame import page_environment, styled
from fleetreport.report.report_rows import BacktestRow, read_rows
from fleetreport.report.sentences import number

OWN = "daily_rate"
# Told apart by shape, not by colour: marker, filled.
MARKS = {
    "daily_rate": ("o", True), "half_life_3_months": ("v", False), "last_30_days": ("s", False),
    "last_3_months": ("^", False), "last_12_months": ("D", False), "median_slope": ("x", True), "lifetime": ("+", True),
}  # fmt: skip
PROMISED_PCT = 80


class Horizon(NamedTuple):
    """One horizon of a meter and class: the weekly report's row, then every estimator's in their order."""

    own: BacktestRow
    all: list[BacktestRow]

    @property
    def best_naive(self) -> BacktestRow:
        """The simple estimator that was off least (by name where two were); hindsight picked it."""
        naive = [row for row in self.all if row.estimator != OWN]
        return min(naive, key=lambda row: (row.error_ratio is None, row.error_ratio or 0, row.estimator))


class MeterScores(NamedTuple):
    """One meter: the whole fleet's horizons, those of each class, and the chart of the former."""

    meter: str
    unit: str
    fleet: list[Horizon]
    classes: list[tuple[str, list[Horizon]]]
    chart: Markup


class Facts(NamedTuple):
    """What the page says of the whole run."""

    fleet_name: str
    first_day: date
    last_day: date
    days: int
    vehicles: int
    estimators: list[str]


def backtest_page(db: duckdb.DuckDBPyConnection, words: Catalogue = ENGLISH) -> str:
    """The page as HTML text, to be written as UTF-8; the same tables give the same text.

    Raises duckdb.Error for a missing table or column.
    """
    rows = read_rows(db, BacktestRow, "backtest")
    row = db.execute(
        """select any_value(fleet_name), min(judged.as_of), max(judged.as_of), count(distinct judged.as_of),
            count(distinct vehicle_id) from judged, run"""
    ).fetchone()
    if row is None:
        raise LookupError("judged")
    fleet_name, first, last, days, vehicles = row
    turns = dict(db.execute("select horizon, turn from horizons").fetchall())
    return page_environment(words).get_template("backtest.html").render(
        facts=Facts(fleet_name, first, last, days, vehicles, list(MARKS)),
        meters=_by_meter(rows, turns, words), **styled("_style.css"),
    )  # fmt: skip


def _by_meter(rows: Sequence[BacktestRow], turns: dict[str, int], words: Catalogue) -> list[MeterScores]:
    names = list(MARKS)
    in_order = sorted(rows, key=lambda r: (r.meter != "odometer", r.vehicle_class != "*", r.vehicle_class,
                                           turns[r.horizon], names.index(r.estimator)))  # fmt: skip
    meters = []
    for meter, of_meter in groupby(in_order, key=lambda row: row.meter):
        classes = []
        for name, of_class in groupby(of_meter, key=lambda row: row.vehicle_class):
            of_horizons = [list(group) for _, group in groupby(of_class, key=lambda row: row.horizon)]
            classes.append((name, [Horizon(group[0], group) for group in of_horizons]))
        fleet = classes[0][1]
        meters.append(MeterScores(meter, fleet[0].own.unit, fleet, classes[1:], meter_chart(meter, fleet, words)))
    return meters


def meter_chart(meter: str, horizons: Sequence[Horizon], words: Catalogue = ENGLISH) -> Markup:
    """Two panels beside each other, a line a horizon: error ratios of all estimators; share inside the band."""
    figure = Figure(figsize=(9, 1.5 + 0.42 * len(horizons)), layout=ConstrainedLayoutEngine(wspace=0.06))
    errors, inside = figure.subplots(1, 2, sharey=True, width_ratios=(3, 2))
    _draw_errors(errors, horizons, words)
    _draw_inside(inside, horizons, words)
    for panel in (errors, inside):
        _plain_panel(panel)
    errors.set_yticks(range(len(horizons)), [horizon.own.horizon for horizon in horizons])
    errors.invert_yaxis()
    handles, labels = errors.get_legend_handles_labels()
    figure.legend(
        handles[::-1],
        labels[::-1],
        loc="outside lower left",
        ncols=4,
        frameon=False,
        labelcolor=INKS["ink"],
        fontsize=9,
    )
    title = words["backtest.chart_title"].format(meter=words[f"meter.{meter}"])
    return svg_of(figure, f"chart-{meter}", title, _said(horizons, words))


def _draw_errors(panel: Axes, horizons: Sequence[Horizon], words: Catalogue) -> None:
    for name, (mark, is_filled) in reversed(MARKS.items()):
        own = name == OWN
        colour = INKS["due"] if own else INKS["soft"]
        at = [(row.error_ratio, line) for line, horizon in enumerate(horizons)
              for row in horizon.all if row.estimator == name and row.error_ratio is not None]  # fmt: skip
        panel.plot(
            [x for x, _ in at], [y for _, y in at], linestyle="none", marker=mark, markersize=9 if own else 6.5,
            color=colour, markerfacecolor=colour if is_filled else "none", label=words[f"estimator.{name}"],
        )  # fmt: skip
    panel.set_xlim(left=0)
    panel.set_title(words["backtest.error_ratio"], loc="left", fontsize=10, color=INKS["ink"])


def _draw_inside(panel: Axes, horizons: Sequence[Horizon], words: Catalogue) -> None:
    panel.axvline(PROMISED_PCT, color=INKS["ink"], linewidth=1)
    shares = [float(horizon.own.in_band_pct or 0) for horizon in horizons]
    lines = range(len(horizons))
    panel.hlines(lines, [PROMISED_PCT] * len(shares), shares, color=INKS["soft"], linewidth=1)
    panel.plot(shares, lines, linestyle="none", marker="o", markersize=9, color=INKS["due"])
    panel.set_xlim(0, 100)
    panel.xaxis.set_major_formatter(PercentFormatter(decimals=0, symbol=words["per_cent"].format(number="")))
    panel.set_title(words["backtest.in_band"], loc="left", fontsize=10, color=INKS["ink"])


def _plain_panel(panel: Axes) -> None:
    panel.set_axisbelow(True)
    panel.grid(axis="both", color=INKS["rule"], linewidth=0.7)
    panel.tick_params(length=0, labelsize=9, labelcolor=INKS["ink"])
    for side in panel.spines.values():
        side.set_visible(False)


def _said(horizons: Sequence[Horizon], words: Catalogue) -> str:
    """The chart in words, for those who do not see it."""
    return " ".join(
        words["backtest.said"].format(
            horizon=horizon.own.horizon, own=ratio(horizon.own.error_ratio, words),
            best=words[f"estimator.{horizon.best_naive.estimator}"],
            best_ratio=ratio(horizon.best_naive.error_ratio, words), in_band=horizon.own.in_band_pct,
        )
        for horizon in horizons
    )  # fmt: skip


def ratio(value: float | None, words: Catalogue = ENGLISH) -> str:
    """An error ratio with four decimals."""
    return words["backtest.nothing_ran"] if value is None else number(Decimal(repr(value)), words, 4)
