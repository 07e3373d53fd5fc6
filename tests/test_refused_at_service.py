"""A due line says that the meter written on the last service was not believed, and from what it counts instead: on the
page, in the mail and in the workbook."""

import re
from datetime import date
from email import message_from_bytes
from email.policy import default
from html import unescape
from pathlib import Path

import pytest
from conftest import WriteFleet
from openpyxl import load_workbook

from fleetreport.week import make_week

FLEET = {
    "vehicles": "vehicle_id,class,in_service_on\nV1,van,2026-01-01\n",
    "tasks": "class,task,title,every_distance\nvan,oil,Engine oil,15000\n",
    # Nobody drives back: 14,250 km between 40,000 and 42,600 is not believed.
    "readings": "vehicle_id,read_at,reading\nV1,2026-02-01,40000\nV1,2026-02-26,42600\nV1,2026-06-01,56000\n",
    "history": "vehicle_id,done_on,task,odometer\nV1,2026-02-11,oil,14250\n",
}
# 40,000 + 10 / 25 x 2,600 = 41,040; 41,040 + 15,000 = 56,040.
SAID = {
    "en": "Last done on 11 Feb 2026 at 41,040 km by the readings; written on the service but not believed: 14,250 km. "
    "Due at 56,040 km",
    "de": "Zuletzt ausgeführt am 11. Feb. 2026 bei 41.040 km laut Ablesungen; dabei notiert, aber nicht geglaubt: "
    "14.250 km. Fällig bei 56.040 km",
}
SHORT = {
    "en": ", by the readings; written on the service but not believed: 14,250 km",
    "de": ", nach den Ablesungen; bei der Ausführung notiert, aber nicht geglaubt: 14.250 km",
}


def seen(markup: str) -> str:
    """What a reader sees of a page, every run of blanks as one."""
    return " ".join(unescape(re.sub(r"<[^>]*>", "", markup)).split())


@pytest.mark.parametrize("language", SAID)
def test_page_mail_and_workbook_say_what_was_not_believed(
    language: str, tmp_path: Path, write_fleet: WriteFleet
) -> None:
    fleet = write_fleet(settings=f'[fleet]\nlanguage = "{language}"\n[mail]\nweek = ["yard@example.org"]\n', **FLEET)
    make_week(fleet, date(2026, 6, 1), tmp_path / "out", tmp_path / "store.duckdb")

    pages = [tmp_path / "out/week.html", *(tmp_path / "out/vehicles").glob("*.html")]
    assert len(pages) == 2
    for page in pages:
        assert seen(page.read_text(encoding="utf-8")).count(SAID[language]) == 1, page
    message = message_from_bytes((tmp_path / "out/mail/week.eml").read_bytes(), policy=default)
    for kind in ("plain", "html"):
        (part,) = (part for part in message.walk() if part.get_content_type() == f"text/{kind}")
        assert seen(str(part.get_content())).count(SHORT[language]) == 1, kind
    book = load_workbook(tmp_path / "out/week.xlsx", read_only=True)
    cells = [cell for sheet in book for row in sheet.iter_rows(values_only=True) for cell in row]
    assert sum(SAID[language] in str(cell) for cell in cells) == 1
