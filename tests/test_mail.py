"""The weekly letter: read back by the standard library's parser, in shape, in size, and proof against its own input."""

import csv
import re
import unicodedata
from datetime import date
from email import message_from_bytes
from email.message import EmailMessage
from email.policy import default
from html.parser import HTMLParser
from pathlib import Path

import pytest
from conftest import WriteFleet
from report_fixture import report_tables

from fleetreport.languages.catalogues import ENGLISH
from fleetreport.letters.mail import (
    TEXT_WIDTH,
    VEHICLES_IN_HTML,
    WORKBOOK_TYPE,
    Attachment,
    Envelope,
    Letter,
    inline,
    message,
    week_letter,
    wrap,
)
from fleetreport.letters.pictures import strip_picture
from fleetreport.pages.page import arrange
from fleetreport.week import make_week

ENVELOPE = Envelope("workshop@example.org", ["a@example.org", "b@example.org"], date(2026, 11, 25), "Africa/Nairobi")
LETTER = Letter("week", "The week", "Text\n", "<p>Text</p>\n", (Attachment("w.xlsx", WORKBOOK_TYPE, b"PK"),))


def read_back(raw: bytes) -> EmailMessage:
    made = message_from_bytes(raw, policy=default)
    assert isinstance(made, EmailMessage)
    assert [part.defects for part in made.walk() if part.defects] == []
    return made


@pytest.fixture(scope="module")
def letter() -> Letter:
    return week_letter(report_tables(400), b"a workbook")


def test_the_letter_of_the_sample_week_stands_in_its_file(sample_week: Path) -> None:
    made = read_back((sample_week / "mail" / "week.eml").read_bytes())
    assert made["To"] == "fleet@example.org, workshops@example.org"
    assert made["Subject"] == "Oxbarrow Works and Water: week 2026-W48, 59 overdue, 16 due"
    kinds = [part.get_content_type() for part in made.walk()]
    assert kinds[:6] == [
        "multipart/mixed", "multipart/alternative", "text/plain", "multipart/related", "text/html", "image/png",
    ]  # fmt: skip
    attached = next(made.iter_attachments())
    assert attached.get_filename() == "week-2026-W48.xlsx"
    assert attached.get_content() == (sample_week / "week.xlsx").read_bytes()


def test_the_buyers_letter_holds_each_suppliers_letter_and_list_as_they_stand(sample_week: Path) -> None:
    made = read_back((sample_week / "mail" / "order.eml").read_bytes())
    assert made["To"] == "stores@example.org"
    assert made["Subject"].startswith("Oxbarrow Works and Water: order 2026-W48, ")
    plain, html = (made.get_body((kind,)) for kind in ("plain", "html"))
    assert plain is not None
    assert html is not None
    attached = {part.get_filename(): part.get_content() for part in made.iter_attachments()}
    orders = {path.name: path.read_text(encoding="utf-8") for path in (sample_week / "orders").iterdir()}
    assert len(orders) >= 4
    assert attached == {"week-2026-W48.xlsx": (sample_week / "week.xlsx").read_bytes(), **orders}
    for name, text in orders.items():
        if name.endswith(".txt"):
            assert text.strip() in plain.get_content().replace("\r\n", "\n")
            assert name in plain.get_content()
    with (sample_week / "data" / "order.csv").open(encoding="utf-8", newline="") as file:
        suppliers = {row["supplier"] for row in csv.DictReader(file)}
    assert all(name in html.get_content() for name in suppliers)


@pytest.mark.parametrize("report", ["week", "order", "forecast"])
def test_each_letter_carries_a_chart_that_its_html_shows(sample_week: Path, report: str) -> None:
    """By Content-ID (RFC 2392) within multipart/related (RFC 2387); sized for a telephone, sharp, and told in words."""
    made = read_back((sample_week / "mail" / f"{report}.eml").read_bytes())
    html = made.get_body(("html",))
    assert html is not None
    pictures = [part for part in made.walk() if part.get_content_type() == "image/png"]
    assert len(pictures) == 1
    (tag,) = re.findall("<img [^>]*>", html.get_content())
    named = re.search('src="cid:([^"]+)"', tag)
    said = re.search('alt="([^"]+)"', tag)
    width = re.search(' width="([0-9]+)"', tag)
    assert named
    assert said
    assert width
    assert pictures[0]["Content-ID"] == f"<{named[1]}>"
    assert len(said[1]) > 40
    assert re.search('style="[^"]*width:100%;[^"]*height:auto', tag)
    png = pictures[0].get_content()
    assert png[:8] == b"\x89PNG\r\n\x1a\n"
    # PNG (ISO/IEC 15948), IHDR: the width in the four bytes after the first chunk's name.
    assert int.from_bytes(png[16:20], "big") >= 2 * int(width[1]) - 1
    assert len(png) < 150_000
    assert int(width[1]) <= 480


def test_the_same_picture_has_the_same_bytes() -> None:
    page = arrange(report_tables(20))
    weeks = [(week, cells) for week, cells in page.visits.depot_weeks]
    one, other = (strip_picture(page.visits.visit_depots, weeks, ENGLISH) for _ in range(2))
    assert one is not None
    assert one == other
    assert strip_picture([], [], ENGLISH) is None


