"""US 49 CFR 580.5: what is said of an odometer that went past its mechanical limit."""

from datetime import date, timedelta
from decimal import Decimal

from planted_slips import diagnose_points, microseconds
from published.checks import READ, Source

from fleetreport.meters.diagnosis_steps import diagnosis_words

RULE = Source("US 49 CFR 580.5 (odometer disclosure)", READ, "the readings are ours")
# 99,610 km and 34 km a day for eleven days, 99,950; five days on the meter shows 120.
DAYS = [(microseconds(date(2025, 3, 3) + timedelta(n)), Decimal(99_610 + 34 * n)) for n in range(11)]
ROLLED = [*DAYS, (microseconds(date(2025, 3, 18)), Decimal(120))]


@RULE.says("580.5(e)", "99,950 km, then 00,120: the words of the statement", "in excess of its mechanical limits")
def words() -> str:
    found, changes = diagnose_points(ROLLED, "km")
    said = diagnosis_words(found[0], changes[0])
    return said[said.index("(") + 1 : said.index(")")]


@RULE.says("580.5(e)", "what the meter has really gone, km", "100120")
def really() -> object:
    return diagnose_points(ROLLED, "km")[0][0].suggestion
