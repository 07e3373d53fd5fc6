"""Sums of lengths written out so that they add up as written.

Each figure of a sum is rounded alike, to the fewest decimals at which the rounded figures still give the rounded
result: `base + interval = due`, `due - now = left`, `left ÷ rate` rounded up to whole days. Figures come from the
tables; nothing is worked out here but how many decimals it takes to show them.
"""

from collections.abc import Callable
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.report.sentences import number

MOST_PLACES = 7


def rounded(amount: Decimal, places: int) -> Decimal:
    """Half up to so many decimals."""
    return amount.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)


def fewest_places(fits: Callable[[int], bool], *amounts: Decimal) -> int:
    """The fewest decimals for which `fits` holds: none where all amounts are whole, else one or more; 7 at most."""
    least = max(map(_least_places, amounts), default=0)
    return next((places for places in range(least, MOST_PLACES) if fits(places)), MOST_PLACES)


def length(amount: Decimal, unit: str, places: int, words: Catalogue = ENGLISH) -> str:
    """`55,000 km`."""
    return f"{number(amount, words, places)} {unit}"


def addition(first: Decimal, second: Decimal, total: Decimal, unit: str, said_of_first: str) -> str:
    """`40,000 km (last done) + 15,000 km = 55,000 km`."""
    places = fewest_places(lambda p: rounded(first, p) + rounded(second, p) == rounded(total, p), first, second, total)
    one, other, both = (length(amount, unit, places) for amount in (first, second, total))
    return f"{one} ({said_of_first}) + {other} = {both}"


def what_is_left(due_at: Decimal, now: Decimal, left: Decimal, unit: str) -> str:
    """`55,000 km - 53,210 km now = 1,790 km left`, or past."""
    places = fewest_places(lambda p: rounded(due_at, p) - rounded(now, p) == rounded(left, p), due_at, now, left)
    word = "past" if left < 0 else "left"
    return f"{length(due_at, unit, places)} - {length(now, unit, places)} now = {length(left, unit, places)} {word}"


def days_of(left: Decimal, rate: Decimal, days: int, unit: str) -> str:
    """`1,790 km ÷ 216.4 km a day = 8.3, rounded up 9 days`. `rate` is above 0."""

    def fits(of_left: int, of_rate: int) -> bool:
        shown = rounded(rate, of_rate)
        return shown > 0 and _up(rounded(left, of_left) / shown) == days

    least = _least_places(left)
    pairs = [(one, other) for other in range(1, MOST_PLACES + 1) for one in range(least, other + 1)]
    of_left, of_rate = next((pair for pair in pairs if fits(*pair)), (MOST_PLACES, MOST_PLACES))
    quotient = rounded(left, of_left) / rounded(rate, of_rate)
    places = next((p for p in range(1, MOST_PLACES) if _up(rounded(quotient, p)) == days), MOST_PLACES)
    rounding = "" if quotient == days else f" {number(quotient, places=places)}, rounded up"
    return f"{length(left, unit, of_left)} ÷ {length(rate, unit, of_rate)} a day ={rounding} {counted_days(days)}"


def carried(last: Decimal, days: int, rate: Decimal, now: Decimal, unit: str) -> str:
    """`52,000 km + 6 days × 201.67 km a day = 53,210.0 km`."""

    def fits(of_last: int, of_rate: int) -> bool:
        return rounded(rounded(last, of_last) + days * rounded(rate, of_rate), 1) == rounded(now, 1)

    pairs = [(one, other) for other in range(1, MOST_PLACES + 1) for one in range(_least_places(last), other + 1)]
    of_last, of_rate = next((pair for pair in pairs if fits(*pair)), (MOST_PLACES, MOST_PLACES))
    moved = f"{counted_days(days)} × {length(rate, unit, of_rate)} a day"
    return f"{length(last, unit, of_last)} + {moved} = {length(now, unit, 1)}"


def counted_days(days: int) -> str:
    """`1 day`, `12 days`, `-1 day`."""
    return f"{number(days)} {'day' if abs(days) == 1 else 'days'}"


def _least_places(amount: Decimal) -> int:
    return 0 if amount == amount.to_integral_value() else 1


def _up(amount: Decimal) -> Decimal:
    return amount.to_integral_value(ROUND_CEILING)
