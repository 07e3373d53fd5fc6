"""The weeks ahead as a picture: a panel a depot, a bar a week of the hours planned, a line at the hours there are.

A bar above its line is hatched, so that it tells without colour. For the letter; the page has the same as a table.
Imports Matplotlib.
"""

from collections.abc import Sequence
from decimal import Decimal

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.pages.charts import PAPER, PAPER_INKS, Inks, drawn
from fleetreport.report.sentences import number
from fleetreport.report.visit_rows import DepotWeek

MOST_DEPOTS = 6


def draw_strip(
    depots: Sequence[str],
    weeks: Sequence[tuple[str, Sequence[DepotWeek | None]]],
    words: Catalogue = ENGLISH,
    inks: Inks = PAPER_INKS,
    width: float = 4.8,
) -> tuple[Figure, str]:
    """The figure, so many inches wide, of the first `MOST_DEPOTS` depots, and what it says; neither list is empty."""
    shown = depots[:MOST_DEPOTS]
    height = 0.35 + 0.95 * len(shown)
    figure = Figure(figsize=(width, height))
    figure.subplots_adjust(left=0.01, right=0.99, top=1 - 0.27 / height, bottom=0.25 / height, hspace=0.6)
    panels = figure.subplots(len(shown), 1, sharex=True, squeeze=False)[:, 0]
    said = []
    for at, (panel, depot) in enumerate(zip(panels, shown, strict=True)):
        cells = [row[at] for _, row in weeks]
        _draw(panel, depot or words["no_depot"], cells, words, inks)
        said.append(_said(depot or words["no_depot"], weeks, cells, words))
    panels[-1].set_xticks(range(len(weeks)), [week.split("-")[1] for week, _ in weeks])
    panels[-1].tick_params(axis="x", length=0, labelsize=9, labelcolor=inks["ink"])
    return figure, " ".join(said)


def _draw(panel: Axes, name: str, cells: Sequence[DepotWeek | None], words: Catalogue, inks: Inks) -> None:
    hours = [float(cell.labour_hours) if cell else 0.0 for cell in cells]
    limits = [float(cell.hours_available) if cell and cell.hours_available is not None else None for cell in cells]
    over = [limit is not None and used > limit for used, limit in zip(hours, limits, strict=True)]
    panel.bar(range(len(hours)), hours, 0.62, color=["none" if beyond else inks["due"] for beyond in over],
              edgecolor=[inks["overdue" if beyond else "due"] for beyond in over],
              hatch=["/////" if beyond else "" for beyond in over], linewidth=0.8)  # fmt: skip
    for at, cell in enumerate(cells):
        if cell and (used := cell.labour_hours):
            # On paper of its own, so that a line behind it does not cross the figure out.
            panel.annotate(number(used, words, 0 if used >= 10 else 1), (at, float(used)), (0, 2.5),
                           textcoords="offset points", ha="center", fontsize=8.5, color=inks["ink"], zorder=4,
                           bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.4})  # fmt: skip
    given = [(at, limit) for at, limit in enumerate(limits) if limit is not None]
    panel.hlines([limit for _, limit in given], [at - 0.45 for at, _ in given], [at + 0.45 for at, _ in given],
                 color=inks["ink"], linewidth=1, zorder=3)  # fmt: skip
    # A `$` would begin mathematics.
    panel.set_title(drawn(name), loc="left", fontsize=10, color=inks["ink"])
    panel.set_xlim(-0.6, len(cells) - 0.4)
    panel.set_ylim(0, max(*hours, *(limit for limit in limits if limit is not None), 1e-9) * 1.35)
    panel.set_yticks([])
    panel.tick_params(axis="x", length=0)
    for side in ("top", "left", "right"):
        panel.spines[side].set_visible(False)
    panel.spines["bottom"].set_color(inks["rule"])


def _said(
    name: str,
    weeks: Sequence[tuple[str, Sequence[DepotWeek | None]]],
    cells: Sequence[DepotWeek | None],
    words: Catalogue,
) -> str:
    hours = [cell.labour_hours if cell else Decimal(0) for cell in cells]
    most = max(range(len(hours)), key=lambda at: hours[at])
    return words["strip.chart_said"].format(
        name=name, total=number(sum(hours, Decimal(0)), words), weeks=len(weeks),
        most=number(hours[most], words), week=weeks[most][0],
    )  # fmt: skip
