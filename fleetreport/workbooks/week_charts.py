"""The week's native charts: what is planned by week and depot, and the litres of each fluid by week.

Each sheet is a real table, a line a depot or fluid and a column an ISO week, with the chart below it. Depots and fluids
are lines and not headings, since two headings of a table may not be alike. Reads depot_weeks and bulk_weeks.
"""

from collections.abc import Sequence
from decimal import Decimal

import duckdb
from openpyxl.chart import BarChart, Reference, Series
from openpyxl.chart.series import SeriesLabel, StrRef
from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.drawing.fill import ColorChoice, PatternFillProperties
from openpyxl.drawing.line import LineProperties

from fleetreport.languages.catalogues import Catalogue
from fleetreport.workbooks.sheets import Column, DrawChart

MOST_SERIES = 8
# One ink in full and hatched, then others that eyes tell apart whatever colours they see (Okabe and Ito's palette).
FILLS = (
    ("17497C", None), ("17497C", "wdUpDiag"), ("E69F00", None), ("E69F00", "wdDnDiag"), ("009E73", None),
    ("009E73", "wdUpDiag"), ("565A60", None), ("565A60", "wdDnDiag"),
)  # fmt: skip

Rows = list[tuple[object, ...]]


def hours_ahead(db: duckdb.DuckDBPyConnection, words: Catalogue) -> tuple[tuple[Column, ...], Rows]:
    """Hours of planned visits: a line a depot, a column a week in which all work is planned, their sum."""
    cells = db.execute("""
        select depot, iso_week, labour_hours from depot_weeks where is_full_plan order by depot = '', depot, iso_week
    """).fetchall()
    named = [(depot or words["no_depot"], week, hours) for depot, week, hours in cells]
    return by_week(named, words["heading.Depot"], words)


def litres_ahead(db: duckdb.DuckDBPyConnection, words: Catalogue) -> tuple[tuple[Column, ...], Rows]:
    """Litres needed: a line a fluid, that of which most is needed first, a column a week up to the horizon."""
    cells = db.execute("""
        select title || case when count(*) over (partition by title, iso_week) > 1 then ' (' || item || ')' else '' end,
            iso_week, litres
        from bulk_weeks
        qualify sum(litres) over (partition by item) > 0
        order by sum(litres) over (partition by item) desc, item, iso_week
    """).fetchall()
    return by_week(cells, words["heading.Fluid"], words)


def by_week(
    cells: Sequence[tuple[str, str, Decimal]], heading: str, words: Catalogue
) -> tuple[tuple[Column, ...], Rows]:
    """Cells of (name, week, amount) as lines of names and columns of weeks, with a sum; names in the order given."""
    weeks = sorted({week for _, week, _ in cells})
    names = list(dict.fromkeys(name for name, _, _ in cells))
    of = {(name, week): amount for name, week, amount in cells}
    columns = (
        Column(heading, "text", 38), *(Column(week, "number", 11) for week in weeks),
        Column(words["heading.Sum"], "number", 11),
    )  # fmt: skip
    lines = [[of.get((name, week), Decimal(0)) for week in weeks] for name in names]
    rows: Rows = [(name, *line, sum(line, Decimal(0))) for name, line in zip(names, lines, strict=True)]
    return columns, rows


def stacked(title: str, unit: str) -> DrawChart:
    """A stacked column a week of the sheet's first `MOST_SERIES` lines."""

    def draw(ws: object, sheet: str, lines: int, columns: int) -> BarChart:
        chart = BarChart()
        chart.type, chart.grouping, chart.overlap, chart.gapWidth = "col", "stacked", 100, 60
        chart.title, chart.y_axis.title = title, unit
        chart.style, chart.width, chart.height = 2, 26, 10
        chart.legend.position = "b"
        chart.x_axis.delete = chart.y_axis.delete = False
        chart.y_axis.numFmt, chart.y_axis.majorGridlines.spPr = (
            "#,##0",
            GraphicalProperties(ln=LineProperties(solidFill="D3CDBF")),
        )
        weeks = columns - 2
        quoted = sheet.replace("'", "''")
        for at in range(min(lines, MOST_SERIES)):
            values = Reference(ws, min_col=2, max_col=1 + weeks, min_row=at + 2)
            series = Series(values)
            series.tx = SeriesLabel(strRef=StrRef(f"'{quoted}'!$A${at + 2}"))
            series.graphicalProperties = _filled(*FILLS[at])
            chart.series.append(series)
        chart.set_categories(Reference(ws, min_col=2, max_col=1 + weeks, min_row=1))
        return chart

    return draw


def _filled(colour: str, pattern: str | None) -> GraphicalProperties:
    if pattern is None:
        return GraphicalProperties(solidFill=colour, ln=LineProperties(solidFill=colour))
    hatched = PatternFillProperties(prst=pattern)
    hatched.foreground, hatched.background = ColorChoice(srgbClr=colour), ColorChoice(srgbClr="FFFFFF")
    made = GraphicalProperties(ln=LineProperties(solidFill=colour))
    made.pattFill = hatched
    return made
