"""The page of a what-if: the forecast as it is and with the changes, as a chart by month with the tables behind it.

`what_if_page` lays out a `WhatIf` by `what_if.html`. Nothing is reckoned here but order.
"""

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from markupsafe import Markup
from matplotlib.figure import Figure

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.pages.charts import INKS, svg_of
from fleetreport.pages.forecast_charts import month_label, plain_panel, set_legend_below
from fleetreport.pages.frame import page_environment, styled
from fleetreport.report.sentences import number
from fleetreport.trials.changes import Changes
from fleetreport.trials.side_by_side import Line, WhatIf, shown_sums


class Facts(NamedTuple):
    """What the page says of the whole; `has_interval`: an interval is changed."""

    fleet_name: str
    as_of: date
    currency: str
    money_digits: int
    has_interval: bool


def what_if_page(result: WhatIf, changes: Changes, words: Catalogue = ENGLISH) -> str:
    """The page as HTML text, to be written as UTF-8; the same result gives the same text."""
    whole = next((line for line in result.lines if line.key[0] == "all"), None)
    months = [line for line in result.lines if line.key[0] == "month"]
    return page_environment(words).get_template("what_if.html").render(
        facts=Facts(result.fleet_name, result.as_of, result.currency, result.digits, bool(changes.intervals)),
        changes=changes.told(words), whole=whole, chart=months_chart(months, words), **styled("_style.css"),
        tables=[
            (name, words[f"what_if.table_{name}"], words[f"what_if.head_{name}"], rows)
            for name, rows in shown_sums(result, words)
        ],
    )  # fmt: skip


def months_chart(months: Sequence[Line], words: Catalogue = ENGLISH) -> Markup:
    """Two bars a month, as it is and with the changes, each with its band. `months` may be empty."""
    if not months:
        return Markup("")
    figure = Figure(figsize=(10, 3.6))
    panel = figure.subplots()
    at = range(len(months))
    # Each band stands beside its bar, where it can be seen on any ground.
    bars = (("base", -0.27, "none", INKS["soft"]), ("changed", 0.15, INKS["due"], INKS["due"]))
    for name, aside, fill, edge in bars:
        found = [getattr(line, name) for line in months]
        panel.bar([x + aside for x in at], [float(one[2]) for one in found], 0.28, facecolor=fill, edgecolor=edge,
                  linewidth=1.2, label=words[f"what_if.{name}"])  # fmt: skip
        panel.vlines([x + aside + 0.19 for x in at], [float(one[3]) for one in found],
                     [float(one[4]) for one in found], color=INKS["ink"], linewidth=2)  # fmt: skip
    panel.vlines([], [], [], color=INKS["ink"], linewidth=2, label=words["money_backtest.band"])
    panel.set_xticks(list(at), [month_label(line.key[2] or "", place, words) for place, line in enumerate(months)])
    plain_panel(panel, words)
    panel.set_ylim(bottom=0)
    amounts = [amount for line in months for amount in (*line.base[2:], *line.changed[2:])]
    set_legend_below(figure, panel, amounts, words, INKS, columns=3)
    said = " ".join(
        words["what_if.said"].format(
            month=line.key[2], base=number(line.base[2], words), changed=number(line.changed[2], words)
        )
        for line in months
    )
    return svg_of(figure, "chart-what-if", words["what_if.chart_title"], said)
