"""Sending, against a real SMTP server on this machine: over TLS, to the people named, each once."""

import socket
import ssl
from collections.abc import Iterator
from datetime import date
from email import message_from_bytes
from email.message import EmailMessage
from email.policy import default
from pathlib import Path
from typing import Any

import pytest
import trustme
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import AuthResult, Envelope, LoginPassword, Session
from typer.testing import CliRunner

from fleetreport.cli import app
from fleetreport.letters.mail import Envelope as MailEnvelope
from fleetreport.letters.mail import Letter, message
from fleetreport.letters.send import Delivery, _read_log, _write_log, letters_in, plan_of, send_all
from fleetreport.problem import CannotReadOrWrite, WrongCall
from fleetreport.settings.fleet_toml import Mail, Settings, Smtp

AUTHORITY = trustme.CA()
HERE = "127.0.0.1"
A, B, C = "a@example.org", "b@example.org", "c@example.org"


class Box:
    """A server's handler that keeps what it takes and refuses whom it is told to."""

    def __init__(self) -> None:
        self.taken: list[tuple[list[str], bytes]] = []
        self.refuse: dict[str, str] = {}

    async def handle_RCPT(self, server: Any, session: Session, envelope: Envelope, address: str, options: Any) -> str:
        if address in self.refuse:
            return self.refuse[address]
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server: Any, session: Session, envelope: Envelope) -> str:
        assert session.ssl is not None
        assert isinstance(envelope.original_content, bytes)
        self.taken.append((list(envelope.rcpt_tos), envelope.original_content))
        return "250 taken"


def accept(server: Any, session: Session, envelope: Envelope, mechanism: str, data: Any) -> AuthResult:
    good = isinstance(data, LoginPassword) and (data.login, data.password) == (b"fleet", b"open sesame")
    return AuthResult(success=good, handled=False)


@pytest.fixture
def box() -> Box:
    return Box()


@pytest.fixture
def smtp(box: Box, tmp_path: Path) -> Iterator[Smtp]:
    """A server on the loopback address that wants STARTTLS and a user."""
    context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    AUTHORITY.issue_cert(HERE).configure_cert(context)
    with socket.create_server((HERE, 0)) as free:
        port = free.getsockname()[1]
    server = Controller(
        box, hostname=HERE, port=port, tls_context=context, require_starttls=True,
        auth_required=True, authenticator=accept, auth_require_tls=True,
    )  # fmt: skip
    server.start()
    AUTHORITY.cert_pem.write_to_path(tmp_path / "ca.pem")
    (tmp_path / "password").write_text("open sesame\n")
    yield Smtp(
        host=HERE, port=port, user="fleet", sender="workshop@example.org",
        ca_file=str(tmp_path / "ca.pem"), password_file=str(tmp_path / "password"),
    )  # fmt: skip
    server.stop()


@pytest.fixture
def out(tmp_path: Path) -> Path:
    (tmp_path / "out" / "mail").mkdir(parents=True)
    write(tmp_path / "out", "week", [A, B])
    return tmp_path / "out"


def write(out: Path, report: str, recipients: list[str], text: str = "What must come in.\n") -> None:
    letter = Letter(report, "Week 48", text, f"<p>{text}</p>\n")
    raw = message(letter, MailEnvelope("workshop@example.org", recipients, date(2026, 11, 25), "UTC")).as_bytes()
    (out / "mail" / f"{report}.eml").write_bytes(raw)


def settings(smtp: Smtp, *recipients: str) -> Settings:
    return Settings(mail=Mail(week=list(recipients)), smtp=smtp)


def test_each_person_named_gets_each_letter_once(smtp: Smtp, box: Box, out: Path, tmp_path: Path) -> None:
    log = tmp_path / "sent.tsv"
    plan = plan_of(letters_in(out), settings(smtp, A, B), log)
    outcome = send_all(plan.to_send, settings(smtp, A, B), log)
    assert [one.recipient for one in outcome.sent] == [A, B]
    assert [to for to, _ in box.taken] == [[A], [B]]
    again = plan_of(letters_in(out), settings(smtp, A, B), log)
    assert again.to_send == []
    assert [one.recipient for one in again.sent_before] == [A, B]


def test_what_arrives_is_what_stands_in_the_file(smtp: Smtp, box: Box, out: Path, tmp_path: Path) -> None:
    plan = plan_of(letters_in(out), settings(smtp, A), tmp_path / "log")
    send_all(plan.to_send, settings(smtp, A), tmp_path / "log")
    arrived = message_from_bytes(box.taken[0][1], policy=default)
    stands = message_from_bytes((out / "mail" / "week.eml").read_bytes(), policy=default)
    assert arrived["Message-ID"] == stands["Message-ID"]
    assert arrived["To"] == A
    assert arrived["Date"] != stands["Date"]
    for kind in ("plain", "html"):
        one, other = (m.get_body((kind,)) for m in (arrived, stands))  # type: ignore[attr-defined]
        assert one.get_content() == other.get_content()


def test_a_person_the_settings_do_not_name_gets_nothing(smtp: Smtp, box: Box, out: Path, tmp_path: Path) -> None:
    write(out, "week", [A, C])
    plan = plan_of(letters_in(out), settings(smtp, A), tmp_path / "log")
    assert [one.recipient for one in plan.not_named] == [C]
    assert [one.recipient for one in plan.to_send] == [A]


