"""`[[source]]` sections of fleet.toml: what a file is that does not use our column names, and how it writes its values.

The models hold what a person may write, each with its checks, so that every fault is named by its key. `form_of`
gives the format of one column: the section's, with what the column says of itself. Nothing here reads a file.
"""

import re
from collections.abc import Iterator
from itertools import chain
from pathlib import PurePosixPath
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from fleetreport.alike import did_you_mean
from fleetreport.settings.formats import FORMS, ORDERS, SERIALS, SWAPPED, UNIT_WORDS, Format
from fleetreport.settings.section import Section, known_time_zone
from fleetreport.settings.wording import pattern_fault
from fleetreport.tables import BY_NAME, Table

ENCODINGS = (
    "utf-8", "utf-16", "utf-16-le", "utf-16-be", "cp1252", "cp1250", "cp1251", "cp1253", "cp1254", "cp1257",
    "iso-8859-1", "iso-8859-2", "iso-8859-15", "cp437", "cp850", "cp852", "mac_roman",
)  # fmt: skip
DELIMITERS = {",": ",", ";": ";", "|": "|", "tab": "\t", "\t": "\t"}
# Where the unit of a table's meters stands.
UNIT_COLUMN = {"readings": "unit", "meter_changes": "unit", "history": "unit", "vehicles": "distance_unit",
               "tasks": "distance_unit", "vehicle_tasks": "distance_unit"}  # fmt: skip


def _listed(value: object) -> object:
    """One text means a list of one."""
    return (value,) if isinstance(value, str) else tuple(value) if isinstance(value, list) else value


def _files(pattern: str) -> str:
    path = PurePosixPath(pattern)
    if not pattern or path.is_absolute() or ".." in path.parts or re.match(r"[A-Za-z]:|\\|~", pattern):
        raise ValueError("a file of the fleet folder such as fuel.csv or fuel/*.csv, without .. and no absolute path")
    return pattern


def _dates(orders: tuple[str, ...]) -> tuple[str, ...]:
    known = (*ORDERS, *SERIALS, SWAPPED)
    if not orders or any(order not in known for order in orders):
        raise ValueError(f"one of {', '.join(known)}, or a list of one of {', '.join(ORDERS)} and serial")
    if sum(order in ORDERS for order in orders) > 1:
        raise ValueError("one order of day and month for the whole column: which one a row means cannot be told")
    return orders


def is_pattern(text: str) -> bool:
    """Whether a text of `leave_out` or `keep_only` is a regular expression."""
    return len(text) > 1 and text[0] == text[-1] == "/"


def _pattern(text: str) -> str:
    if is_pattern(text) and (fault := pattern_fault(text[1:-1])):
        raise ValueError(f"between slashes {fault}")
    return text


def _marks(marks: tuple[str, ...]) -> tuple[str, ...]:
    if any(mark not in FORMS for mark in marks):
        raise ValueError("one of . , ' a blank, or a list of them")
    return marks


Texts = Annotated[tuple[str, ...], BeforeValidator(_listed)]
Patterns = Annotated[tuple[Annotated[str, AfterValidator(_pattern)], ...], BeforeValidator(_listed)]
Dates = Annotated[Texts, AfterValidator(_dates)]
Marks = Annotated[Texts, AfterValidator(_marks)]
Zone = Annotated[str, AfterValidator(known_time_zone)]
Decimal = Literal[".", ",", "\u066b"]


class Column(Section):
    """One column of a source: the headers it is taken from, and what differs from the rest of the section."""

    header: Annotated[Texts, Field(min_length=1)]
    decimal: Decimal | None = None
    thousands: Marks | None = None
    currency: Texts | None = None
    unit: Annotated[str, Field(min_length=1)] | None = None
    dates: Dates | None = None
    time_zone: Zone | None = None
    blank: Texts | None = None


def _column(value: object) -> object:
    return {"header": value} if isinstance(value, str | list) else value


