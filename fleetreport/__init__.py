"""The weekly maintenance report of a fleet: what is due and why, from odometer exports and service histories.

In Python: `load_fleet` (see `api`). What takes long to import comes with the first use.
"""

import os
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from fleetreport.api import Fleet, TableInfo, load_fleet
    from fleetreport.problem import CannotReadOrWrite, StopRun, WrongCall

# openpyxl writes other bytes with lxml than without; it looks once, when it is first imported.
os.environ["OPENPYXL_LXML"] = "False"

__version__ = "0.1.0"
__all__ = ["CannotReadOrWrite", "Fleet", "StopRun", "TableInfo", "WrongCall", "__version__", "load_fleet"]

_FROM = {
    **dict.fromkeys(("Fleet", "TableInfo", "load_fleet"), "fleetreport.api"),
    **dict.fromkeys(("CannotReadOrWrite", "StopRun", "WrongCall"), "fleetreport.problem"),
}


def __getattr__(name: str) -> Any:
    if name not in _FROM:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(_FROM[name]), name)


def __dir__() -> list[str]:
    return sorted(__all__)
