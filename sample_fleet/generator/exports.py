"""Readings as three exports would give them: a tracker, fuel cards in miles, a hand log of hours.

Each weekly delivery reaches back a week into the one before, so the files overlap; overlapping rows are the
same `Row`, and what is planted in one stands in the other too.
"""

from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta

from generator.sheets import Row, Sheet
from generator.stories import BASE_UNTIL, READINGS_FROM, WEEK_ENDS, WEEKS
from generator.usage import Truth, chance_of

TRACKER_COLUMNS = ("vehicle_id", "read_at", "meter", "reading", "unit")
CARD_COLUMNS = ("read_at", "vehicle_id", "reading", "unit", "source", "litres")
HAND_COLUMNS = ("vehicle_id", "read_at", "meter", "reading", "source")
DAILY_FROM = date(2026, 9, 28)


def _active_days(truth: Truth) -> Iterator[date]:
    """Days on which the vehicle is ours and no dial was changed."""
    retired = truth.row["retired_on"]
    last = min(WEEK_ENDS[-1], date.fromisoformat(retired) - timedelta(1)) if retired else WEEK_ENDS[-1]
    day = max(READINGS_FROM, truth.start + timedelta(1))
    while day <= last:
        if all(day != changed for changed, *_ in truth.changes):
            yield day
        day += timedelta(1)


def _meter_of(truth: Truth) -> str:
    return "odometer" if truth.row["km_a_day"] else "hours"


def _tracker(truth: Truth) -> Iterator[tuple[datetime, Row]]:
    """Twice a week, in the last weeks every day, in the evening."""
    rng = chance_of(truth.id, "tracker")
    meter = _meter_of(truth)
    weekdays = ((0, 3), (1, 4), (2, 5))[rng.randrange(3)]
    for day in _active_days(truth):
        if day < DAILY_FROM and (day.weekday() not in weekdays or rng.random() < 0.04):
            continue
        if rng.random() < 0.03:
            continue
        at = datetime(day.year, day.month, day.day, rng.randint(16, 20), rng.randrange(60))
        yield (
            at,
            Row(
                {
                    "vehicle_id": truth.id,
                    "read_at": at.strftime("%Y-%m-%dT%H:%M"),
                    "meter": meter,
                    "reading": truth.dial(meter, at),
                    "unit": "km" if meter == "odometer" else "h",
                }
            ),
        )


def _cards(truth: Truth) -> Iterator[tuple[datetime, Row]]:
    """At each filling up: every 380 to 620 km, and the dial is typed in at the pump."""
    rng = chance_of(truth.id, "cards")
    filled, room = truth.total("odometer", datetime(2023, 11, 27)), rng.uniform(350, 600)
    for day in _active_days(truth):
        at = datetime(day.year, day.month, day.day, rng.randint(6, 17), rng.randrange(60))
        gone = truth.total("odometer", at) - filled
        if gone < room:
            continue
        filled, room = truth.total("odometer", at), rng.uniform(380, 620)
        unit = "mi" if truth.miles else "km"
        yield (
            at,
            Row(
                {
                    "read_at": at.strftime("%Y-%m-%d %H:%M"),
                    "vehicle_id": truth.id,
                    "unit": unit,
                    "reading": truth.dial("odometer", at),
                    "source": f"card {rng.randint(2, 4)}",
                    "litres": f"{gone * rng.uniform(0.095, 0.125):.2f}",
                }
            ),
        )


def _hand(truth: Truth) -> Iterator[tuple[datetime, Row]]:
    """The hour meter, read at noon by whoever passes, every week or three; dates only."""
    rng = chance_of(truth.id, "hand")
    busy = 4 if truth.id[0] == "G" else 8
    upcoming = READINGS_FROM
    for day in _active_days(truth):
        if day < upcoming:
            continue
        upcoming = day + timedelta(rng.randint(busy, 2 * busy + 3) if day < DAILY_FROM else rng.randint(2, 5))
        at = datetime(day.year, day.month, day.day, 12)
        yield (
            at,
            Row(
                {
                    "vehicle_id": truth.id,
                    "read_at": day.isoformat(),
                    "meter": "hours",
                    "reading": truth.dial("hours", at),
                    "source": "hand",
                }
            ),
        )


def _gather(
    truths: dict[str, Truth], export: str, read: Callable[[Truth], Iterator[tuple[datetime, Row]]]
) -> list[tuple[date, Row]]:
    """All vehicles of an export, in order of time."""
    found = [
        (at, truth.id, row)
        for truth in truths.values()
        if export in truth.row["exports"].split()
        for at, row in read(truth)
    ]
    found.sort(key=lambda each: each[:2])
    return [(at.date(), row) for at, _, row in found]


def reading_sheets(truths: dict[str, Truth]) -> list[Sheet]:
    """The files of readings/: base files up to the autumn, then three weekly deliveries of each export."""
    base = {
        "tracker": (
            ("2024", date(2024, 12, 31), READINGS_FROM),
            ("2025", date(2025, 12, 31), date(2024, 12, 30)),
            ("2026-01-to-10", BASE_UNTIL, date(2026, 1, 1)),
        ),
        "fuelcard": (
            ("2024-2025", date(2025, 12, 31), READINGS_FROM),
            ("2026-01-to-10", BASE_UNTIL, date(2025, 12, 22)),
        ),
        "handlog": (("2023-to-2026-10", BASE_UNTIL, READINGS_FROM),),
    }
    exports = (
        ("tracker", "tracker", TRACKER_COLUMNS, _tracker),
        ("fuelcard", "fuelcard", CARD_COLUMNS, _cards),
        ("handlog", "hand", HAND_COLUMNS, _hand),
    )
    sheets = []
    for name, export, columns, read in exports:
        rows = _gather(truths, export, read)
        spans = (*base[name], *((week, end, since) for week, since, end in WEEKS))
        for label, end, since in spans:
            inside = [row for day, row in rows if since <= day <= end]
            windows = label == "2024-2025"
            sheets.append(Sheet(f"readings/{name}-{label}.csv", columns, inside, windows))
    return sheets
