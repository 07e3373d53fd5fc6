"""Hyndman & Athanasopoulos, Forecasting: Principles and Practice (second and third edition), with their data."""

from published.checks import MEMORY, QUOTED, Source, in_case, sql

from fleetreport.items.demand import class_of_demand, croston, croston_parts, syntetos_boylan

FPP3 = Source("Hyndman & Athanasopoulos, Forecasting: Principles and Practice, 3rd ed.", QUOTED)
FPP2 = Source("Hyndman & Athanasopoulos, Forecasting: Principles and Practice, 2nd ed., productC", MEMORY, "data read")
CLASSES = Source("Syntetos, Boylan & Croston (2005), classes of demand", QUOTED)

# Quarterly beer production in Australia, megalitres, 1992 Q1 to 2007 Q4, and the ten quarters that followed.
BEER = [
    443, 410, 420, 532, 433, 421, 410, 512, 449, 381, 423, 531, 426, 408, 416, 520,
    409, 398, 398, 507, 432, 398, 406, 526, 428, 397, 403, 517, 435, 383, 424, 521,
    421, 402, 414, 500, 451, 380, 416, 492, 428, 408, 406, 506, 435, 380, 421, 490,
    435, 390, 412, 454, 416, 403, 408, 482, 438, 386, 405, 491, 427, 383, 394, 473,
]  # fmt: skip
FOLLOWED = [420, 390, 410, 488, 415, 398, 419, 488, 414, 374]
FORECASTS = {
    "seasonal naive": [*BEER[-4:] * 2, *BEER[-4:-2]],
    "mean": [sum(BEER) / len(BEER)] * 10,
    "naive": [BEER[-1]] * 10,
    "drift": [BEER[-1] + (h + 1) * (BEER[-1] - BEER[0]) / (len(BEER) - 1) for h in range(10)],
}
# Monthly lubricant sales of an oil company.
PRODUCT_C = [
    0,
    2,
    0,
    1,
    0,
    11,
    0,
    0,
    0,
    0,
    2,
    0,
    6,
    3,
    0,
    0,
    0,
    0,
    0,
    7,
    0,
    0,
    0,
    0,
    0,
    0,
    0,
    3,
    1,
    0,
    0,
    1,
    0,
    1,
    0,
    0,
]


@FPP3.says_each(
    "5.8",
    "quarterly beer, {0}: scaled error (MASE)",
    [("seasonal naive", "0.937"), ("mean", "2.44"), ("naive", "4.01"), ("drift", "4.12")],
)
def scaled_error(method: str) -> float:
    error = sum(abs(f - y) for f, y in zip(FORECASTS[method], FOLLOWED, strict=True)) / len(FOLLOWED)
    return error / float(sql("naive_scale(?, 4)", BEER))


@FPP3.says_each("5.9 (which doubles it)", "pinball loss of {0} for the 0.9 quantile, where 100 came",
                [(80, "18"), (120, "2")])  # fmt: skip
def pinball(forecast: int) -> object:
    return sql("pinball_loss(0.9, 100, ?)", forecast)


@FPP3.says("5.9 (which doubles it)", "the same by the backtest's table, edge 80", "18")
def pinball_of_the_backtest() -> object:
    return in_case("judged/pinball_loss_of_the_edges", "loss_90", estimator="daily_rate")


@FPP2.says("7.1, Croston", "oil company's sales: size / gap", "2.750, 2.793")
def parts() -> object:
    return croston_parts(PRODUCT_C)


@FPP2.says("7.1, Croston", "demand a month", "0.985")
def croston_forecast() -> object:
    return croston(PRODUCT_C)


@FPP2.says("7.1, times 1 - 0.1 / 2 (recomputed)", "Syntetos and Boylan's correction", "0.93537")
def corrected() -> object:
    return syntetos_boylan(PRODUCT_C)


@CLASSES.says_each(
    "bounds 1.32 and 0.49",
    "{0} demands in {1} periods",
    [
        (25, 33, "intermittent"),  # 33 / 25 = 1.32, which counts as intermittent
        (26, 34, "smooth"),
    ],
)
def classes(demands: int, periods: int) -> object:
    return class_of_demand([1] * demands + [0] * (periods - demands))


@CLASSES.says("bounds 1.32 and 0.49", "1 1 1 9 three times over", "erratic")
def erratic() -> object:
    return class_of_demand([1, 1, 1, 9] * 3)


@CLASSES.says("bounds 1.32 and 0.49", "the oil company's sales", "lumpy")
def lumpy() -> object:
    return class_of_demand(PRODUCT_C)
