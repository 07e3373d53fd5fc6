"""What every section of fleet.toml keeps to: unknown keys are faults, values are not coerced from text."""

from zoneinfo import available_timezones

from pydantic import BaseModel, ConfigDict

from fleetreport.alike import LEAST_LIKE, nearest_names


class Section(BaseModel):
    """A section of fleet.toml: unknown keys are faults, values are not coerced from text."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False)


def known_time_zone(name: str) -> str:
    """The name itself. Raises ValueError where it is no time zone."""
    # "localtime" is this machine's, not the fleet's.
    if name not in available_timezones() or name == "localtime":
        near = nearest_names(name, sorted(available_timezones()), LEAST_LIKE, 1)
        raise ValueError(f"a time zone such as {near[0] if near else 'Africa/Nairobi'}")
    return name
