"""The words of the reports in English: the catalogue that another language would translate.

`ENGLISH` holds one sentence or label a key. A text in braces is filled in by `str.format`; figures arrive
there already written with their unit. `.one` and `.many` are the two forms of a count, chosen by `plural_form`. The
workshop's entries stand in `workshop_words.py`, and so on; the standing cautions in `cautions.py`.

No entry may say that a vehicle or a task is safe, or all right: the figures cannot know that.
"""

from collections.abc import Mapping

from fleetreport.report.letter_words import LETTER_ENGLISH
from fleetreport.report.money_words import MONEY_ENGLISH
from fleetreport.report.order_words import ORDER_ENGLISH
from fleetreport.report.page_words import PAGE_WORDS
from fleetreport.report.sheet_words import SHEET_ENGLISH
from fleetreport.report.workshop_words import WORKSHOP

Catalogue = Mapping[str, str]

ENGLISH: Catalogue = {
    **ORDER_ENGLISH,
    **LETTER_ENGLISH,
    **MONEY_ENGLISH,
    **SHEET_ENGLISH,
    **PAGE_WORDS,
    # How figures are written, beyond the marks and names of the locale. The space before a unit does not break.
    "locale": "en",
    "quantity": "{number}\u00a0{unit}",
    "less_than": "<{number}",
    "a_day": "{quantity} a day",
    "per_cent": "{number}\u00a0%",
    "date": "{day}\u00a0{month}\u00a0{year}",
    "date_this_year": "{day}\u00a0{month}",
    "date_with_weekday": "{weekday} {day}\u00a0{month}\u00a0{year}",
    "date_range": "{early} to {late}",
    "days.one": "{n}\u00a0day",
    "days.many": "{n}\u00a0days",
    "months.one": "{n}\u00a0month",
    "months.many": "{n}\u00a0months",
    "hours_unit": "h",
    # The rule that a task follows.
    "rule.interval": "Every {intervals}{basis}{duty}.",
    "rule.first_interval": "Counted from when the vehicle came into service: {intervals}{duty}.",
    "rule.intervals_of_two": "{first} or {last}, whichever comes first",
    "rule.intervals_of_three": "{first}, {second} or {last}, whichever comes first",
    "rule.fixed": ", in fixed steps",
    "rule.anchored": ", counted from the planned point when done close to it",
    "rule.severe": " (vehicle in severe duty)",
    "rule.every_year": "On a fixed day each year.",
    "rule.follow_up": "Once after {task}.",
    "rule.follow_up_within": "Once after {task}, within {intervals}.",
    "rule.work_before_it": "the work before it",
    # When it was last done.
    "last.on": "Last done on {date}.",
    "last.on_at": "Last done on {date} at {meters}.",
    "last.both_meters": "{odometer} and {hours}",
    "last.total": "{quantity} in all",
    "last.never": "No record of it being done.",
    # Where it falls due.
    "at.odometer": "{shown} on the odometer",
    "at.odometer_changed": "{shown} on the odometer ({total} in all; the odometer was changed)",
    "at.odometer_before": "{total} in all, before the odometer was changed",
    "at.hours": "{shown} on the hour meter",
    "at.hours_changed": "{shown} on the hour meter ({total} in all; the hour meter was changed)",
    "at.hours_before": "{total} in all, before the hour meter was changed",
    "due.meter_past": "Fell due at {at}, passed about {date}{now}: {left} past.",
    "due.meter_left": "Due at {at}{now}: {left} left.",
    "due.now": "; now about {now} (last read {read_on})",
    "due.now_unread": "; now about {now}",
    "due.expected": "Expected on {date}.",
    "due.expected_between": "Expected about {date} ({between}).",
    "due.expected_at_rate": "At about {rate} that is {date}.",
    "due.expected_at_rate_between": "At about {rate} that is {date} ({between}).",
    "due.date_past": "Fell due on {date}, {days} past.",
    "due.date_today": "Due today, {date}.",
    "due.date_left": "Due on {date}: {days} left.",
    "due.expired": "Expired on {date}, {days} ago.",
    "due.expires_today": "Expires today, {date}.",
    "due.expires": "Expires on {date}, in {days}.",
    "due.also_distance": "Also {left} past its distance limit.",
    "due.also_hours": "Also {left} past its hours limit.",
    "due.late_by": "Late by {percent} of its interval.",
    # The same in a table's cell.
    "cell.past": "{quantity} past",
    "cell.left": "{quantity} left",
    "cell.today": "today",
    "cell.by_date": "by date",
    "cell.about": "about {date}",
    "cell.in_all": "{quantity} in all",
    "short.past": "{left}: due at {at}",
    "short.past_date": "{left}: due {date}",
    "short.expired": "expired {date}, {days} ago",
    "short.meter": "due at {at}, {left}, {day}",
    "short.date": "due {date}, {left}",
    "short.expires": "expires {date}, {left}",
    # Labels.
    "status.overdue": "Overdue",
    "status.due": "Due",
    "status.upcoming": "Upcoming",
    "status.later": "Later",
    "status.unknown": "Not judged",
    "source.maker": "Maker's schedule",
    "source.law": "Required by law",
    "source.contract": "Required by contract",
    "source.own": "Own rule",
    "reason.no record": "No record of it being done, and the records begin after the vehicle came into "
    "service. Enter when it was last done.",
    "reason.no reading": "No usable reading of the {meter}. Enter one.",
    "reason.no rate": "Too few usable readings of the {meter} to tell how far it goes in a day. "
    "Enter readings from at least two days.",
    "reason.no interval": "The plan gives no interval, yearly day or expiry date that could be read, so it never "
    "falls due. Fill it in, or take the task out of the plan.",
    "reason.no plan": "No task applies to this vehicle. Plan tasks for its class.",
    "reason_label.no record": "No record",
    "reason_label.no reading": "No reading",
    "reason_label.no rate": "No daily rate",
    "reason_label.no interval": "No interval",
    "reason_label.no plan": "No plan",
    "meter.odometer": "odometer",
    "meter.hours": "hour meter",
    "meter.": "meter",
    "scope.row": "Rows not loaded",
    "scope.value": "Cells left blank, the rest of the row loaded",
    "scope.reading": "Meter readings that cannot be true beside the others, not used",
    "own.as_of": "As of",
    "own.rows.one": "{n} row",
    "own.rows.many": "{n} rows",
    "own.footer": "A report of this fleet's own. All rows are in {file}.",
    "check.setting": "Settings that cannot be used",
    "check.file": "Files that cannot be read, or that are missing",
    "check.row": "Rows not loaded",
    "check.value": "Cells left blank, the rest of the row loaded",
    "check.reading": "Meter readings not believed",
    "check.wording": "Words in the history that could not be read",
    "check.price": "Items without a price",
    "check.judged": "Tasks that cannot be judged",
    "check.unused": "Columns and files that were not used",
    "check.to_mend.one": "{n} place to mend",
    "check.to_mend.many": "{n} places to mend",
    "check.to_look_at.one": "{n} to look at",
    "check.to_look_at.many": "{n} to look at",
    "check.clean": "nothing to mend and nothing to look at",
    "check.more": "and {n} more",
    "change.meter changed": "The meter was probably exchanged.",
    "change.rollover": "The odometer probably passed its last figure and began again from 0: in excess of its "
    "mechanical limits.",
    "unmatched.blank": "(no description)",
    "open.follow_up": "Follow-up",
    "open.finding": "Finding not looked at again",
    "open.part": "Part awaited",
    "open.level": "Level to re-check",
    "open.inspection": "To be inspected again",
    "open.other": "Left open",
    "register.number": "Number",
    "register.make": "Make",
    "register.serial": "Serial number",
    "register.year": "Year",
    "register.tyre_size": "Tyre size",
    "register.owner": "Owner",
    "no_depot": "No depot given",
    # The letters.
    "mail.week_subject": "{fleet}: week {week}, {overdue} overdue, {due} due",
    # The forecast of spend.
    "forecast.scheduled": "Planned work",
    "forecast.unscheduled": "Unplanned work",
    "forecast.band": "Between these in four draws of five",
    "forecast.months_axis": "{currency} a month, without tax",
    "forecast.months_title": "Maintenance spend by month",
    "forecast.month_said": "{month}: {total}, between {low} and {high}.",
    "forecast.curves_title": "Mean cumulative cost of unplanned repairs for each vehicle, by use, at today's prices",
    "forecast.curve_said": "{name}: {cost} {currency} for each vehicle at the end.",
    "forecast.use_odometer": "1,000 km",
    "forecast.use_hours": "h",
    "forecast.use_days": "years",
    "no_cost_centre": "No cost centre",
    "no_category": "No category",
    "used_by.distance": "distance",
    "used_by.hours": "hours",
    "used_by.time": "months",
    "used_by.date": "yearly day",
    # How good past projections were.
    "estimator.daily_rate": "Weekly report",
    "estimator.half_life_3_months": "Half-life 3 months",
    "estimator.last_30_days": "Last 30 days",
    "estimator.last_3_months": "Last 3 months",
    "estimator.last_12_months": "Last 12 months",
    "estimator.median_slope": "Median slope",
    "estimator.lifetime": "Lifetime",
    "backtest.chart_title": "Projections of the {meter} and what came of them",
    "backtest.error_ratio": "Error as a share of the distance run (less is better)",
    "backtest.in_band": "Inside the 80\u00a0% band",
    "backtest.nothing_ran": "not known",
    "backtest.said": "{horizon} ahead: error ratio {own}; best simple estimator {best} {best_ratio}; "
    "{in_band}\u00a0% inside the band.",
    **WORKSHOP,
}

# Our own codes for what a task found, from the best to the worst; the words are a card's.
CONDITIONS: tuple[tuple[str, str], ...] = (
    ("clean", "as new, could have run on"),
    ("serviceable", "worn as expected"),
    ("soiled", "dirty, still in order"),
    ("contaminated", "water, metal, other fluid"),
    ("failed", "not in order"),
)


def plural_form(count: int) -> str:
    """Which of the forms of a counted noun goes with `count` in English."""
    return "one" if count == 1 else "many"
