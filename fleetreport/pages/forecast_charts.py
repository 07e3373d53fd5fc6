"""The charts of the forecast: the months with their bands, and the mean cumulative repair cost by class.

Both are drawn in the page's own ink, told apart by fill and shape, and said in words for those who do not see them.
Knows nothing of how a figure is worked out.
"""

from collections.abc import Sequence
from decimal import Decimal
from itertools import groupby

from markupsafe import Markup
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter, MaxNLocator

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.pages.charts import INKS, Inks, drawn, svg_of
from fleetreport.report.money_rows import CurvePoint, ForecastFacts, ForecastTotal
from fleetreport.report.sentences import month_name, number

CURVES_ACROSS = 4
HATCH = "/////"
# Room round a panel, in inches: a layout engine would find it by drawing everything twice.
EDGE, TITLE_ABOVE, LABEL_BELOW, LABELS_BELOW, LEGEND_LINE, LEGEND_EDGE = 0.1, 0.32, 0.25, 0.45, 0.2, 0.05
HALF_A_FIGURE = 0.2
A_FIGURE = 0.085


def months_chart(months: Sequence[ForecastTotal], facts: ForecastFacts, words: Catalogue = ENGLISH) -> Markup:
    """A bar a month, planned work below unplanned repairs, the month's band beside it and its budget as a line across.

    `months` may be empty.
    """
    if not months:
        return Markup("")
    figure, said = draw_months(months, facts, words)
    return svg_of(figure, "chart-months", words["forecast.months_title"], said)


def draw_months(
    months: Sequence[ForecastTotal],
    facts: ForecastFacts,
    words: Catalogue = ENGLISH,
    inks: Inks = INKS,
    size: tuple[float, float] = (10, 3.6),
    legend_columns: int = 4,
) -> tuple[Figure, str]:
    """The figure, of so many inches, and what it says; `months` is not empty."""
    figure = Figure(figsize=size)
    panel = figure.subplots()
    at = range(len(months))
    planned = [float(row.scheduled) for row in months]
    panel.bar(at, planned, 0.5, color=inks["due"], label=words["forecast.scheduled"])
    panel.bar(at, [float(row.unscheduled) for row in months], 0.5, bottom=planned, facecolor="none",
              edgecolor=inks["due"], hatch=HATCH, linewidth=1, label=words["forecast.unscheduled"])  # fmt: skip
    panel.vlines([x + 0.36 for x in at], [float(row.p10) for row in months], [float(row.p90) for row in months],
                 color=inks["ink"], linewidth=2.5, label=words["forecast.band"])  # fmt: skip
    budgets = [(x, float(row.budget)) for x, row in enumerate(months) if row.budget is not None]
    if budgets:
        panel.hlines(
            [budget for _, budget in budgets], [x - 0.5 for x, _ in budgets], [x + 0.5 for x, _ in budgets],
            color=inks["overdue"], linewidth=1.8, linestyle=(0, (5, 1.5)), label=words["forecast.budget_line"],
        )  # fmt: skip
    panel.set_xticks(list(at), [month_label(row.month or "", place, words) for place, row in enumerate(months)])
    plain_panel(panel, words, inks)
    panel.set_ylim(bottom=0)
    panel.set_title(words["forecast.months_axis"].format(currency=facts.currency), loc="left", fontsize=10,
                    color=inks["ink"])  # fmt: skip
    set_legend_below(figure, panel, [row.p90 for row in months] + [row.total for row in months], words, inks,
                     legend_columns)  # fmt: skip
    said = " ".join(
        words["forecast.month_said"].format(
            month=row.month, total=number(row.total, words), low=number(row.p10, words), high=number(row.p90, words)
        )
        + ("" if row.budget is None
           else " " + words["forecast.budget_said"].format(budget=number(row.budget, words)))
        for row in months
    )  # fmt: skip
    return figure, said


