"""The words of past projections judged and of a forecast with changes, in English: a part of the catalogue."""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    # Past projections judged.
    "backtest.title": "How good the projections were",
    "backtest.page_title": "How good the projections were: {fleet}",
    "backtest.lead": "{days} replayed, <strong>{first} to {last}</strong>, each with only what was dated up to it; "
    "{vehicles} judged by what followed.",
    "past_days.one": "{n}\u00a0past day",
    "past_days.many": "{n}\u00a0past days",
    "backtest.none": "none",
    "backtest.whole_fleet": "{meter}: the whole fleet",
    "backtest.chart_label": "Chart: {meter}",
    "backtest.own_caption": "The daily rate of the weekly report, and the best simple estimator of each line, picked "
    "with hindsight",
    "backtest.class_caption": "Class {name}",
    "backtest.ahead": "Ahead",
    "backtest.projections": "Projections",
    "backtest.vehicles": "Vehicles",
    "backtest.error": "Error ratio",
    "backtest.best": "Best simple one",
    "backtest.bias": "Bias",
    "backtest.inside": "In the band",
    "backtest.below": "Below",
    "backtest.above": "Above",
    "backtest.due_points": "Due points",
    "backtest.right_week": "Right week",
    "backtest.or_beside": "Or one beside it",
    "backtest.all_caption": "Error ratio of every estimator: how far off, as a share of the distance run",
    "backtest.losses_caption": "Losses of the weekly report's daily rate: pinball loss in {unit} (no factor 2), and "
    "the mean absolute scaled error",
    "backtest.low_edge": "Low edge, 10\u00a0%",
    "backtest.projection": "Projection, 50\u00a0%",
    "backtest.high_edge": "High edge, 90\u00a0%",
    "backtest.scaled_error": "Scaled error",
    "backtest.how": "How it was measured",
    "backtest.how_replayed": "On each replayed day the readings dated up to that day were judged, and rates and "
    "bands worked out, as the weekly report would have done that day. The class of a vehicle, its plan and the "
    "settings are today's, and a reading dated earlier but handed in later counts as known.",
    "backtest.how_error": "An error is the projected reading less the one that came. It counts only where believed "
    "readings tell where the meter stood: one on the day itself, or one on either side, apart by at most 1.25 "
    "times the days ahead. The error ratio is the sum of absolute errors over the sum of distance run since "
    "the last reading known then; the bias is the same with signs, above 0 where projections went too far. "
    "Days ahead suit meters that are read often; months, meters that are read on one day of the month.",
    "backtest.how_band": "The 80\u00a0% band should hold four in five, with one in ten below and one in ten above "
    "it. The scaled error is the absolute error a day over the vehicle's own mean change from month to month. "
    "A due point is the next multiple of an interval of the vehicle's plan; it is counted under the shortest "
    "of the horizons in days within which it was reached, where readings tell its ISO week.",
    "backtest.how_simple": "Simple estimators: the mean of the months, each weighing half as much three months "
    "further back; the means of the last 30 days, 3 months and 12 months and of the whole life; the median "
    "slope between the last 13 monthly points.",
    "backtest.caution": "How projections did in the past does not promise how they will do.",
    "backtest.foot": "{fleet}, {first} to {last}. All figures are in data/backtest.csv, by vehicle in "
    "data/backtest_by_vehicle.csv.",
    # A forecast with changes: what is changed, and its workbook.
    "change_told.labour": "Labour at {rate} an hour",
    "change_told.interval": "{task} every {amount} {unit}",
    "change_told.own_unit": "(its own unit)",
    "change_told.every_item": "every item",
    "change_told.price": "{item} at {price} a unit",
    "change_told.factor": "{item} at {factor} times its price",
    "change_told.distance": "Distance a day times {factor}",
    "change_told.retired": "Class {name} retired",
    "sheet_name.What if": "What if",
    "sheet_name.All sums": "All sums",
    "what_if_book.lead": "As of {day}. All money in {currency}, without tax.",
    "what_if_book.level": "Level",
    "what_if_book.base": "Base, {figure}",
    "what_if_book.changed": "What if, {figure}",
    "what_if_book.all": "all",
    "what_if_book.year": "year",
    "what_if_book.month": "month",
    "what_if_book.cost centre": "cost centre",
    "what_if_book.category": "category",
    "what_if_book.cost centre and month": "cost centre and month",
    "what_if_book.cost centre and year": "cost centre and year",
    "what_if_book.category and year": "category and year",
    "what_if_sheet.name": "What-if",
    "what_if_sheet.name_of_data": "What-if data",
}  # fmt: skip
