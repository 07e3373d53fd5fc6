"""The same week under other circumstances is the same, byte for byte; same_bytes.py tries each by itself."""

import shutil
from pathlib import Path, PurePath

import pytest
from trust.same_bytes import USUAL, another_locale, shuffled, small_fleet, week

OTHER = {"PYTHONHASHSEED": "1", "THREADS": "1", "TZ": "Pacific/Kiritimati"}


@pytest.mark.skipif(shutil.which("locale") is None, reason="no list of locales")
def test_row_order_threads_hashes_locale_and_time_zone_change_no_byte_of_any_file(
    sample_week: Path, tmp_path: Path
) -> None:
    fleet = small_fleet(tmp_path / "fleet", sample_week)
    usual = week(fleet, tmp_path / "usual", USUAL)
    other = week(
        shuffled(fleet, tmp_path / "rows" / "fleet", 1), tmp_path / "rows", {**OTHER, "LC_ALL": another_locale()}
    )
    assert {PurePath(name).suffix for name in usual} >= {".html", ".xlsx", ".eml", ".ics", ".csv", ".parquet"}
    assert usual["data/quarantine.csv"].count(b"\n") == usual["data/unmatched.csv"].count(b"\n") == 1
    assert [name for name in usual.keys() | other.keys() if usual.get(name) != other.get(name)] == []