def test_a_partial_refusal_is_told_and_tried_again_alone(smtp: Smtp, box: Box, out: Path, tmp_path: Path) -> None:
    log = tmp_path / "log"
    box.refuse = {A: "550 no such box", B: "451 try later"}
    write(out, "week", [A, B, C])
    named = settings(smtp, A, B, C)
    outcome = send_all(plan_of(letters_in(out), named, log).to_send, named, log)
    assert [(one.recipient, why) for one, why in outcome.refused] == [(A, "550 no such box"), (B, "451 try later")]
    assert [one.recipient for one in outcome.sent] == [C]
    box.refuse = {}
    again = send_all(plan_of(letters_in(out), named, log).to_send, named, log)
    assert [one.recipient for one in again.sent] == [A, B]
    assert [to for to, _ in box.taken] == [[C], [A], [B]]


def test_a_mended_letter_is_another_letter(smtp: Smtp, box: Box, out: Path, tmp_path: Path) -> None:
    log, named = tmp_path / "log", settings(smtp, A)
    send_all(plan_of(letters_in(out), named, log).to_send, named, log)
    write(out, "week", [A, B], "Mended.\n")
    assert len(plan_of(letters_in(out), named, log).to_send) == 1


def test_a_log_cut_off_in_its_last_line_is_read(smtp: Smtp, out: Path, tmp_path: Path) -> None:
    log, named = tmp_path / "log", settings(smtp, A, B)
    send_all(plan_of(letters_in(out), named, log).to_send, named, log)
    text = log.read_text()
    log.write_text(text[: text.index(B) - 5])
    assert [one.recipient for one in plan_of(letters_in(out), named, log).to_send] == [B]


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"ca_file": ""}, "its certificate is not trusted"),
        ({"port": 1}, "the mail server cannot be used"),
        ({"user": "other"}, "the user or the password was not accepted (535)"),
        ({"user": ""}, "530"),
    ],
)
def test_a_server_that_cannot_be_used_is_named(
    smtp: Smtp, box: Box, out: Path, tmp_path: Path, change: dict[str, Any], told: str
) -> None:
    named = settings(smtp.model_copy(update=change), A)
    plan = plan_of(letters_in(out), named, tmp_path / "log")
    try:
        said = "".join(why for _, why in send_all(plan.to_send, named, tmp_path / "log").refused)
    except CannotReadOrWrite as error:
        said = str(error)
    assert told in said
    assert "sesame" not in said
    assert box.taken == []


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"host": ""}, "fleet.toml: smtp.host: found none, expected it to send mail"),
        ({"sender": ""}, "fleet.toml: smtp.sender: found none, expected it to send mail"),
        ({"password_file": ""}, "found no password for fleet"),
    ],
)
def test_a_missing_setting_is_named(smtp: Smtp, out: Path, tmp_path: Path, change: dict[str, Any], told: str) -> None:
    named = settings(smtp.model_copy(update=change), A)
    plan = plan_of(letters_in(out), named, tmp_path / "log")
    with pytest.raises(WrongCall, match=told):
        send_all(plan.to_send, named, tmp_path / "log")


def test_the_password_may_come_from_the_environment(
    smtp: Smtp, box: Box, out: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FLEETREPORT_SMTP_PASSWORD", "open sesame")
    named = settings(smtp.model_copy(update={"password_file": ""}), A)
    assert send_all(plan_of(letters_in(out), named, tmp_path / "log").to_send, named, tmp_path / "log").sent


def fleet_with(tmp_path: Path, smtp: Smtp) -> Path:
    fleet = tmp_path / "fleet"
    fleet.mkdir()
    lines = [f"{key} = {value!r}" for key, value in smtp.model_dump().items()]
    (fleet / "fleet.toml").write_text("\n".join(["[mail]", f'week = ["{A}", "{B}"]', "[smtp]", *lines]))
    return fleet


def test_the_command_sends_nothing_unless_told(smtp: Smtp, box: Box, out: Path, tmp_path: Path) -> None:
    fleet = fleet_with(tmp_path, smtp)
    said = CliRunner().invoke(app, ["send", str(out), "--fleet", str(fleet)])
    assert said.exit_code == 0
    assert said.stdout.splitlines() == [
        f"week.eml: {A}: would be sent: Week 48",
        f"week.eml: {B}: would be sent: Week 48",
        "nothing was sent; 2 messages would be with --really",
    ]
    assert box.taken == []
    assert not (fleet / ".fleetreport").exists()


def test_the_command_sends_and_remembers(smtp: Smtp, box: Box, out: Path, tmp_path: Path) -> None:
    fleet = fleet_with(tmp_path, smtp)
    call = ["send", str(out), "--fleet", str(fleet), "--really"]
    assert CliRunner().invoke(app, call).stdout.splitlines() == [f"week.eml: {A}: sent", f"week.eml: {B}: sent"]
    assert CliRunner().invoke(app, call).stdout.splitlines() == [
        f"week.eml: {A}: sent before",
        f"week.eml: {B}: sent before",
    ]
    assert len(box.taken) == 2


def test_a_folder_without_letters_is_told(tmp_path: Path) -> None:
    with pytest.raises(CannotReadOrWrite, match="found no message, expected at least one"):
        letters_in(tmp_path)


def test_a_strange_file_is_named(out: Path) -> None:
    (out / "mail" / "other.eml").write_bytes(b"\xff\x00 nothing")
    with pytest.raises(CannotReadOrWrite, match=r"other.eml: found a file that is no message"):
        letters_in(out)


def test_a_line_that_was_cut_off_does_not_take_the_next_with_it(tmp_path: Path) -> None:
    log = tmp_path / "sent.log"
    log.write_text("2026-11-25T05:30:00+00:00\t<a@example.org>\ta@exam", encoding="utf-8")
    _write_log(log, Delivery("week.eml", "week", "<b@example.org>", B, EmailMessage()))
    assert _read_log(log) == [("<b@example.org>", B)]
