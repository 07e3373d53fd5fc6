"""The sections of fleet.toml on the workshop: what labour costs, each depot's hours, how work becomes visits.

A depot's hours of a week are given as they are (`hours_per_week`), or by its crew, from which they are worked out.
"""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from fleetreport.settings.section import Section

Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
Hours = Annotated[float, Field(ge=0, le=1_000_000)]


class Crew(Section):
    """[workshop.crews.DEPOT]: the people of a depot, and what they have of a week for work on vehicles.

    `hours_each` is a person's straight time, `overtime` and `other_duties` (meetings, training, stores, leave) the
    crew's.
    """

    people: Annotated[int, Field(ge=1, le=10_000)]
    hours_each: Annotated[float, Field(gt=0, le=168)] = 40
    overtime: Hours = 0
    other_duties: Hours = 0

    @model_validator(mode="after")
    def _has_hours_left(self) -> "Crew":
        if self.hours() < 0:
            raise ValueError("other_duties of no more hours than the crew has")
        return self

    def hours(self) -> float:
        """Crew capacity: weekly straight time + scheduled overtime - other duties (SMRP 5.4.9, rev. 27 Sep 2012)."""
        return self.people * self.hours_each + self.overtime - self.other_duties


class Workshop(Section):
    """[workshop]: what labour costs, the hours of it each depot has in a week, and how work is bundled into visits.

    `pull_forward_share` of its interval a task may be done early to save a visit, or `pull_forward_days` where these
    are more; one that falls due by a date alone, `pull_forward_dated_days`. `hours_per_visit` is what a visit takes
    beside its tasks. `open_weekdays` are the days work is planned on; `weeks_ahead` how far, `weeks_ahead_dated` for
    what falls due by law or date; `card_weeks` for how many weeks job cards are made.
    """

    labour_rate: Annotated[float, Field(ge=0)] = 0
    tax_rate: Annotated[float, Field(ge=0, le=1)] = 0
    hours_per_week: dict[str, Hours] = {}
    crews: dict[str, Crew] = {}
    pull_forward_share: Annotated[float, Field(ge=0, le=0.5)] = 0.1
    pull_forward_days: Annotated[int, Field(ge=0, le=366)] = 7
    pull_forward_dated_days: Annotated[int, Field(ge=0, le=366)] = 28
    hours_per_visit: Annotated[float, Field(ge=0.1, le=1000)] = 1
    open_weekdays: Annotated[list[Weekday], Field(min_length=1)] = ["mon", "tue", "wed", "thu", "fri"]
    weeks_ahead: Annotated[int, Field(ge=1, le=52)] = 12
    weeks_ahead_dated: Annotated[int, Field(ge=26, le=52)] = 26
    card_weeks: Annotated[int, Field(ge=1, le=12)] = 2

    @model_validator(mode="after")
    def _says_hours_once(self) -> "Workshop":
        if twice := sorted(set(self.hours_per_week) & set(self.crews)):
            raise ValueError(f'the hours of "{twice[0]}" under hours_per_week or under crews, not both')
        return self

    def depot_hours(self) -> dict[str, float]:
        """The hours of a week by depot, from `hours_per_week` and `crews`."""
        return {**self.hours_per_week, **{depot: crew.hours() for depot, crew in self.crews.items()}}
