"""The page of the money back-test: past forecasts beside what was paid, as a chart with the tables behind it.

`money_backtest_page` lays out a `MoneyBacktest` by `backtest_money.html`. The chart has the months of the latest
forecast and the twelve-month sums of all; every figure drawn stands in a table under it.
"""

from collections.abc import Sequence
from datetime import date
from itertools import groupby
from typing import NamedTuple

from markupsafe import Markup
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.pages.charts import INKS, svg_of
from fleetreport.pages.forecast_charts import month_label, plain_panel
from fleetreport.pages.frame import page_environment, styled
from fleetreport.report.sentences import day, number
from fleetreport.trials.money_looks import Look, MoneyBacktest, scores


class Facts(NamedTuple):
    """What the page says of the whole: whose, from when to when, and how many looks lay inside their band."""

    fleet_name: str
    currency: str
    money_digits: int
    first: date
    last: date
    months_in: int
    months: int
    years_in: int
    years: int


def money_backtest_page(result: MoneyBacktest, words: Catalogue = ENGLISH) -> str:
    """The page as HTML text, to be written as UTF-8; the same result (a look or more) the same text."""
    looks = [list(some) for _, some in groupby(result.months, key=lambda look: look.as_of)]
    facts = Facts(
        result.fleet_name, result.currency, result.digits, result.years[-1].as_of, result.years[0].as_of,
        sum(look.in_band for look in result.months), len(result.months),
        sum(look.in_band for look in result.years), len(result.years),
    )  # fmt: skip
    return page_environment(words).get_template("backtest_money.html").render(
        facts=facts, looks=looks, years=result.years, chart=looks_chart(looks, result.years, words),
        scores=list(zip(scores(result.months), scores(result.years), strict=True)), **styled("_style.css"),
    )  # fmt: skip


def looks_chart(looks: Sequence[Sequence[Look]], years: Sequence[Look], words: Catalogue = ENGLISH) -> Markup:
    """Two panels: the months of the latest forecast, and every forecast's twelve months, the oldest first."""
    latest = looks[0] if looks else []
    oldest_first = list(reversed(years))
    figure = Figure(figsize=(10, 3.8), layout="constrained")
    panels = figure.subplots(1, 2, width_ratios=(3, 2))
    month_names = [month_label(look.month or "", place, words) for place, look in enumerate(latest)]
    _draw(panels[0], latest, month_names, words)
    _draw(panels[1], oldest_first, [f"{look.as_of:%Y-%m}" for look in oldest_first], words)
    panels[1].tick_params(axis="x", labelrotation=45)
    titles = (words["money_backtest.chart_months"].format(day=day(years[0].as_of, words)),
              words["money_backtest.chart_years"])  # fmt: skip
    for panel, title in zip(panels, titles, strict=True):
        panel.set_title(title, loc="left", fontsize=10, color=INKS["ink"])
    handles, labels = panels[0].get_legend_handles_labels()
    figure.legend(handles, labels, loc="outside lower left", ncols=4, frameon=False, labelcolor=INKS["ink"], fontsize=9)
    said = " ".join(
        words["money_backtest.said"].format(
            name=look.month or look.as_of.isoformat(), forecast=number(look.forecast, words),
            low=number(look.p10, words), high=number(look.p90, words), paid=number(look.paid, words),
        )
        for look in (*latest, *oldest_first)
    )  # fmt: skip
    return svg_of(figure, "chart-looks", words["money_backtest.chart_title"], said)


def _draw(panel: Axes, looks: Sequence[Look], names: Sequence[str], words: Catalogue) -> None:
    """Band, forecast, what was paid, and the year before, told apart by shape and fill."""
    at = list(range(len(looks)))
    panel.vlines(at, [float(look.p10) for look in looks], [float(look.p90) for look in looks], color=INKS["rule"],
                 linewidth=9, label=words["money_backtest.band"])  # fmt: skip
    marks = (("forecast", "_", INKS["ink"], "none"), ("paid", "o", INKS["due"], INKS["due"]),
             ("last_year", "s", INKS["soft"], "none"))  # fmt: skip
    for name, mark, colour, fill in marks:
        panel.plot(at, [float(getattr(look, name)) for look in looks], linestyle="none", marker=mark, markersize=8,
                   markeredgewidth=2 if mark == "_" else 1, color=colour, markerfacecolor=fill,
                   label=words[f"money_backtest.{name}"])  # fmt: skip
    panel.set_xticks(at, list(names))
    plain_panel(panel, words)
