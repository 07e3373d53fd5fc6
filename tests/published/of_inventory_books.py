"""Textbook examples of stock: order quantity, base stock, newsvendor; and solvers' answers for whole packs."""

from decimal import Decimal
from math import sqrt

from published.checks import MEMORY, QUOTED, READ, RUN, Source

from fleetreport.items.demand import (
    Lump,
    base_stock,
    croston,
    economic_quantity,
    lead_time_variance,
    syntetos_boylan,
    teunter_syntetos_babai,
)
from fleetreport.items.offers import Offer, Wanted
from fleetreport.items.packs import cheapest_packs
from fleetreport.money.repairs import chance_of_so_many

SNYDER_SHEN = Source("Snyder & Shen, Fundamentals of Supply Chain Theory", QUOTED)
NEWSVENDOR = Source("calcfxc.com, newsvendor with normal demand", READ)
TABLES = Source("Standard tables of the Poisson, binomial and normal distributions", RUN)
REMEMBERED = Source("Encyclopaedia and textbook examples of stock", MEMORY)
STATSFORECAST = Source("statsforecast 2.1.1", RUN)
STOCKPYL = Source("stockpyl 1.0.2", RUN)
SOLVERS = Source("A dynamic programme, SciPy's HiGHS, PuLP 3.3.2 with CBC, OR-Tools 9.15 CP-SAT", RUN, "all four alike")

TWENTY = [0, 0, 3, 0, 0, 0, 2, 0, 5, 0, 0, 1, 0, 0, 0, 4, 0, 0, 2, 0]
OIL = tuple(
    Offer("S", f"{size} L", Decimal(size), Decimal(cents) / 100)
    for size, cents in ((1, 450), (5, 1890), (20, 6900), (60, 18900), (208, 59900))
)


@SNYDER_SHEN.says("example 3.1", "order quantity: 1,300 a year, 8 an order, 0.225 to hold", "304.0468")
def order_quantity() -> object:
    return economic_quantity(1300, 8, 0.225)


@SNYDER_SHEN.says("example 4.3", "newsvendor, N(50, 8), 0.70 and 0.18", "56.6040")
def newsvendor() -> object:
    return base_stock([], 50, 8**2, 0.70 / (0.70 + 0.18), whole=False)


@SNYDER_SHEN.says("example 5.5", "reorder point: 1,300 and 150 a year, a twelfth of a year, 7.5 and 0.225", "190.3370")
def reorder_point() -> object:
    return base_stock([], 1300 / 12, 150**2 / 12, 7.5 / (7.5 + 0.225), whole=False)


@NEWSVENDOR.says("price 7, cost 5", "newsvendor, N(50, 20)", "38.68")
def newsvendor_by_price() -> object:
    return base_stock([], 50, 20**2, 2 / 7, whole=False)


@TABLES.says_each("Poisson, mean 4", "stock that suffices with a chance of {0}", [(0.95, "8"), (0.948, "7")])
def poisson_stock(level: float) -> object:
    return base_stock([], 4, 4, level, whole=True)


@TABLES.says("Poisson, mean 4", "chance of 8 or more (1 - 0.94887)", "0.05113")
def poisson_tail() -> object:
    return chance_of_so_many(8, 4)


@TABLES.says("binomial, n 10, p 0.4", "pieces that suffice with 95 % (6: 0.9452, 7: 0.9877)", "7")
def binomial_stock() -> object:
    return base_stock([Lump(1, 0.4)] * 10, 0, 0, 0.95, whole=True)


@TABLES.says_each(
    "normal",
    "base stock of N(0 + 10, 1) less 10 at {0}",
    [(0.90, "1.2816"), (0.95, "1.6449"), (0.975, "1.9600"), (0.98, "2.0537"), (0.99, "2.3263"), (0.999, "3.0902")],
)
def normal(level: float) -> float:
    return base_stock([], 10, 1, level, whole=False) - 10


@REMEMBERED.says("order quantity", "10,000 a year, 40 an order, holding 4 and 2 % of 50", "400")
def encyclopaedia() -> object:
    return economic_quantity(10_000, 40, 5)


@REMEMBERED.says("random lead time", "1.645 x root of (4 x 30^2 + 100^2 x 1^2)", "191.84")
def lead_time() -> float:
    return 1.645 * sqrt(lead_time_variance(100, 30**2, 4, 1))


@STOCKPYL.says("newsvendor_poisson(1, 4, 10)", "Poisson newsvendor, mean 10, ratio 4/5", "13")
def poisson_newsvendor() -> object:
    return base_stock([], 10, 10, 4 / 5, whole=True)


@STATSFORECAST.says("CrostonClassic, alpha 0.1", "twenty periods", "0.94338747")
def classic() -> object:
    return croston(TWENTY)


@STATSFORECAST.says("CrostonSBA", "twenty periods", "0.89621810")
def corrected() -> object:
    return syntetos_boylan(TWENTY)


@STATSFORECAST.says("TSB, alpha 0.1 and 0.1", "twenty periods", "0.79141627")
def decaying() -> object:
    return teunter_syntetos_babai(TWENTY)


@SOLVERS.says_each(
    "packs of 1, 5, 20, 60, 208 L",
    "cents for {0} L at least",
    [(4, "1800"), (6, "2340"), (23, "8250"), (47, "16590"), (61, "19350"), (187, "59490"), (205, "59900"),
     (999, "293990")],
)  # fmt: skip
def packs(need: int) -> object:
    return cheapest_packs([Wanted("oil", Decimal(need), OIL, None)]).cost * 100
