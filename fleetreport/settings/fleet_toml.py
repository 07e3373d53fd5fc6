"""fleet.toml as typed settings; every fault named by its key, with what was found and what was expected.

`read_settings` collects all faults before it stops. A missing file means all defaults. Nothing here knows what
a setting is used for.
"""

import re
import tomllib
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from typing import Annotated, Literal, NamedTuple
from zoneinfo import ZoneInfo

from pydantic import AfterValidator, Field, PrivateAttr, StringConstraints, ValidationError, model_validator

from fleetreport.problem import CannotReadOrWrite, WrongCall
from fleetreport.settings.faults import key_of, told
from fleetreport.settings.lines import Loc, Places
from fleetreport.settings.section import Section, known_time_zone
from fleetreport.settings.sources import Source
from fleetreport.settings.wording import Rule, any_of, pattern_fault, phrase_part, phrase_pattern
from fleetreport.settings.workshop import Workshop

Name = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1)]
# One address, nothing that could end a header or begin another.
ADDRESS = r"^[^@\s<>,;:\"()\[\]\\\x00-\x20\x7f]+@[A-Za-z0-9.-]+$"


class Fleet(Section):
    """[fleet]: whose vehicles these are, and the language, units, zone and year its people use."""

    name: str = ""
    language: Literal["en", "de"] = "en"
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = "XXX"
    distance_unit: Literal["km", "mi"] = "km"
    time_zone: Annotated[str, AfterValidator(known_time_zone)] = "UTC"
    financial_year_starts: Annotated[int, Field(ge=1, le=12)] = 1
    records_from: date | None = None


class Week(Section):
    """[week]: how far ahead `due` and `upcoming` look, in days; how large reports may grow, in vehicles."""

    due_days: Annotated[int, Field(ge=0, le=366)] = 7
    horizon_days: Annotated[int, Field(ge=0, le=3660)] = 56
    vehicle_pages: Annotated[int, Field(ge=0, le=1_000_000)] = 1000
    split_above: Annotated[int, Field(ge=1, le=1_000_000)] = 1000


class MostPerDay(Section):
    """[meters] most_per_day: no vehicle gains more in a day."""

    km: Annotated[float, Field(ge=0.001, le=100_000)] = 1500
    h: Annotated[float, Field(ge=0.001, le=24)] = 24


class Meters(Section):
    """[meters]: what a meter can believably do, and after how many days without a reading it is stale."""

    most_per_day: MostPerDay = MostPerDay()
    stale_days: Annotated[int, Field(ge=0, le=3660)] = 35


class Money(Section):
    """[money]: how prices grow, as a share a year (0.03 is 3 %), and how many months ahead are planned.

    `growth` gives an own growth to a kind of item, or to `labour`; `discount_rate` is what money costs a year.
    """

    inflation_per_year: Annotated[float, Field(gt=-1, le=10)] = 0
    months_ahead: Annotated[int, Field(ge=1, le=36)] = 12
    growth: dict[str, Annotated[float, Field(gt=-1, le=10)]] = {}
    discount_rate: Annotated[float, Field(ge=0, le=1)] = 0.05


class Confirmed(Section):
    """[[stock.confirmed]]: the vehicle's maker was asked and accepts a product that does not list what an item needs.

    `said` is who said so and when, to be read beside the line of the order.
    """

    item: Name
    product: Name
    said: Name


class Stock(Section):
    """[stock]: the chance that the shelf lasts until the next delivery, and the days from one order to the next.

    `only_listed`: buy no product that does not list what the item needs, unless it is `confirmed`; `only_listed_for`:
    the same for these items alone. `deliver_to` is the place that suppliers are told. `cost_of_an_order` (money) and
    `holding_per_year` (share of the price) are for the economic quantity; 0: not shown.
    """

    service_level: Annotated[float, Field(gt=0, lt=1)] = 0.95
    review_days: Annotated[int, Field(ge=1, le=366)] = 7
    only_listed: bool = False
    only_listed_for: list[Name] = []
    confirmed: list[Confirmed] = []
    deliver_to: str = ""
    cost_of_an_order: Annotated[float, Field(ge=0, le=1_000_000)] = 0
    holding_per_year: Annotated[float, Field(ge=0, le=10)] = 0


