"""Why a task is due, said in a sentence, and the figures of a due list as a person writes them.

`why_due` puts the whole sentence together out of what the rule is (`rule`), when the task was last done
(`last_done`), where it falls due and how far away that is (`due_sentence`), and what else is past. The other
functions give the short forms for a table's cells. All are pure: one row in, text out, the words from a
language's catalogue.

Meters are stated as the vehicle's dash shows them: accumulated figure less the offset. Where a meter was
changed, the accumulated figure is stated too, as "in all". Works nothing out anew but that subtraction, and
never says that anything is safe: it only knows what is recorded.
"""

from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.marks import marks_of, plural_form
from fleetreport.report.report_rows import DueRow

METERS = ("distance", "hours")
WHOLE_FROM = 10  # below this a distance or a number of hours is shown with a decimal
DAYS = 4_096
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def why_due(row: DueRow, words: Catalogue = ENGLISH) -> str:
    """What the rule is, since when, where it falls due, how far past or left, the date expected."""
    parts = (rule(row, words), last_done(row, words), due_sentence(row, words), also_past(row, words))
    return " ".join(part for part in parts if part)


def rule(row: DueRow, words: Catalogue = ENGLISH) -> str:
    """The rule behind the governing trigger; empty for an expiry, whose date says it all."""
    if row.due_rule == "every_year":
        return words["rule.every_year"]
    intervals = intervals_in_words(row, words)
    if row.due_rule == "follow_up":
        after = row.follows_task_title or words["rule.work_before_it"]
        return words["rule.follow_up_within" if intervals else "rule.follow_up"].format(task=after, intervals=intervals)
    if row.due_rule == "expiry" or not intervals:
        return ""
    kind = "rule.interval" if row.last_done_on or row.basis == "fixed" else "rule.first_interval"
    return words[kind].format(
        intervals=intervals,
        basis=words[f"rule.{row.basis}"] if row.basis in ("fixed", "anchored") else "",
        duty=words["rule.severe"] if row.duty == "severe" else "",
    )


def intervals_in_words(row: DueRow, words: Catalogue = ENGLISH) -> str:
    """`15,000 km or 12 months, whichever comes first`; empty where the task has no interval."""
    each = []
    if row.interval_distance is not None:
        each.append(quantity(row.interval_distance, row.distance_unit, words))
    if row.interval_months is not None:
        each.append(counted("months", row.interval_months, words))
    if row.interval_hours is not None:
        each.append(quantity(row.interval_hours, words["hours_unit"], words))
    if len(each) == 3:
        return words["rule.intervals_of_three"].format(first=each[0], second=each[1], last=each[2])
    if len(each) == 2:
        return words["rule.intervals_of_two"].format(first=each[0], last=each[1])
    return "".join(each)


def last_done(row: DueRow, words: Catalogue = ENGLISH) -> str:
    """When and at what meter it was last done, or that there is no record; of a follow-up only what was not believed.

    What was written on the service and not believed is told with what counts instead, whichever meter governs.
    """
    if row.due_rule == "follow_up":
        # It counts from another task, not from when it was itself last done.
        return words["last.refused_before"].format(written=refused(row, words)) if refused(row, words) else ""
    if row.last_done_on is None:
        # An expiry has its own date: that nothing is recorded says nothing there.
        return "" if row.due_rule == "expiry" else words["last.never"]
    meters = []
    if row.last_done_odometer is not None and (row.governed_by != "hours" or row.refused_odometer is not None):
        at = _past_figure(row.last_done_odometer, row.odometer_offset, row.distance_unit, words)
        meters.append(at if row.refused_odometer is None else words["last.by_readings"].format(meter=at))
    if row.last_done_hours is not None and (row.governed_by != "distance" or row.refused_hours is not None):
        at = _past_figure(row.last_done_hours, row.hours_offset, words["hours_unit"], words)
        meters.append(at if row.refused_hours is None else words["last.by_readings"].format(meter=at))
    done_on = day(row.last_done_on, words)
    if not meters:
        return words["last.on"].format(date=done_on)
    both = words["last.both_meters"]
    at = meters[0] if len(meters) == 1 else both.format(odometer=meters[0], hours=meters[1])
    written = refused(row, words)
    return words["last.on_at_refused" if written else "last.on_at"].format(date=done_on, meters=at, written=written)


def refused(row: DueRow, words: Catalogue = ENGLISH) -> str:
    """What was written on the service it counts from and not believed: `14,250 km`; empty where all was believed."""
    written = []
    is_told = row.due_rule == "follow_up"
    if row.refused_odometer is not None and (is_told or row.last_done_odometer is not None):
        written.append(quantity(row.refused_odometer, row.refused_unit or row.distance_unit, words))
    if row.refused_hours is not None and (is_told or row.last_done_hours is not None):
        written.append(quantity(row.refused_hours, words["hours_unit"], words))
    both = words["last.both_meters"]
    return both.format(odometer=written[0], hours=written[1]) if len(written) == 2 else "".join(written)


