"""Send the letters of a week: each to the people the settings name, each once, over TLS.

`letters_in` reads the messages that a week left in its mail folder. `plan_of` says who would get which, leaving out
those who have it by the log. `send_all` hands them to the server one recipient at a time and writes every acceptance to
the log at once, so that a run that is cut short is taken up where it stopped. A recipient whom the settings do not name
gets nothing, whatever stands in the file.

Passwords are read here and go nowhere else. Knows nothing of what a letter says.
"""

import base64
import os
import smtplib
import ssl
from collections.abc import Iterable, Sequence
from contextlib import suppress
from datetime import UTC, datetime
from email import message_from_bytes
from email.message import EmailMessage
from email.policy import SMTP, default
from email.utils import format_datetime, getaddresses
from pathlib import Path
from typing import NamedTuple

from fleetreport.problem import CannotReadOrWrite, WrongCall
from fleetreport.settings.fleet_toml import Settings, Smtp

SECONDS_TO_WAIT = 60
PASSWORD = "FLEETREPORT_SMTP_PASSWORD"  # noqa: S105 the name of the variable


class Delivery(NamedTuple):
    """One message for one recipient: `name` is its file, `report` the group in the settings it belongs to."""

    name: str
    report: str
    message_id: str
    recipient: str
    message: EmailMessage


class Plan(NamedTuple):
    """What is to be sent, what the log says was, and who stands in a file but not in the settings."""

    to_send: list[Delivery]
    sent_before: list[Delivery]
    not_named: list[Delivery]


class Outcome(NamedTuple):
    """What the server took, and what it did not, each with the server's words."""

    sent: list[Delivery]
    refused: list[tuple[Delivery, str]]


def letters_in(out: Path) -> list[tuple[str, EmailMessage]]:
    """The messages of `out`/mail by file name. Raises CannotReadOrWrite where there is none or one cannot be read."""
    folder = out / "mail"
    found = []
    try:
        for path in sorted(folder.glob("*.eml")):
            made = message_from_bytes(path.read_bytes(), policy=default)
            if not isinstance(made, EmailMessage) or made.defects or not made["Message-ID"] or not made["To"]:
                raise CannotReadOrWrite(f"{path}: found a file that is no message of this program")
            found.append((path.name, made))
    except OSError as error:
        raise CannotReadOrWrite(f"{error.filename}: {error.strerror}") from None
    if not found:
        raise CannotReadOrWrite(
            f"{folder}: found no message, expected at least one .eml file",
            help="name recipients under [mail] in fleet.toml, then run `fleetreport week`",
        )
    return found


def plan_of(letters: Iterable[tuple[str, EmailMessage]], settings: Settings, log: Path) -> Plan:
    """Who is to get what. `log` is the record of what was sent; a missing one means nothing was."""
    had = set(_read_log(log))
    plan = Plan([], [], [])
    for name, made in letters:
        report = name.removesuffix(".eml")
        named = {address.lower() for address in settings.mail.named(report)}
        for _, address in getaddresses([str(value) for value in made.get_all("To", [])]):
            one = Delivery(name, report, str(made["Message-ID"]).strip(), address, made)
            if address.lower() not in named:
                plan.not_named.append(one)
            elif (one.message_id, address.lower()) in had:
                plan.sent_before.append(one)
            else:
                plan.to_send.append(one)
    return plan


def send_all(deliveries: Sequence[Delivery], settings: Settings, log: Path) -> Outcome:
    """Send each over one connection; what the server accepts is logged before the next is tried.

    Raises WrongCall where the settings name no server or no password can be had, CannotReadOrWrite where the server
    cannot be reached, its certificate is not trusted or it does not accept the user.
    """
    outcome = Outcome([], [])
    if not deliveries:
        return outcome
    try:
        server = _connect(settings.smtp)
    except CannotReadOrWrite as stop:
        raise CannotReadOrWrite(*(_hidden(said, settings.smtp) for said in stop.messages), help=stop.help) from None
    try:
        for one in deliveries:
            refusal = _hand_over(server, one, settings.smtp.sender)
            if refusal:
                outcome.refused.append((one, _hidden(refusal, settings.smtp)))
            else:
                _write_log(log, one)
                outcome.sent.append(one)
    finally:
        try:
            server.quit()
        except (smtplib.SMTPException, OSError):
            server.close()
    return outcome


def _hand_over(server: smtplib.SMTP, one: Delivery, sender: str) -> str:
    """Give the server one message for one recipient; its words where it does not take it, else nothing."""
    dated = message_from_bytes(one.message.as_bytes(), policy=SMTP)
    # The file is dated by the report's day; a letter is dated when it is sent.
    dated.replace_header("Date", format_datetime(datetime.now(UTC)))
    dated.replace_header("From", sender)
    dated.replace_header("To", one.recipient)
    try:
        refused = server.sendmail(sender, [one.recipient], dated.as_bytes())
    except smtplib.SMTPRecipientsRefused as error:
        refused = error.recipients
    except smtplib.SMTPResponseException as error:
        return f"{error.smtp_code} {_words(error.smtp_error)}"
    except (smtplib.SMTPException, OSError) as error:
        return str(error) or type(error).__name__
    return "; ".join(f"{code} {_words(text)}" for code, text in refused.values())