def test_a_letter_that_nobody_is_named_for_is_not_written(write_fleet: WriteFleet, tmp_path: Path) -> None:
    fleet, out = (
        write_fleet(vehicles="vehicle_id,class,in_service_on\nV,van,2026-01-01\n", tasks="class,task\n"),
        tmp_path / "out",
    )
    (fleet / "fleet.toml").write_text('[mail]\norder = ["a@example.org"]\nweek = ["a@example.org"]\n', encoding="utf-8")
    make_week(fleet, date(2026, 11, 25), out)
    assert sorted(path.name for path in (out / "mail").iterdir()) == ["order.eml", "week.eml"]
    (fleet / "fleet.toml").write_text('[mail]\nweek = ["a@example.org"]\norder = []\n', encoding="utf-8")
    make_week(fleet, date(2026, 11, 25), out)
    assert [path.name for path in (out / "mail").iterdir()] == ["week.eml"]


def test_the_same_letter_is_the_same_bytes_and_another_is_another() -> None:
    one = message(LETTER, ENVELOPE)
    assert one.as_bytes() == message(LETTER, ENVELOPE).as_bytes()
    for other in (
        message(LETTER._replace(text="Other\n"), ENVELOPE),
        message(LETTER, ENVELOPE._replace(recipients=["a@example.org"])),
        message(LETTER, ENVELOPE._replace(as_of=date(2026, 12, 2))),
        message(LETTER._replace(attachments=(Attachment("w.xlsx", WORKBOOK_TYPE, b"PQ"),)), ENVELOPE),
    ):
        assert other["Message-ID"] != one["Message-ID"]


@pytest.mark.parametrize("name", ["A\r\nBcc: thief@example.org", "A\nX: y", "A\x00\x1b[31m", "A\u2028B", "Ä" * 200])
def test_a_fleets_name_adds_no_header(name: str) -> None:
    made = read_back(message(LETTER._replace(subject=f"{name}: week"), ENVELOPE).as_bytes())
    assert "Bcc" not in made
    assert "X" not in made
    assert set(made.keys()) == {"Subject", "From", "To", "Date", "Message-ID", "Content-Type", "MIME-Version"}


def test_html_stays_below_what_mail_programs_cut_off(letter: Letter) -> None:
    """A widely used web mail shows 102 KB of a message (design measurement; no published limit)."""
    assert letter.html.count("<tr") > VEHICLES_IN_HTML
    assert len(letter.html.encode()) < 100_000


def test_html_is_plain_tables_with_the_style_in_the_tags(letter: Letter) -> None:
    class Seen(HTMLParser):
        def __init__(self) -> None:
            super().__init__()
            self.tags: set[str] = set()
            self.attributes: set[str] = set()
            self.styles: list[str] = []

        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            self.tags.add(tag)
            self.attributes |= {name for name, _ in attrs}
            self.styles += [value or "" for name, value in attrs if name == "style"]

    seen = Seen()
    seen.feed(letter.html)
    assert not seen.tags & {"style", "script", "link", "svg", "form", "iframe"}
    assert "class" not in seen.attributes
    assert not any(name.startswith("on") for name in seen.attributes)
    said = " ".join(seen.styles)
    assert not re.search(r"flex|grid|position|var\(|url\(|calc\(", said)
    assert "#9c2a0b" in said


def test_text_stands_by_itself_in_narrow_lines(letter: Letter) -> None:
    assert max(map(len, letter.text.splitlines())) <= TEXT_WIDTH
    assert "Not due does not mean safe." in letter.text
    assert "Overdue: " in letter.text
    assert not re.search("[<>{}\u00a0]|&[a-z]+;", letter.text)


def test_what_the_input_says_is_shown_not_obeyed() -> None:
    db = report_tables(3)
    nasty = "<script>alert(1)</script> & <b>\x1b[31mred\u202e\n\nBcc: x"
    db.execute("update due_list set vehicle_title = ?, task_title = ?, caution = ?", [nasty, nasty, nasty])
    made = week_letter(db, b"")
    assert "<script" not in made.html
    assert "&lt;script&gt;" in made.html
    # In plain text a bracket is a bracket; what moves a terminal's cursor or turns text round is not there.
    assert "<script>" in made.text
    assert {char for char in made.text if unicodedata.category(char) in ("Cc", "Cf")} == {"\n"}


def test_nothing_is_fetched_for_the_style() -> None:
    head = '<link rel="stylesheet" href="http://127.0.0.1:9/x.css"><style>p{color:red}</style>'
    html = f'<html><head>{head}</head><body><p class="a">x</p></body></html>'
    assert '<p style="color:red">x</p>' in inline(html)


def test_a_long_word_is_broken_not_let_out() -> None:
    assert max(map(len, wrap("w" * 300, 4, "  - ").splitlines())) == TEXT_WIDTH


def test_no_recipients_no_letter(sample_week: Path) -> None:
    """The sample fleet names recipients for other reports too: only those that are written have a letter."""
    written = {path.stem for path in (sample_week / "mail").iterdir()}
    assert "week" in written