class Machine(Section):
    """[machine]: what a run may take. `memory` is the MiB that the database holds before it puts work on disk.

    Python, and what the system keeps of files, come on top: about half a GiB.
    """

    memory: Annotated[int, Field(ge=256, le=4_000_000)] = 1200


class Outputs(Section):
    """[outputs]: who of this machine's users may read the reports: their owner alone, his group too, or everyone."""

    readable_by: Literal["owner", "group", "everyone"] = "owner"


Address = Annotated[str, Field(pattern=ADDRESS)]


class Mail(Section):
    """[mail]: who gets which letter, by the report that it tells of."""

    week: list[Address] = []
    order: list[Address] = []
    forecast: list[Address] = []

    def named(self, report: str) -> list[str]:
        """The addresses of those who get the letter of a report; none where no letter has that name."""
        named: dict[str, list[str]] = dict(self)
        return named.get(report, [])


class Smtp(Section):
    """[smtp]: the server that takes the mail, always over TLS; the password is never a setting.

    It is read from the environment variable FLEETREPORT_SMTP_PASSWORD or from `password_file`.
    """

    host: str = ""
    port: Annotated[int, Field(ge=1, le=65535)] = 587
    security: Literal["starttls", "tls"] = "starttls"
    user: str = ""
    password_file: str = ""
    sender: Annotated[str, Field(pattern=rf"^$|{ADDRESS}")] = ""
    ca_file: str = ""


def _phrase(text: str) -> str:
    phrase_pattern(text)
    return text


def _pattern(text: str) -> str:
    if fault := pattern_fault(text):
        raise ValueError(fault)
    return text


Phrase = Annotated[str, AfterValidator(_phrase)]
NO_CONDITION = "words, and_words or pattern: what to look for in a description"
NO_MEANING = "task, kind or item: what such a description means"


class Wording(Section):
    """[[wording]]: what a description in the history means, where the line does not say it in its own cells.

    It must hold one of `words`, all of `and_words`, none of `not_words`, and fit `pattern`; what is left out asks for
    nothing. `class` narrows it to vehicles of that class.
    """

    words: list[Phrase] = []
    and_words: list[Phrase] = []
    not_words: list[Phrase] = []
    pattern: Annotated[str, StringConstraints(min_length=1), AfterValidator(_pattern)] | None = None
    vehicle_class: Name | None = Field(default=None, alias="class")
    task: Name | None = None
    kind: Literal["scheduled", "repair", "top_up", "check"] | None = None
    item: Name | None = None
    _line: int = PrivateAttr(default=0)

    @model_validator(mode="after")
    def _says_something(self) -> "Wording":
        if not (self.words or self.and_words or self.pattern):
            raise ValueError(NO_CONDITION)
        if not (self.task or self.kind or self.item):
            raise ValueError(NO_MEANING)
        return self

    def rule(self) -> Rule:
        """The rule as it is run."""
        said = [", ".join(self.words)] if self.words else []
        said += [f"and {phrase}" for phrase in self.and_words] + [f"not {phrase}" for phrase in self.not_words]
        said += [f"pattern {self.pattern}"] if self.pattern else []
        groups = [self.words] * bool(self.words) + [[phrase] for phrase in self.and_words]
        return Rule(
            self._line, self.vehicle_class, self.task, self.kind, self.item,
            all_of=[any_of(some) for some in groups], parts=[list(map(phrase_part, some)) for some in groups],
            none_of=[phrase_pattern(phrase) for phrase in self.not_words], pattern=self.pattern, said="; ".join(said),
        )  # fmt: skip


class KnownByTheFleet(NamedTuple):
    """A name in the settings that only the fleet's own lists can know: of `depots`, `kinds`, `items` or `products`.

    `key` and `line` (0: not known) are where it stands; of a product, `name` is the item it is confirmed for.
    """

    of: str
    key: str
    name: str
    product: str
    line: int