def _hidden(said: str, smtp: Smtp) -> str:
    """A server's words without the password, should it say that back, plain or as it was handed over."""
    with suppress(WrongCall, CannotReadOrWrite):
        secret = _password(smtp) if smtp.user else ""
        handed = f"\0{smtp.user}\0{secret}"
        for form in (secret, *(base64.b64encode(text.encode()).decode() for text in (secret, handed))):
            said = said.replace(form, "…") if secret else said
    return said


def _connect(smtp: Smtp) -> smtplib.SMTP:
    """A connection over TLS, logged in where the settings name a user."""
    missing = [key for key in ("host", "sender") if not getattr(smtp, key)]
    if missing:
        raise WrongCall(*(f"fleet.toml: smtp.{key}: found none, expected it to send mail" for key in missing))
    where = f"{smtp.host}:{smtp.port}"
    try:
        context = ssl.create_default_context(cafile=smtp.ca_file or None)
        if smtp.security == "tls":
            server: smtplib.SMTP = smtplib.SMTP_SSL(smtp.host, smtp.port, timeout=SECONDS_TO_WAIT, context=context)
        else:
            server = smtplib.SMTP(smtp.host, smtp.port, timeout=SECONDS_TO_WAIT)
            server.starttls(context=context)
        if smtp.user:
            server.login(smtp.user, _password(smtp))
    except ssl.SSLCertVerificationError as error:
        raise CannotReadOrWrite(
            f"{where}: its certificate is not trusted: {error.verify_message}",
            help="name the authority's certificate with ca_file under [smtp] in fleet.toml",
        ) from None
    except smtplib.SMTPNotSupportedError as error:
        raise CannotReadOrWrite(f"{where}: {error}", help="mail is sent over TLS only") from None
    except UnicodeError:
        raise CannotReadOrWrite(
            f"{where}: the user or the password has a character that cannot be sent, expected plain letters (ASCII)"
        ) from None
    except smtplib.SMTPAuthenticationError as error:
        raise CannotReadOrWrite(f"{where}: the user or the password was not accepted ({error.smtp_code})") from None
    except (smtplib.SMTPException, OSError) as error:
        raise CannotReadOrWrite(f"{where}: the mail server cannot be used: {error}") from None
    return server


def _password(smtp: Smtp) -> str:
    """The password, from the environment or from the file the settings name. Raises WrongCall where there is none."""
    if PASSWORD in os.environ:
        return os.environ[PASSWORD]
    if not smtp.password_file:
        raise WrongCall(
            f"found no password for {smtp.user}, expected one in the environment variable {PASSWORD}",
            help="or name a file that holds it with password_file under [smtp] in fleet.toml",
        )
    try:
        return Path(smtp.password_file).read_text(encoding="utf-8").strip("\r\n")
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) else "not UTF-8"
        raise CannotReadOrWrite(f"{smtp.password_file}: the password cannot be read: {reason}") from None


def _words(text: bytes | str) -> str:
    said = text.decode("utf-8", "replace") if isinstance(text, bytes) else text
    return " ".join(said.split())


def _read_log(log: Path) -> list[tuple[str, str]]:
    """(Message-ID, recipient in small letters) of what was sent."""
    try:
        lines = log.read_text(encoding="utf-8").splitlines()
    except FileNotFoundError:
        return []
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) else "not UTF-8"
        raise CannotReadOrWrite(f"{log}: the record of what was sent cannot be read: {reason}") from None
    rows = (line.split("\t") for line in lines)
    # The last line of a run that was killed may be cut off.
    return [(row[1], row[2].lower()) for row in rows if len(row) == 4]


def _write_log(log: Path, one: Delivery) -> None:
    """Add a line, on the disk before the next message goes out: time, Message-ID, recipient, file."""
    at = datetime.now(UTC).isoformat(timespec="seconds")
    try:
        log.parent.mkdir(parents=True, exist_ok=True)
        # A line that was cut off must not take the new one with it.
        cut_off = log.exists() and log.stat().st_size > 0 and not log.read_bytes().endswith(b"\n")
        with log.open("a", encoding="utf-8") as file:
            file.write("\n" * cut_off + "\t".join((at, one.message_id, one.recipient, one.name)) + "\n")
            file.flush()
            os.fsync(file.fileno())
    except OSError as error:
        raise CannotReadOrWrite(
            f"{log}: cannot be written: {error.strerror}",
            help=f"{one.name} WAS sent to {one.recipient}; it would be sent again",
        ) from None
