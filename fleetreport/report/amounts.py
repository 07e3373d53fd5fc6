"""Amounts of goods and of money as a person writes them, the words and marks from a language's catalogue."""

from decimal import Decimal

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.marks import marks_of, minor_digits
from fleetreport.report.sentences import number


def amount(value: Decimal | float, words: Catalogue = ENGLISH, unit: str = "") -> str:
    """`103.5 L`, `4`: at most two decimals, none where they would be noughts; a little is not nothing (`<0.01`)."""
    exact = Decimal(repr(value)) if isinstance(value, float) else Decimal(value)
    shown = number(exact, words, 2).rstrip("0").rstrip(marks_of(words["locale"]).decimal) or "0"
    if exact > 0 and shown == "0":
        shown = words["less_than"].format(number=number(Decimal("0.01"), words, 2))
    return words["quantity"].format(number=shown, unit=unit_word(unit, words)) if unit else shown


def unit_word(unit: str, words: Catalogue = ENGLISH) -> str:
    """A unit of the stock list in the catalogue's word where it is one in words (`piece`); any other as written."""
    return words.get(f"unit.{unit.lower()}", unit)


def on_average(value: Decimal, words: Catalogue = ENGLISH, unit: str = "", is_measured: bool = False) -> str:
    """An expected amount: `2.5 L`, `3 piece`; of counted pieces one that is not whole is `0.6 set on average`."""
    shown = amount(value, words, unit)
    return shown if is_measured or value == int(value) else words["on_average"].format(amount=shown)


def money(value: Decimal, words: Catalogue = ENGLISH, currency: str = "") -> str:
    """`1,186.00 EUR` with the currency's own decimals, more where a price has them; `XXX` is no currency."""
    places = minor_digits(currency) if currency not in ("", "XXX") else 2
    exponent = Decimal(value).normalize().as_tuple().exponent
    finer = -exponent if isinstance(exponent, int) else 0
    shown = number(value, words, max(places, min(finer, 4)))
    return shown if currency in ("", "XXX") else words["quantity"].format(number=shown, unit=currency)