class Settings(Section):
    """All of fleet.toml."""

    fleet: Fleet = Fleet()
    week: Week = Week()
    workshop: Workshop = Workshop()
    meters: Meters = Meters()
    money: Money = Money()
    stock: Stock = Stock()
    machine: Machine = Machine()
    source: list[Source] = Field(default_factory=list)
    mail: Mail = Mail()
    smtp: Smtp = Smtp()
    outputs: Outputs = Outputs()
    wording: list[Wording] = []
    _lines: dict[Loc, int] = PrivateAttr(default_factory=dict)

    def names(self) -> list[KnownByTheFleet]:
        """Each name that has to be looked up in the fleet's lists."""
        return [
            KnownByTheFleet(of, key_of(loc), name, product, self._lines.get(loc, 0))
            for of, loc, name, product in self._names()
        ]

    def _names(self) -> Iterator[tuple[str, Loc, str, str]]:
        for section, depots in (("hours_per_week", self.workshop.hours_per_week), ("crews", self.workshop.crews)):
            yield from (("depots", ("workshop", section, depot), depot, "") for depot in depots)
        yield from (("kinds", ("money", "growth", kind), kind, "") for kind in self.money.growth)
        for at, item in enumerate(self.stock.only_listed_for):
            yield "items", ("stock", "only_listed_for", at), item, ""
        for at, one in enumerate(self.stock.confirmed):
            yield "products", ("stock", "confirmed", at), one.item, one.product

    def find_lines(self, text: str) -> None:
        """Look in `text`, from which these settings were read, for the lines of what the fleet's lists may not know."""
        locs = [("wording", at) for at in range(len(self.wording))] + [loc for _, loc, _, _ in self._names()]
        if locs:
            places = Places(text)
            self._lines = {loc: places.line_of(loc) for loc in locs}
            for at, rule in enumerate(self.wording):
                rule._line = self._lines["wording", at]

    def today(self) -> date:
        """The day it is where the fleet is."""
        return datetime.now(ZoneInfo(self.fleet.time_zone)).date()


# A key of as many parts takes for ever to read.
MOST_POINTS = 1000


def read_settings(fleet: Path) -> Settings:
    """The settings of a fleet folder.

    Raises CannotReadOrWrite where fleet.toml cannot be read, WrongCall with a line for each fault otherwise.
    """
    path = fleet / "fleet.toml"
    if not fleet.is_dir():
        raise CannotReadOrWrite(f"{fleet}: found no such folder, expected a fleet folder")
    try:
        text = path.read_text(encoding="utf-8-sig")
        long = next((at for at, line in enumerate(text.split("\n"), 1) if line.count(".") > MOST_POINTS), 0)
        if long:
            raise WrongCall(f"{path}:{long}: found more than {MOST_POINTS} points in a line, expected settings")
        found = tomllib.loads(text)
    except FileNotFoundError:
        return Settings()
    except OSError as error:
        raise CannotReadOrWrite(f"{path}: {error.strerror}") from None
    except UnicodeDecodeError as error:
        raise WrongCall(f"{path}: found bytes that are not UTF-8 at byte {error.start}, expected UTF-8") from None
    except RecursionError:
        raise WrongCall(f"{path}: found brackets that are nested too deep, expected settings") from None
    except tomllib.TOMLDecodeError as error:
        placed = re.fullmatch(r"(.*) \(at line (\d+), column (\d+)\)", str(error))
        what = f":{placed[2]}: {placed[1]}, column {placed[3]}" if placed else f": {error}"
        raise WrongCall(f"{path}{what}, expected TOML", help="text stands in double quotes") from None
    except ValueError:  # a longer number than Python reads (int_max_str_digits)
        raise WrongCall(f"{path}: found a number of thousands of figures, expected settings") from None
    try:
        settings = Settings.model_validate(found)
    except ValidationError as error:
        raise WrongCall(*told(error.errors(), path, text, Settings)) from None
    settings.find_lines(text)
    return settings
