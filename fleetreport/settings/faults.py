"""The faults of settings in words: file and line, the key, what was found and what was expected."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, get_args, get_origin

from pydantic_core import ErrorDetails

from fleetreport.alike import did_you_mean
from fleetreport.settings.lines import Places
from fleetreport.settings.section import Section
from fleetreport.settings.sources import Column as SourceColumn
from fleetreport.settings.sources import Source


def key_of(loc: tuple[int | str, ...]) -> str:
    """`week.due_days`; a part of a list by its number: `wording 2: words 1`."""
    key = ""
    for part in loc:
        key += f" {part + 1}:" if isinstance(part, int) else (" " if key.endswith(":") else "." * bool(key)) + part
    return key.removesuffix(":")


def told(faults: Sequence[ErrorDetails], path: Path, text: str, settings: type[Section]) -> Iterator[str]:
    """The faults as `file:line: key: found …, expected …`, the line left out where it is not known.

    `text` is what was read from `path`, `settings` what it should be.
    """
    places = Places(text)
    for fault in faults:
        line = places.line_of(fault["loc"])
        yield _message(f"{path}:{line}" if line else str(path), fault, settings)


def _message(path: str, fault: ErrorDetails, settings: type[Section]) -> str:
    loc = fault["loc"]
    key = key_of(loc)
    if fault["type"] == "extra_forbidden":
        known = _keys_beside(fault["loc"], settings)
        meant = did_you_mean(str(fault["loc"][-1]), known)
        return f"{path}: {key}: found a key that means nothing here, expected one of {', '.join(known)}{meant}"
    if fault["type"] == "missing":
        return f"{path}: {key}: found no such key, expected it in every section of this kind"
    if loc[0] == "source" and len(loc) == 2 and fault["type"] == "value_error":
        return f"{path}: {key}: {fault['ctx']['error']}"
    return f"{path}: {key}: found {_shown(fault['input'])}, expected {_expected(fault)}"


def _keys_beside(loc: tuple[int | str, ...], settings: type[Section]) -> list[str]:
    model: Any = settings
    for part in loc[:-1]:
        if isinstance(part, int):
            model = get_args(model)[0]
        elif get_origin(model) is dict:  # of sections by a name of the user's
            model = get_args(model)[1]
        elif model is not Source:
            model = model.model_fields[part].annotation
        elif part != "columns":
            model = SourceColumn
    return [field.alias or name for name, field in model.model_fields.items()]


def _shown(value: object) -> str:
    if isinstance(value, dict | list):
        return "a table" if isinstance(value, dict) else "a list"
    if isinstance(value, bool):
        return str(value).lower()
    return f'"{value}"' if isinstance(value, str) else str(value)


EXPECTED = {
    "string_type": "text in double quotes",
    "string_too_short": "text, not blank",
    "bool_type": "true or false",
    "int_type": "a whole number",
    "float_type": "a number",
    "date_type": "a date such as 2024-01-01, without quotes",
    "list_type": "a list in square brackets",
    "tuple_type": "text, or a list of texts",
    "too_short": "a list that is not empty",
    "dict_type": "a table",
    "model_type": "a table",
}
LIST_OF_SECTION = {"mail": "a list of addresses", "wording": 'a list such as ["oil change", "Ölwechsel"]'}


def _expected(fault: ErrorDetails) -> str:
    if fault["type"] == "value_error":
        return str(fault["ctx"]["error"])
    if fault["type"] == "string_pattern_mismatch":
        at = "@" in fault["ctx"]["pattern"]
        return "an address such as workshop@example.org" if at else "three capital letters such as EUR"
    if fault["type"] == "list_type" and (holds := LIST_OF_SECTION.get(str(fault["loc"][0]))):
        return holds
    words = fault["msg"].removeprefix("Input should be ")
    return EXPECTED.get(fault["type"], words)
