"""A page a vehicle: its meters, tasks, dates, what is open, what it cost and what was done, on one sheet.

All tables are read once and the template is made once, so that a large fleet's pages take milliseconds each; the
drawing of a meter is plain SVG for the same reason. The file's name is `frame.vehicle_page_path`. Figures are cells of
the tables; nothing is reckoned here but order.
"""

from collections.abc import Iterator

import duckdb

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.pages.frame import inside, page_environment, vehicle_page_path
from fleetreport.pages.meter_chart import meter_chart
from fleetreport.pages.page import pressing
from fleetreport.report.cautions import cautions
from fleetreport.report.report_rows import read_week
from fleetreport.report.sheet_rows import Sheet, SheetTask, read_sheets

STATUSES = ("overdue", "due", "upcoming", "unknown", "later")


def vehicle_pages(db: duckdb.DuckDBPyConnection, words: Catalogue = ENGLISH) -> Iterator[tuple[str, str]]:
    """Each vehicle in service: where its page goes, from the week's folder, and its HTML text.

    Reads week_at_a_glance and what sheet_rows.read_sheets does.
    """
    week = read_week(db)
    template = page_environment(words).get_template("vehicle.html")
    carried = inside("_style.css", "_sheet.css")
    for read in read_sheets(db):
        drawings = []
        for number, meter in enumerate(read.meters):
            refused = [row for row in read.refused if row.meter == meter.meter]
            drawing = meter_chart(meter, read.lines.get(meter.meter), refused, week.as_of, f"m{number}", words)
            drawings.append((meter, drawing, refused[::-1]))
        sheet = read._replace(tasks=sorted(read.tasks, key=_by_status), at_hand=sorted(read.at_hand, key=pressing))
        yield (
            vehicle_page_path(sheet.vehicle.vehicle_id),
            template.render(
                week=week,
                sheet=sheet,
                meters=drawings,
                dated=_dated(sheet),
                cautions=cautions(words, "week"),
                **carried,
            ),
        )


def _by_status(row: SheetTask) -> tuple[object, ...]:
    return STATUSES.index(row.status), row.due_on is None, row.due_on or 0, row.title


def _dated(sheet: Sheet) -> list[SheetTask]:
    """The tasks with an expiry date on record, the earliest first."""
    return sorted((row for row in sheet.tasks if row.expires_on), key=lambda row: (row.expires_on, row.title))
