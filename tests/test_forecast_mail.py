"""The accountant's letter: written for those named under [mail] forecast only, sent to nobody else, read back whole."""

from email import message_from_bytes
from email.message import EmailMessage
from email.policy import default
from pathlib import Path

from conftest import WriteFleet
from test_forecast import AS_OF, SETTINGS, rows_of, small_fleet

from fleetreport.letters.send import letters_in, plan_of
from fleetreport.settings.fleet_toml import read_settings
from fleetreport.week import make_week

NAMED = SETTINGS + '    [mail]\n    forecast = ["accounts@example.org"]\n'


def test_the_accountants_letter(write_fleet: WriteFleet, tmp_path: Path) -> None:
    """Text and HTML say the same total, the workbook is the one of the run; it would go to the one named alone."""
    fleet, out = small_fleet(write_fleet, settings=NAMED), tmp_path / "out"
    make_week(fleet, AS_OF, out)
    made = message_from_bytes((out / "mail" / "forecast.eml").read_bytes(), policy=default)
    assert isinstance(made, EmailMessage)
    assert [part.defects for part in made.walk() if part.defects] == []
    assert made["To"] == "accounts@example.org"
    whole = next(row for row in rows_of(out, "forecast_totals") if row["level"] == "all")
    total = f"{round(float(whole['total'])):,}"
    assert made["Subject"] == f"fleet: maintenance spend of {total} EUR ahead, to 30 Nov 2027"
    kinds = [part.get_content_type() for part in made.walk()]
    assert kinds[:6] == [
        "multipart/mixed", "multipart/alternative", "text/plain", "multipart/related", "text/html", "image/png",
    ]  # fmt: skip
    text, html = (str(part.get_content()) for part in made.walk() if part.get_content_maintype() == "text")
    assert total in text
    assert total in html
    assert "not a provision (IAS 37)" in " ".join(text.split())
    assert "{" not in text
    assert "<" not in text
    assert max(map(len, text.splitlines())) <= 78
    assert "<style" not in html
    assert "<script" not in html
    attached = next(made.iter_attachments())
    assert attached.get_filename() == "forecast-2026-11-25.xlsx"
    assert attached.get_content() == (out / "forecast.xlsx").read_bytes()
    plan = plan_of(letters_in(out), read_settings(fleet), tmp_path / "log")
    assert [(one.name, one.recipient) for one in plan.to_send] == [("forecast.eml", "accounts@example.org")]
    # Named no longer, they get nothing, and the letter of before is gone with the next run.
    small_fleet(write_fleet)
    plan = plan_of(letters_in(out), read_settings(fleet), tmp_path / "log")
    assert (plan.to_send, [one.recipient for one in plan.not_named]) == ([], ["accounts@example.org"])
    make_week(fleet, AS_OF, out)
    assert not (out / "mail" / "forecast.eml").exists()
