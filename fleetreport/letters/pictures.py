"""The charts of the letters: each a PNG that goes with the letter, named by what is in it, with its words.

A picture is drawn to be read on a telephone: some five inches wide, in twice the dots it is shown in. Only a letter
that has somebody to go to draws one. Knows nothing of messages.
"""

import hashlib
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from fleetreport.languages.catalogues import Catalogue
from fleetreport.pages.drawing import drawn_plainly
from fleetreport.report.money_rows import ForecastFacts, ForecastTotal
from fleetreport.report.visit_rows import DepotWeek

WIDTH_INCHES = 4.8
FLUIDS_SHOWN = 5


class Picture(NamedTuple):
    """A PNG: the title above it, what it says to those who do not see it, its bytes, its Content-ID (RFC 2392)."""

    title: str
    said: str
    content: bytes

    @property
    def content_id(self) -> str:
        """Made of the bytes, so that the same picture has the same name; `invalid` is nobody's domain (RFC 2606)."""
        return f"{hashlib.sha256(self.content).hexdigest()[:32]}@picture.invalid"

    @property
    def width(self) -> int:
        """Pixels of a page (96 an inch)."""
        return int(WIDTH_INCHES * 96)


def months_picture(months: Sequence[ForecastTotal], facts: ForecastFacts, words: Catalogue) -> Picture | None:
    """The spend by month with its band and budget. None without months."""
    if not months:
        return None

    def draw() -> tuple[Any, str]:
        from fleetreport.pages.charts import PAPER_INKS
        from fleetreport.pages.forecast_charts import draw_months

        return draw_months(months, facts, words, PAPER_INKS, (WIDTH_INCHES, 3.6), legend_columns=1)

    return _picture(words["forecast.months_title"], draw)


def litres_picture(
    fluids: Sequence[tuple[str, Sequence[float]]], weeks: Sequence[str], words: Catalogue
) -> Picture | None:
    """Litres by week of the fluids of which most is needed. None without any."""
    if not fluids:
        return None

    def draw() -> tuple[Any, str]:
        from fleetreport.pages.charts import PAPER_INKS
        from fleetreport.pages.order_chart import draw_litres

        return draw_litres(fluids[:FLUIDS_SHOWN], weeks, words, PAPER_INKS, WIDTH_INCHES)

    return _picture(words["order.chart_title"], draw)


def strip_picture(
    depots: Sequence[str], weeks: Sequence[tuple[str, Sequence[DepotWeek | None]]], words: Catalogue
) -> Picture | None:
    """Hours planned by week and depot against those there are. None where no visit is planned."""
    if not depots or not weeks:
        return None

    def draw() -> tuple[Any, str]:
        from fleetreport.pages.strip_chart import draw_strip

        return draw_strip(depots, weeks, words, width=WIDTH_INCHES)

    return _picture(words["strip.chart_title"], draw)


def _picture(title: str, draw: Callable[[], tuple[Any, str]]) -> Picture:
    def drawn() -> Picture:
        from fleetreport.pages.charts import png_of

        figure, said = draw()
        return Picture(title, said, png_of(figure))

    return drawn_plainly(drawn)
