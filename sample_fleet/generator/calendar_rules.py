"""Days: months added with the day clamped, working days, days of the year."""

from calendar import monthrange
from datetime import date, timedelta


def add_months(day: date, months: int) -> date:
    """The same day some months on, clamped to the month's end."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def workday(day: date) -> date:
    """The day itself, or the Monday after a weekend."""
    return day + timedelta((7 - day.weekday()) % 7 if day.weekday() >= 5 else 0)


def year_day_after(last: date | None, month_day: str, start: date, today: date) -> date:
    """When a yearly task is next due: done from 60 days before a day on counts for it."""
    month, day = (int(part) for part in month_day.split("-"))
    if last is None:
        after = max(start, today - timedelta(300))
        return next(d for y in range(after.year, after.year + 2) if (d := date(y, month, day)) > after)
    return next(d for y in range(last.year, last.year + 3) if (d := date(y, month, day)) - timedelta(60) > last)