def curves_chart(points: Sequence[CurvePoint], facts: ForecastFacts, words: Catalogue = ENGLISH) -> Markup:
    """A small panel a class: what repairs came to a vehicle by use.

    With twice the standard error. Empty without repairs.
    """
    curves = [(name, list(some)) for name, some in groupby(points, key=lambda point: point.vehicle_class)]
    if not curves:
        return Markup("")
    down = -(-len(curves) // CURVES_ACROSS)
    width, height = 10, 0.6 + 2.1 * down
    figure = Figure(figsize=(width, height))
    figures = room_for_figures([Decimal(point.mean_cost + 2 * point.error) for point in points], words)
    across = (width - figures - HALF_A_FIGURE) / CURVES_ACROSS - figures
    figure.subplots_adjust(
        left=figures / width, right=1 - HALF_A_FIGURE / width, top=1 - TITLE_ABOVE / height,
        bottom=LABEL_BELOW / height,
        wspace=figures / across, hspace=(TITLE_ABOVE + LABEL_BELOW) / (height / down - TITLE_ABOVE - LABEL_BELOW),
    )  # fmt: skip
    panels = figure.subplots(down, CURVES_ACROSS, squeeze=False).ravel()
    for panel, (name, curve) in zip(panels, curves, strict=False):
        divisor = {"odometer": 1000.0, "hours": 1.0, "days": 365.25}[curve[0].measure]
        x = [point.used / divisor for point in curve]
        low = [max(0.0, point.mean_cost - 2 * point.error) for point in curve]
        high = [point.mean_cost + 2 * point.error for point in curve]
        panel.fill_between(x, low, high, step="post", color=INKS["rule"])
        panel.step(x, [point.mean_cost for point in curve], where="post", color=INKS["due"], linewidth=2)
        plain_panel(panel, words)
        panel.xaxis.set_major_locator(MaxNLocator(4))
        panel.xaxis.set_major_formatter(panel.yaxis.get_major_formatter())
        panel.set_title(
            drawn(f"{name}, {words['forecast.use_' + curve[0].measure]}"), loc="left", fontsize=9, color=INKS["ink"]
        )
    for spare in panels[len(curves) :]:
        spare.set_visible(False)
    said = " ".join(
        words["forecast.curve_said"].format(
            name=name, cost=number(Decimal(curve[-1].mean_cost), words), currency=facts.currency
        )
        for name, curve in curves
    )
    return svg_of(figure, "chart-repairs", words["forecast.curves_title"], said)


def set_legend_below(
    figure: Figure, panel: Axes, values: Sequence[Decimal], words: Catalogue, inks: Inks, columns: int
) -> None:
    """The legend below the one panel of a figure, and room for it, for the title, the months and figures up to
    `values`.
    """
    width, height = figure.get_size_inches()
    _, labels = panel.get_legend_handles_labels()
    legend = LEGEND_LINE * -(-len(labels) // columns) + LEGEND_EDGE
    figure.legend(loc="lower left", ncols=columns, frameon=False, labelcolor=inks["ink"], fontsize=9,
                  borderaxespad=0.2)  # fmt: skip
    figure.subplots_adjust(
        left=room_for_figures(values, words) / width, right=1 - EDGE / width, top=1 - TITLE_ABOVE / height,
        bottom=(legend + LABELS_BELOW) / height,
    )  # fmt: skip


def room_for_figures(values: Sequence[Decimal], words: Catalogue) -> float:
    """The inches that the figures of an axis up to the greatest of `values` take beside it."""
    # The last rule may stand above the greatest value, with one digit more.
    return EDGE + A_FIGURE * len(number(Decimal(2 * round(max(values))), words))


def plain_panel(panel: Axes, words: Catalogue, inks: Inks = INKS) -> None:
    """Rules instead of a frame, figures with the catalogue's marks."""
    panel.set_axisbelow(True)
    panel.grid(axis="y", color=inks["rule"], linewidth=0.7)
    panel.tick_params(length=0, labelsize=9, labelcolor=inks["ink"])
    panel.yaxis.set_major_locator(MaxNLocator(5))
    panel.yaxis.set_major_formatter(FuncFormatter(lambda value, _: number(Decimal(value), words)))
    for side in panel.spines.values():
        side.set_visible(False)


def month_label(month: str, place: int, words: Catalogue) -> str:
    """`Nov`, with the year under it for the first month and each January."""
    year, of_year = month.split("-")
    name = month_name(int(of_year), words)
    return f"{name}\n{year}" if place == 0 or of_year == "01" else name
