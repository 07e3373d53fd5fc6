"""fleet.toml as typed settings; every fault named by its key, with what was found and what was expected.

`read_settings` collects all faults before it stops. A missing file means all defaults. Nothing here knows what
a setting is used for.
"""

import tomllib
from datetime import date, datetime
from difflib import get_close_matches
from pathlib import Path
from typing import Annotated, Any, Literal
from zoneinfo import ZoneInfo

from pydantic import AfterValidator, Field, ValidationError
from pydantic_core import ErrorDetails

from fleetreport.problem import CannotReadOrWrite, WrongCall
from fleetreport.section import Section, known_time_zone
from fleetreport.sources import Column as SourceColumn
from fleetreport.sources import Source

# One address, nothing that could end a header or begin another.
ADDRESS = r"^[^@\s<>,;:\"()\[\]\\\x00-\x20\x7f]+@[A-Za-z0-9.-]+$"


class Fleet(Section):
    """[fleet]: whose vehicles these are, and the units, zone and year its people use."""

    name: str = ""
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = "XXX"
    distance_unit: Literal["km", "mi"] = "km"
    time_zone: Annotated[str, AfterValidator(known_time_zone)] = "UTC"
    financial_year_starts: Annotated[int, Field(ge=1, le=12)] = 1
    records_from: date | None = None


class Week(Section):
    """[week]: how far ahead `due` and `upcoming` look, in days."""

    due_days: Annotated[int, Field(ge=0, le=366)] = 7
    horizon_days: Annotated[int, Field(ge=0, le=3660)] = 56


class Workshop(Section):
    """[workshop]: what labour costs, and the hours of it each depot has in a week."""

    labour_rate: Annotated[float, Field(ge=0)] = 0
    tax_rate: Annotated[float, Field(ge=0, le=1)] = 0
    hours_per_week: dict[str, Annotated[float, Field(ge=0, le=1_000_000)]] = Field(default_factory=dict)


class MostPerDay(Section):
    """[meters] most_per_day: no vehicle gains more in a day."""

    km: Annotated[float, Field(ge=0.001, le=100_000)] = 1500
    h: Annotated[float, Field(ge=0.001, le=24)] = 24


class Meters(Section):
    """[meters]: what a meter can believably do, and after how many days without a reading it is stale."""

    most_per_day: MostPerDay = MostPerDay()
    stale_days: Annotated[int, Field(ge=0, le=3660)] = 35


class Money(Section):
    """[money]: how prices grow, as a share a year (0.03 is 3 %), and how many months ahead are planned."""

    inflation_per_year: Annotated[float, Field(gt=-1, le=10)] = 0
    months_ahead: Annotated[int, Field(ge=1, le=36)] = 12


class Stock(Section):
    """[stock]: the chance that the shelf lasts until the next delivery, and the days from one order to the next."""

    service_level: Annotated[float, Field(gt=0, lt=1)] = 0.95
    review_days: Annotated[int, Field(ge=1, le=366)] = 7


class Smtp(Section):
    """[smtp]: the server that takes the mail, always over TLS; the password is never a setting.

    It is read from the environment variable FLEETREPORT_SMTP_PASSWORD or from `password_file`.
    """

    host: str = ""
    port: Annotated[int, Field(ge=1, le=65535)] = 587
    security: Literal["starttls", "tls"] = "starttls"
    user: str = ""
    password_file: str = ""
    sender: Annotated[str, Field(pattern=ADDRESS)] | Literal[""] = ""
    ca_file: str = ""


class Settings(Section):
    """All of fleet.toml. `[mail]` holds lists of addresses by report."""

    fleet: Fleet = Fleet()
    week: Week = Week()
    workshop: Workshop = Workshop()
    meters: Meters = Meters()
    money: Money = Money()
    stock: Stock = Stock()
    source: list[Source] = Field(default_factory=list)
    mail: dict[str, list[Annotated[str, Field(pattern=ADDRESS)]]] = Field(default_factory=dict)
    smtp: Smtp = Smtp()

    def today(self) -> date:
        """The day it is where the fleet is."""
        return datetime.now(ZoneInfo(self.fleet.time_zone)).date()


def read_settings(fleet: Path) -> Settings:
    """The settings of a fleet folder.

    Raises CannotReadOrWrite where fleet.toml cannot be read, WrongCall with a line for each fault otherwise.
    """
    path = fleet / "fleet.toml"
    if not fleet.is_dir():
        raise CannotReadOrWrite(f"{fleet}: found no such folder, expected a fleet folder")
    try:
        found = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except FileNotFoundError:
        return Settings()
    except OSError as error:
        raise CannotReadOrWrite(f"{path}: {error.strerror}") from None
    except UnicodeDecodeError as error:
        raise WrongCall(f"{path}: found bytes that are not UTF-8 at byte {error.start}, expected UTF-8") from None
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise WrongCall(f"{path}: {error}, expected TOML", help="text stands in double quotes") from None
    try:
        return Settings.model_validate(found)
    except ValidationError as error:
        raise WrongCall(*(_message(path, fault) for fault in error.errors())) from None


def _message(path: Path, fault: ErrorDetails) -> str:
    """One fault as `file: key: found …, expected …`; sections of a list are counted from 1."""
    is_listed = fault["loc"][0] == "source" and len(fault["loc"]) > 1
    loc = [
        part + 1 if is_listed and at == 1 and isinstance(part, int) else part for at, part in enumerate(fault["loc"])
    ]
    key = ".".join(str(part) for part in loc)
    if fault["type"] == "extra_forbidden":
        known = _keys_beside(fault["loc"])
        near = get_close_matches(str(fault["loc"][-1]), known, 1)
        meant = f" (did you mean {near[0]}?)" if near else ""
        return f"{path}: {key}: found a key that means nothing here, expected one of {', '.join(known)}{meant}"
    if fault["type"] == "missing":
        return f"{path}: {key}: found no such key, expected it in every section of this kind"
    if is_listed and len(loc) == 2 and fault["type"] == "value_error":
        return f"{path}: {key}.{fault['ctx']['error']}"
    return f"{path}: {key}: found {_shown(fault['input'])}, expected {_expected(fault)}"


def _keys_beside(loc: tuple[int | str, ...]) -> list[str]:
    model: Any = Settings
    for part in loc[:-1]:
        if isinstance(part, int):
            model = Source
        elif model is not Source:
            model = model.model_fields[part].annotation
        elif part != "columns":
            model = SourceColumn
    return list(model.model_fields)


def _shown(value: object) -> str:
    if isinstance(value, dict | list):
        return "a table" if isinstance(value, dict) else "a list"
    if isinstance(value, bool):
        return str(value).lower()
    return f'"{value}"' if isinstance(value, str) else str(value)


EXPECTED = {
    "string_type": "text in double quotes",
    "int_type": "a whole number",
    "float_type": "a number",
    "date_type": "a date such as 2024-01-01, without quotes",
    "list_type": "a list of addresses",
    "dict_type": "a table",
    "model_type": "a table",
}


def _expected(fault: ErrorDetails) -> str:
    if fault["type"] == "value_error":
        return str(fault["ctx"]["error"])
    if fault["type"] == "string_pattern_mismatch":
        at = "@" in fault["ctx"]["pattern"]
        return "an address such as workshop@example.org" if at else "three capital letters such as EUR"
    words = fault["msg"].removeprefix("Input should be ")
    return EXPECTED.get(fault["type"], words)
