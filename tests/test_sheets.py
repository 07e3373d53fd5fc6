"""What a cell of a sheet can hold: the limits of XML and of a workbook, met without losing what was said."""

import tracemalloc
from datetime import date
from decimal import Decimal
from io import BytesIO

import pytest
from openpyxl import Workbook

from fleetreport.languages.catalogues import Catalogue
from fleetreport.workbooks import sheets
from fleetreport.workbooks.sheet_cells import CELL_UNITS, FIRST_DAY, Quantity, as_cell_text, cell_content, lines_of


def test_what_a_cell_cannot_hold_is_replaced_and_the_rest_kept() -> None:
    """Characters by XML 1.0 section 2.2; `_xHHHH_` by ECMA-376 part 1, 22.9.2.19."""
    assert as_cell_text("a\x07b\x00c\ufffe") == "a\ufffdb\ufffdc\ufffd"
    assert as_cell_text("a\tb\nc\r\nd\re") == "a\tb\nc\nd\ne"
    assert as_cell_text("_x000A_ _x00_ x_xBEEF_") == "_x005F_x000A_ _x00_ x_x005F_xBEEF_"


@pytest.mark.parametrize("text", ["x" * 40_000, "\U0001f69a" * 20_000, "x" * (CELL_UNITS + 1)])
def test_text_too_long_for_a_cell_is_cut_with_a_note(text: str) -> None:
    """A cell holds 32,767 UTF-16 units; a character beyond the first 65,536 takes two."""
    cut = as_cell_text(text)
    assert len(cut.encode("utf-16-le")) // 2 <= CELL_UNITS
    assert cut.endswith(f" [cut: {len(text):,} characters]")
    assert len(cut) > 10_000
    assert as_cell_text("x" * CELL_UNITS) == "x" * CELL_UNITS


def test_values_a_workbook_has_no_type_for() -> None:
    assert cell_content("date", date(1899, 12, 31))[0] == "1899-12-31"
    assert cell_content("date", FIRST_DAY)[0] == FIRST_DAY
    assert cell_content("number", float("nan"))[0] is None
    assert cell_content("number", Decimal("1.5"))[0] == Decimal("1.5")
    assert cell_content("distance", Quantity(None, "km"))[0] is None
    assert cell_content("distance", Quantity(5, 'k"m'))[1].number_format == '#,##0 "km"'


def test_lines_of_wrapped_text() -> None:
    assert lines_of("x" * 141, 70) == 3
    assert lines_of("a\nb", 70) == 2
    assert lines_of("", 70) == 1


def test_a_column_remembers_short_texts_and_lets_long_ones_go(monkeypatch: pytest.MonkeyPatch) -> None:
    """At most REMEMBERED of LONGEST_REMEMBERED characters: what is kept of a sheet does not grow with its texts."""
    made: list[object] = []

    def counted(kind: str, value: object, words: Catalogue) -> object:
        made.append(value)
        return cell_content(kind, value, words)

    monkeypatch.setattr(sheets, "cell_content", counted)
    book = Workbook(write_only=True)
    sheet = sheets.Sheet(book, "Notes", (sheets.Column("Note", "text", 20),), "")
    short, long = "x" * sheets.LONGEST_REMEMBERED, "x" * (sheets.LONGEST_REMEMBERED + 1)
    for text in (short, short, long, long):
        sheet.add([text])
    assert made == [short, long, long]
    monkeypatch.undo()
    tracemalloc.start()
    for number in range(sheets.REMEMBERED):
        sheet.add([f"{number} {'x' * 20_000}"])
    kept, _ = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    # All of them would be 20 MB and as much again of XML.
    assert kept < 3_000_000
    for body in sheet.close().values():
        body.close()
    book.save(BytesIO())
