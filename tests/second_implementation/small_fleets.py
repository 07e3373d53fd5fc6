"""Fleet folders of one vehicle, written as text in a test, and what the plain arithmetic makes of them."""

from datetime import date
from decimal import Decimal
from pathlib import Path

from plain_due import DueRow, WorkedOut, work_out


def fleet_folder(folder: Path, **tables: str) -> Path:
    """Write tables given as lines of comma-separated cells; `toml` is fleet.toml."""
    for name, text in tables.items():
        path = folder / ("fleet.toml" if name == "toml" else f"{name}.csv")
        path.write_text("\n".join(line.strip() for line in text.strip().splitlines()) + "\n", encoding="utf-8")
    return folder


def one_vehicle(in_service_on: str = "2020-01-01", more: str = "") -> str:
    """The table `vehicles` of V01, class van; `more` is in_service_odometer,duty,retired_on."""
    return f"vehicle_id,class,in_service_on,in_service_odometer,duty,retired_on\nV01,van,{in_service_on},{more}"


def work(folder: Path, as_of: str, km_a_day: str | None = "100", h_a_day: str | None = None) -> WorkedOut:
    """Work the folder out with these rates of V01; None: not known."""
    rates = {
        ("V01", "odometer"): None if km_a_day is None else Decimal(km_a_day),
        ("V01", "hours"): None if h_a_day is None else Decimal(h_a_day),
    }
    return work_out(folder, date.fromisoformat(as_of), rates)


def row_of(worked: WorkedOut, task: str) -> DueRow:
    """The row of one task of V01."""
    return worked.due["V01", task]