def due_sentence(row: DueRow, words: Catalogue = ENGLISH) -> str:
    """Where the governing trigger falls due, how far past or left, and for a meter the date expected."""
    if row.governed_by not in METERS:
        return _due_on_a_date(row, words)
    left = left_on_meter(row)
    if left is None or due_figure(row) is None:
        return expected(row, words)
    at, now = due_at_in_words(row, words), _now(row, words)
    amount = quantity(abs(left), _unit(row, words), words)
    if left < 0:
        return words["due.meter_past"].format(at=at, date=day(row.due_on, words), now=now, left=amount)
    return words["due.meter_left"].format(at=at, now=now, left=amount) + " " + expected(row, words)


def expected(row: DueRow, words: Catalogue = ENGLISH) -> str:
    """The date estimated for a meter, with its range and the daily rate where they are known."""
    kind, rate, between = "due.expected", "", ""
    if row.rate_per_day is not None and row.rate_per_day > 0:
        kind += "_at_rate"
        rate = words["a_day"].format(quantity=quantity(row.rate_per_day, _unit(row, words), words))
    if row.due_on_early is not None and row.due_on_late is not None and row.due_on_early != row.due_on_late:
        kind += "_between"
        between = day_range(row.due_on_early, row.due_on_late, words)
    return words[kind].format(date=day(row.due_on, words), rate=rate, between=between)


def also_past(row: DueRow, words: Catalogue = ENGLISH) -> str:
    """What is past besides the governing trigger, and by how much of its interval the task is late."""
    parts = []
    if row.governed_by != "distance" and row.distance_left is not None and row.distance_left < 0:
        amount = quantity(-row.distance_left, row.distance_unit, words)
        parts.append(words["due.also_distance"].format(left=amount))
    if row.governed_by != "hours" and row.hours_left is not None and row.hours_left < 0:
        amount = quantity(-row.hours_left, words["hours_unit"], words)
        parts.append(words["due.also_hours"].format(left=amount))
    if row.status == "overdue" and row.late_by_pct is not None:
        parts.append(words["due.late_by"].format(percent=per_cent(row.late_by_pct, words)))
    return " ".join(parts)


def due_at_in_words(row: DueRow, words: Catalogue = ENGLISH) -> str:
    """The governing meter's due point as its dash shows it: `99,120 km on the odometer`."""
    total, offset = due_figure(row), _offset(row)
    if total is None:
        return ""
    key = "at.odometer" if row.governed_by == "distance" else "at.hours"
    if offset != 0:
        # A due point from before the change was never shown by the meter now in the vehicle.
        key += "_changed" if total >= offset else "_before"
    unit = _unit(row, words)
    return words[key].format(shown=quantity(total - offset, unit, words), total=quantity(total, unit, words))


def due_at(row: DueRow, words: Catalogue = ENGLISH) -> str:
    """The due point for a table's cell, as the dash shows it; `by date` where a date governs."""
    total, offset = due_figure(row), _offset(row)
    if total is None:
        return words["cell.by_date"]
    if total < offset:
        return words["cell.in_all"].format(quantity=quantity(total, _unit(row, words), words))
    return quantity(total - offset, _unit(row, words), words)


def gap(row: DueRow, words: Catalogue = ENGLISH) -> str:
    """How far past or left, for a table's cell: `750 km past`, `220 km left`, `3 days left`, `today`."""
    left = left_on_meter(row)
    if left is not None:
        amount = quantity(abs(left), _unit(row, words), words)
        return words["cell.past" if left < 0 else "cell.left"].format(quantity=amount)
    if row.days_left == 0:
        return words["cell.today"]
    days = counted("days", abs(row.days_left), words)
    return words["cell.past" if row.days_left < 0 else "cell.left"].format(quantity=days)


def due_day(row: DueRow, words: Catalogue = ENGLISH) -> str:
    """The due date with its weekday, `about` where it is an estimate from a meter."""
    date_text = day_with_weekday(row.due_on, words, short=True)
    return words["cell.about"].format(date=date_text) if row.governed_by in METERS else date_text


def short_reason(row: DueRow, words: Catalogue = ENGLISH) -> str:
    """A few words for a list of vehicles: `750 km past: due at 99,120 km`, and what was not believed."""
    expiry = row.due_rule == "expiry"
    if row.governed_by in METERS and (left := left_on_meter(row)) is not None:
        kind = "short.past" if left < 0 else "short.meter"
        said = words[kind].format(left=gap(row, words), at=due_at(row, words), day=due_day(row, words))
        is_refused = row.refused_odometer if row.governed_by == "distance" else row.refused_hours
        return words["short.refused"].format(said=said, written=refused(row, words)) if is_refused is not None else said
    if row.days_left < 0:
        days = counted("days", -row.days_left, words)
        kind = "short.expired" if expiry else "short.past_date"
        return words[kind].format(left=gap(row, words), date=day(row.due_on, words), days=days)
    kind = "short.expires" if expiry else "short.date"
    return words[kind].format(date=day_with_weekday(row.due_on, words, short=True), left=gap(row, words))


def left_on_meter(row: DueRow) -> Decimal | None:
    """What is left on the governing meter; none where a date governs."""
    return {"distance": row.distance_left, "hours": row.hours_left}.get(row.governed_by)


