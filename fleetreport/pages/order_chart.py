"""The chart of the order's page: litres of each fluid by week, as small bars on one scale a fluid.

Small charts below each other instead of stacked colours: each fluid can be read by itself, in one ink, on paper and by
eyes that do not tell colours apart. The same figures stand in the table under it. Imports Matplotlib.
"""

from collections.abc import Sequence
from decimal import Decimal

from markupsafe import Markup
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.pages.charts import INKS, Inks, drawn, svg_of
from fleetreport.report.sentences import number

MOST_FLUIDS = 8


def litres_chart(
    rows: Sequence[tuple[str, Sequence[float]]], weeks: Sequence[str], words: Catalogue = ENGLISH
) -> Markup:
    """A panel a fluid (the first `MOST_FLUIDS`), a bar a week with its litres above it."""
    figure, said = draw_litres(rows[:MOST_FLUIDS], weeks, words)
    return svg_of(figure, "chart-litres", words["order.chart_title"], said)


def draw_litres(
    shown: Sequence[tuple[str, Sequence[float]]],
    weeks: Sequence[str],
    words: Catalogue = ENGLISH,
    inks: Inks = INKS,
    width: float = 9,
) -> tuple[Figure, str]:
    """The figure, so many inches wide, and what it says; `shown` is not empty."""
    height = 0.35 + 0.85 * len(shown)
    figure = Figure(figsize=(width, height))
    # Room for a title above each panel and the weeks below the last, in inches; a layout engine draws everything twice.
    figure.subplots_adjust(left=0.005, right=0.995, top=1 - 0.25 / height, bottom=0.25 / height, hspace=0.6)
    panels = figure.subplots(len(shown), 1, sharex=True, squeeze=False)[:, 0]
    for panel, (name, litres) in zip(panels, shown, strict=True):
        _draw(panel, name, litres, words, inks)
    panels[-1].set_xticks(range(len(weeks)), [week.split("-")[1] for week in weeks])
    panels[-1].tick_params(axis="x", length=0, labelsize=9, labelcolor=inks["ink"])
    said = " ".join(_said(name, litres, weeks, words) for name, litres in shown)
    return figure, said


def _draw(panel: Axes, name: str, litres: Sequence[float], words: Catalogue, inks: Inks) -> None:
    places = range(len(litres))
    panel.bar(places, litres, width=0.62, color=inks["due"])
    for at, amount in zip(places, litres, strict=True):
        if amount > 0:
            panel.annotate(
                number(Decimal(amount), words, 0 if amount >= 10 else 1), (at, amount), (0, 2),
                textcoords="offset points", ha="center", fontsize=8, color=inks["ink"],
            )  # fmt: skip
    panel.set_title(drawn(name), loc="left", fontsize=9.5, color=inks["ink"])
    panel.set_ylim(0, max([*litres, 1e-9]) * 1.35)
    panel.set_yticks([])
    panel.tick_params(axis="x", length=0)
    for side in ("top", "left", "right"):
        panel.spines[side].set_visible(False)
    panel.spines["bottom"].set_color(inks["rule"])


def _said(name: str, litres: Sequence[float], weeks: Sequence[str], words: Catalogue) -> str:
    most = max(range(len(litres)), key=lambda at: litres[at])
    total, highest = (number(Decimal(amount), words) for amount in (sum(litres), litres[most]))
    return words["order.chart_said"].format(name=name, total=total, weeks=len(weeks), most=highest, week=weeks[most])