class Source(Section):
    """One `[[source]]`: the files, their table, their shape, and the format of their cells."""

    files: Annotated[str, AfterValidator(_files)]
    table: str
    encoding: Literal[ENCODINGS] | None = None  # type: ignore[valid-type]
    delimiter: str | None = None
    sheet: Texts = ()
    header_row: Annotated[int, Field(ge=0, le=10_000)] | None = None
    ragged: bool = False
    decimal: Decimal | None = None
    thousands: Marks = ()
    currency: Texts = ()
    unit: Literal["km", "mi", "m", "h"] | None = None
    dates: Dates = ()
    time_zone: Zone | None = None
    blank: Texts = ()
    columns: dict[str, Annotated[Column, BeforeValidator(_column)]]
    constants: dict[str, str] = Field(default_factory=dict)
    leave_out: dict[str, Patterns] = Field(default_factory=dict)
    keep_only: dict[str, Patterns] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _goes_together(self) -> "Source":
        """What only the section as a whole can tell; the first fault found, with its key in front."""
        fault = next(chain(self._faults_of_columns(), self._faults_of_units()), None)
        if fault:
            raise ValueError(fault)
        return self

    def _faults_of_columns(self) -> Iterator[str]:
        if self.table not in BY_NAME:
            meant = did_you_mean(self.table, BY_NAME)
            yield f'table: found "{self.table}", expected one of {", ".join(BY_NAME)}{meant}'
            return
        if self.delimiter is not None and self.delimiter not in DELIMITERS:
            yield f'delimiter: found "{self.delimiter}", expected "," ";" "|" or "tab"'
        names = [column.name for column in self.our_table.columns]
        for key, given in (("columns", self.columns), ("constants", self.constants)):
            for name in given:
                if name not in names:
                    yield (f"{key}.{name}: found no such column in {self.table}, expected one of {', '.join(names)}"
                           f"{did_you_mean(name, names)}")  # fmt: skip
        for name in self.constants:
            if name in self.columns:
                yield f"constants.{name}: found it in columns too, expected one of both"
        for column in self.our_table.columns:
            if column.needed and column.default is None and column.name not in {*self.columns, *self.constants}:
                yield f"columns: found no {column.name}, expected it here or in constants, as {self.table} needs it"

    def _faults_of_units(self) -> Iterator[str]:
        for name, column in self.columns.items():
            form = self.form_of(name)
            if form.decimal in form.thousands or (not form.decimal and "." in form.thousands):
                shown = form.decimal or "none"
                yield f"thousands: found the same mark as decimal or no decimal ({shown}), expected two different marks"
            if column.unit in UNIT_WORDS:
                yield f'columns.{name}.unit: found "{column.unit}", expected it as unit of the whole section'
        unit = UNIT_COLUMN.get(self.table)
        if self.unit and not unit:
            yield f"unit: found {self.unit}, expected none, as {self.table} has no meter and no distance"
        elif self.unit and unit in {*self.columns, *self.constants}:
            yield f"unit: found it beside a column {unit}, expected one of both"
        if self.unit == "h" and self.table not in ("readings", "meter_changes"):
            yield "unit: found h, expected km, mi or m; columns of hours need none"

    @property
    def our_table(self) -> Table:
        """The declaration of the source's table."""
        return BY_NAME[self.table]

    def form_of(self, name: str) -> Format:
        """How the column of this name (of ours) is written."""
        column = self.columns[name]

        def said(key: str) -> Any:
            own = getattr(column, key)
            return getattr(self, key) if own is None else own

        return Format(
            said("decimal") or "", said("thousands"), said("currency"), column.unit or self.unit or "",
            said("dates"), said("time_zone") or "", said("blank"),
        )  # fmt: skip

    def filled(self) -> dict[str, str]:
        """The columns that hold one value in all rows: the constants, and the unit."""
        unit = UNIT_COLUMN.get(self.table)
        if not self.unit or not unit:
            return self.constants
        return self.constants | {unit: "km" if self.unit == "m" else self.unit}

    def fingerprint(self) -> str:
        """The section as text that is the same where, and only where, the section says the same."""
        return self.model_dump_json(exclude_defaults=True)