def due_figure(row: DueRow) -> Decimal | None:
    """The governing meter's due point on the accumulated scale; none where a date governs."""
    return {"distance": row.due_odometer, "hours": row.due_hours}.get(row.governed_by)


def _offset(row: DueRow) -> Decimal:
    return row.hours_offset if row.governed_by == "hours" else row.odometer_offset


def _unit(row: DueRow, words: Catalogue) -> str:
    return words["hours_unit"] if row.governed_by == "hours" else row.distance_unit


def _past_figure(total: Decimal, offset: Decimal, unit: str, words: Catalogue) -> str:
    """A meter figure of the past; the total after a change, since either meter may have shown it."""
    text = quantity(total, unit, words)
    return words["last.total"].format(quantity=text) if offset != 0 else text


def _now(row: DueRow, words: Catalogue) -> str:
    now, read_on = row.odometer_now, row.odometer_read_on
    if row.governed_by == "hours":
        now, read_on = row.hours_now, row.hours_read_on
    if now is None:
        return ""
    shown = quantity(now - _offset(row), _unit(row, words), words)
    if read_on is None:
        return words["due.now_unread"].format(now=shown)
    return words["due.now"].format(now=shown, read_on=day(read_on, words))


def _due_on_a_date(row: DueRow, words: Catalogue) -> str:
    expiry = row.due_rule == "expiry"
    if row.days_left < 0:
        kind = "due.expired" if expiry else "due.date_past"
    elif row.days_left == 0:
        kind = "due.expires_today" if expiry else "due.date_today"
    else:
        kind = "due.expires" if expiry else "due.date_left"
    days = counted("days", abs(row.days_left), words)
    return words[kind].format(date=day(row.due_on, words), days=days)


def quantity(amount: Decimal, unit: str, words: Catalogue = ENGLISH) -> str:
    """`99,120 km`: whole, halves up; below 10 with one decimal where it has one."""
    places = 0 if abs(amount) >= WHOLE_FROM or amount == amount.to_integral_value() else 1
    return words["quantity"].format(number=number(amount, words, places), unit=unit)


def per_cent(amount: Decimal, words: Catalogue = ENGLISH) -> str:
    """`5.0 %`, one decimal."""
    return words["per_cent"].format(number=number(amount, words, 1))


def number(amount: Decimal | int, words: Catalogue = ENGLISH, places: int = 0) -> str:
    """A number with its thousands marked, rounded half up to so many places; never a negative zero."""
    rounded = Decimal(amount).quantize(_last_place(places), ROUND_HALF_UP)
    text = f"{rounded or abs(rounded):,.{places}f}"
    instead = marks_of(words["locale"]).instead
    return text.translate(instead) if instead else text


@lru_cache
def _last_place(places: int) -> Decimal:
    return Decimal(1).scaleb(-places)


def counted(noun: str, count: int, words: Catalogue = ENGLISH) -> str:
    """`1 day`, `12 months`."""
    form = plural_form(count, words["locale"])
    return words[f"{noun}.{form}"].format(n=number(count, words))


def day(when: date, words: Catalogue = ENGLISH) -> str:
    """`3 Mar 2026`."""
    return _day(when, words["date"], words["locale"])


# The days of a fleet's reports are some hundreds, each written many times.
@lru_cache(DAYS)
def _day(when: date, pattern: str, locale: str) -> str:
    return pattern.format(day=when.day, month=marks_of(locale).months[when.month - 1], year=when.year)


def month_name(month: int, words: Catalogue = ENGLISH) -> str:
    """`Mar` for 3."""
    return marks_of(words["locale"]).months[month - 1]


def day_with_weekday(when: date, words: Catalogue = ENGLISH, short: bool = False) -> str:
    """`Wednesday 25 November 2026`, or short: `Wed 25 Nov 2026`."""
    return _day_with_weekday(when, words["date_with_weekday"], words["locale"], short)


@lru_cache(DAYS)
def _day_with_weekday(when: date, pattern: str, locale: str, short: bool) -> str:
    marks = marks_of(locale)
    weekday = (marks.weekdays if short else marks.weekdays_in_full)[when.weekday()]
    month = (marks.months if short else marks.months_in_full)[when.month - 1]
    return pattern.format(weekday=weekday, day=when.day, month=month, year=when.year)


def named_days(days: str, words: Catalogue = ENGLISH) -> str:
    """`Monday, Thursday, 3 Dec 2026` for `mon, thu, 2026-12-03`."""
    names = dict(zip(WEEKDAYS, marks_of(words["locale"]).weekdays_in_full, strict=True))
    return ", ".join(names.get(part) or day(date.fromisoformat(part), words) for part in days.split(", "))


def day_range(early: date, late: date, words: Catalogue = ENGLISH) -> str:
    """`27 Nov to 2 Dec 2026`; the year twice where it changes."""
    first = day(early, words)
    if early.year == late.year:
        first = words["date_this_year"].format(day=early.day, month=month_name(early.month, words))
    return words["date_range"].format(early=first, late=day(late, words))
