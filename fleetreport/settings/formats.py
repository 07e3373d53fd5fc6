"""How a source writes numbers, dates and times, as SQL that turns a column of such text into the contract's own forms.

`cell_rule` gives, for a column of a table and the format its source declares, a few expressions to apply one after the
other (`{x}` is the column, then the outcome of the one before) and, in words, what the format looks like. What does not
fit becomes NULL, which the checker tells as a problem with the text as written. Nothing is guessed cell by cell: an
undeclared `12.345` or `03/04/2026` does not fit, whatever it looks like.

What this does not know: which columns a file has, and the fleet's own time zone (the database session's).
"""

import re
from typing import NamedTuple

from fleetreport.characters import MARKS
from fleetreport.kinds import DATE, OFFSET, TIME
from fleetreport.months import MONTHS, WEEKDAYS
from fleetreport.sql import literal
from fleetreport.tables import Column

OPEN_MARKS = " (which mark means thousands has to be said: decimal and thousands in a [[source]] section)"
OPEN_ORDER = " (what is day and what month has to be said: dates in a [[source]] section)"
# A number with up to three figures before one mark and three after it: a thousand in one country, a one in another.
LIKE_THOUSANDS = r"[1-9]\d{0,2}[.,]\d{3}"
# What a mark may look like in a file: blanks and apostrophes have several forms.
ARABIC_DECIMAL, ARABIC_THOUSANDS = "\u066b", "\u066c"
FORMS = {" ": " ", "'": "'", ".": r"\.", ",": ",", ARABIC_DECIMAL: ARABIC_DECIMAL, ARABIC_THOUSANDS: ARABIC_THOUSANDS}
# Digits of other scripts, blanks that do not break, typographic apostrophes and minus signs, to their plain forms.
DIGITS = "".join(chr(zero + digit) for zero in (0x660, 0x6F0, 0x966) for digit in range(10))
WRITTEN = DIGITS + "\u00a0\u202f\u2009\u2007\t\u2019\u2018`\u2212\u2013"
PLAIN = "0123456789" * 3 + "     " + "'''" + "--"
# Marks that steer the direction of writing stand in numbers of Arabic, Hebrew and Persian locales.
DIRECTION = f"[{''.join(sorted(MARKS))}]"
UNIT_WORDS = {
    "km": ("km", "kms", "kilometers", "kilometres", "kilometer", "kilometre"),
    "mi": ("mi", "mi.", "miles", "mile", "mls"),
    "m": ("m", "meters", "metres", "meter", "metre"),
    "h": ("h", "hr", "hrs", "hours", "hour", "std", "std.", "stunden", "heures", "horas"),
}
METERS = ("reading", "final_reading", "first_reading")
DISTANCES = ("odometer", "in_service_odometer", "every_distance", "first_distance", "severe_distance", "maker_distance",
             "warranty_distance")  # fmt: skip
HOURS = ("hours", "in_service_hours", "every_hours", "first_hours", "severe_hours", "maker_hours", "labour_hours")
MONEY_TYPE = "DECIMAL(18,4)"
ORDERS = {"dmy": "day, month, year", "mdy": "month, day, year", "ymd": "year, month, day"}
# 1900-01-01 is serial 1; serial 60 is a 29 February 1900 that never was (ECMA-376, 18.17.4.1).
SERIALS = {"serial": "a spreadsheet's day number", "serial1904": "a spreadsheet's day number counted from 1904",
           "unix": "seconds or milliseconds since 1970"}  # fmt: skip
# Real dates of which a spreadsheet took the day for the month, before their file came here.
SWAPPED = "swapped"
SHOWN = {"dmy": "25/11/2026", "mdy": "11/25/2026", "ymd": "2026-11-25", "serial": "46351", "serial1904": "44889",
         "unix": "1795564800"}  # fmt: skip


class Format(NamedTuple):
    """How a source, or one column of it, writes its values; an empty mark is one that was not declared."""

    decimal: str = ""
    thousands: tuple[str, ...] = ()
    currency: tuple[str, ...] = ()
    unit: str = ""
    dates: tuple[str, ...] = ()
    time_zone: str = ""
    blank: tuple[str, ...] = ()


class CellRule(NamedTuple):
    """SQL steps from text to the contract's form, each over `{x}`; what the format looks like; how it was not declared.

    `blank` are the texts that mean nothing. `hint` is told of a cell that `hint_when` (SQL over `{x}`) fits.
    """

    steps: tuple[str, ...]
    expected: str
    blank: tuple[str, ...] = ()
    hint: str = ""
    hint_when: str = ""


def cell_rule(column: Column, form: Format) -> CellRule | None:
    """How the cells of a column are read; None where they are taken as they stand."""
    if column.kind in (DATE, TIME):
        return _date_rule(form, is_day=column.kind is DATE)
    if column.kind.sql_type.startswith("DECIMAL") or column.kind.sql_type == "INTEGER":
        return _number_rule(column, form)
    return CellRule((), "", form.blank) if form.blank else None


def _one_of(words: tuple[str, ...]) -> str:
    """A pattern for any of these words, the longest first."""
    return "|".join(re.escape(word).replace("\\ ", " ") for word in sorted(words, key=len, reverse=True))


def _sql(step: str) -> str:
    """A step as a template: braces of patterns doubled, `@` put for the column."""
    return step.replace("{", "{{").replace("}", "}}").replace("@", "{x}")


def plain(x: str) -> str:
    """SQL: text with plain digits, blanks, apostrophes and signs."""
    return f"trim(translate(regexp_replace({x}, '{DIRECTION}', '', 'g'), {literal(WRITTEN)}, {literal(PLAIN)}))"


def whole_part(thousands: tuple[str, ...]) -> str:
    """A pattern for the figures before the decimal mark, in threes where a mark stands between them."""
    forms = [r"\d+"]
    for mark in thousands:
        form = FORMS[mark]
        forms.append(rf"\d{{1,3}}(?:{form}\d{{3}})+")
        if mark in (",", ARABIC_THOUSANDS):
            # Lakh and crore: twos before the last three (CLDR, en_IN and hi).
            forms.append(rf"\d{{1,2}}(?:{form}\d{{2}})*{form}\d{{3}}")
    return f"(?:{'|'.join(forms)})"


def number_pattern(decimal: str, thousands: tuple[str, ...]) -> str:
    """A pattern for a whole number cell: sign before or after, or brackets for a negative one."""
    mark = FORMS[decimal or "."]
    body = rf"(?:{whole_part(thousands)}(?:{mark}\d+)?|{mark}\d+)"
    return rf"(?:[-+]? ?{body}|{body} ?-|\( ?{body} ?\))"


def _number_rule(column: Column, form: Format) -> CellRule:
    marks = form.currency if column.kind.sql_type == MONEY_TYPE else ()
    unit = "h" if column.name in HOURS else form.unit if column.name in (*METERS, *DISTANCES) else ""
    own = UNIT_WORDS.get(unit) or ((form.unit,) if form.unit and form.unit not in UNIT_WORDS else ())
    steps = [_sql(plain("@"))]
    words = _one_of((*marks, *own))
    if words:
        steps.append(_sql(f"regexp_replace(@, {literal(f'^([-+(]?) ?(?i:{words}) ?')}, '\\1')"))
        steps.append(_sql(f"regexp_replace(@, {literal(f' ?(?i:{words})(?: ?([-)]))?$')}, '\\1')"))
    decimal = form.decimal or "."
    fits = f"regexp_full_match(@, {literal(number_pattern(decimal, form.thousands))})"
    if not form.decimal and "." not in form.thousands:
        fits += f" and not regexp_full_match(@, {literal(f'[-+(]? ?{LIKE_THOUSANDS} ?[-)]?')})"
    digits = f"replace(regexp_replace(@, {literal(f'[^0-9{re.escape(decimal)}]')}, '', 'g'), {literal(decimal)}, '.')"
    number = f"case when regexp_matches(@, '[-(]') then '-' else '' end || {digits}"
    whens = [f"when {fits} then {number}"]
    if unit == "h":
        seconds = " + ".join(
            f"coalesce(try_cast(nullif(split_part(@, ':', {at}), '') as bigint), 0) * {size}"
            for at, size in ((1, 3600), (2, 60), (3, 1))
        )
        whens.append(rf"when regexp_full_match(@, '\d{{1,6}}:[0-5]\d(:[0-5]\d)?') "
                     f"then round(({seconds}) / 3600.0, 7)::decimal(18,7)::varchar")  # fmt: skip
    steps.append(_sql(f"case {' '.join(whens)} end"))
    if unit == "m":
        # An odometer in metres is kept to the metre, exactly.
        steps.append(_sql("(try_cast(@ as decimal(18,4)) * 0.001::decimal(4,3))::varchar"))
    expected = _number_words(form, unit, marks)
    if form.decimal:
        return CellRule(tuple(steps), expected, form.blank)
    return CellRule(tuple(steps), expected, form.blank, OPEN_MARKS, _sql(r"regexp_matches(@, '\d[.,]\d')"))


def _number_words(form: Format, unit: str, marks: tuple[str, ...]) -> str:
    mark = form.decimal or "."
    shown = f"84{form.thousands[0] if form.thousands else ''}120{mark}5"
    words = f"a number such as {shown}"
    if unit:
        words += f" in {unit}" + (" or h:mm" if unit == "h" else "")
    if marks:
        words += f", with or without {' or '.join(marks)}"
    return words


TIME_OF_DAY = r"(\d{1,2})[:.h](\d{2})(?:[:.](\d{2}(?:[.,]\d{1,9})?))? ?(am|pm|a\.m\.|p\.m\.)?"
ZONE = rf"(?: ?(z|utc|gmt|{OFFSET}))?"
AFTER_DAY = rf"(?:(?:t|,? | - ){TIME_OF_DAY}{ZONE}(?: uhr)?)?"
BETWEEN = r" ?[./\- ] ?"
YEAR_FIRST = r"(\d{4})[./-](\d{1,2})[./-](\d{1,2})"
ORDERED = rf"(\d{{1,2}}){BETWEEN}(\d{{1,2}}){BETWEEN}(\d{{4}}|'?\d{{2}})\.?"
YEAR_AT_FRONT = rf"(\d{{2}}){BETWEEN}(\d{{1,2}}){BETWEEN}(\d{{1,2}})"
WORD = r"(\p{L}{3,})\.?"
NAMED = {
    "day first": rf"(\d{{1,2}})(?:\.|st|nd|rd|th|er|º)?[ \-./]*(?:de )?{WORD}[ \-./,]*(?:de )?(\d{{4}}|'?\d{{2}})",
    "month first": rf"{WORD}[ \-./]*(\d{{1,2}})(?:st|nd|rd|th)?[ \-./,]+(\d{{4}}|'?\d{{2}})",
    "year first": rf"(\d{{4}})[ \-./]+{WORD}[ \-./]+(\d{{1,2}})",
}


def _date_rule(form: Format, is_day: bool) -> CellRule:
    """Four steps: plain text; its parts, told apart; ISO form; the moment where the fleet is."""
    weekday = literal(f"^(?:{'|'.join(WEEKDAYS)})[.,]* ?,? (.)")
    tidy = f"regexp_replace(regexp_replace(lower({plain('@')}), '[ \\t]+', ' ', 'g'), {weekday}, '\\1')"
    parts = f"case {' '.join(_whens(form.dates))} end"
    steps = (_sql(tidy), _sql(parts), _sql(_iso_text()), _sql(_moment(form.time_zone, is_day)))
    hint = ("", "") if form.dates else (OPEN_ORDER, _sql(r"regexp_matches(@, '^\d{1,2}[./-]\d|^\d{5,8}$')"))
    return CellRule(steps, _date_words(form), form.blank, *hint)


def _whens(dates: tuple[str, ...]) -> list[str]:
    """A branch for each way a date may be written, the plainest first."""
    whens = [_when(YEAR_FIRST, 1, 3, 2) if SWAPPED in dates else _when(YEAR_FIRST, 1, 2, 3)]
    for order in (name for name in dates if name in ORDERS):
        year, month, day = (order.index(part) + 1 for part in "ymd")
        whens.append(_when(YEAR_AT_FRONT if order == "ymd" else ORDERED, year, month, day))
        width = dict.fromkeys("dmy", 2)
        for width["y"] in (4, 2):
            run = "".join(rf"(\d{{{width[part]}}})" for part in order)
            whens.append(_when(run, year, month, day))
    whens += [_when(NAMED["day first"], 3, 2, 1), _when(NAMED["month first"], 3, 1, 2)]
    whens.append(_when(NAMED["year first"], 1, 2, 3))
    return [*whens, *(SERIAL_WHEN[name] for name in dates if name in SERIALS)]


PARTS = ("y", "m", "d", "hour", "minute", "second", "half", "zone")


def _when(day: str, year: int, month: int, day_at: int) -> str:
    """`when` a text is a day of this form, with or without a time: its parts in the order of PARTS, told apart once."""
    place = {year: "y", month: "m", day_at: "d"}
    names = ", ".join(f"'{name}'" for name in (*(place[at] for at in (1, 2, 3)), *PARTS[3:]))
    parts = f"regexp_extract(@, {literal(f'^(?:{day}{AFTER_DAY})$')}, [{names}])"
    in_order = ", ".join(f"p.{name}" for name in PARTS)
    return (
        f"when regexp_full_match(@, {literal(day + AFTER_DAY)}) "
        f"then list_transform([{parts}], lambda p: [{in_order}])[1]"
    )


def _iso_text() -> str:
    """The parts of a moment in ISO form; a list of one is in that form already."""
    year, month, day, hour, minute, second, half, zone = (f"@[{at}]" for at in range(1, 9))
    names = ", ".join(f"{literal(name)}: '{number}'" for name, number in MONTHS.items())
    the_year = f"replace({year}, '''', '')"
    # As POSIX reads %y: 69 to 99 are of the last century.
    century = f"case when length({the_year}) = 4 then '' when {the_year} >= '69' then '19' else '20' end"
    the_month = f"case when {month} >= 'a' then map {{{names}}}[strip_accents({month})] else {month} end"
    the_hour = (
        f"case when left({half}, 1) = 'p' and {hour}::int < 12 then ({hour}::int + 12)::varchar "
        f"when left({half}, 1) = 'a' and {hour}::int = 12 then '0' else {hour} end"
    )
    time = (
        f"case when {minute} = '' then '' else 'T' || lpad({the_hour}, 2, '0') || ':' || {minute} || ':' || "
        f"coalesce(nullif(replace({second}, ',', '.'), ''), '00') || "
        f"case when {zone} in ('z', 'utc', 'gmt') then '+00' else {zone} end end"
    )
    text = f"{century} || {the_year} || '-' || lpad({the_month}, 2, '0') || '-' || lpad({day}, 2, '0') || {time}"
    return f"case len(@) when 1 then @[1] when 8 then {text} end"


def _serial_when(day_one: str, before_60: str) -> str:
    number = "try_cast(replace(@, ',', '.') as double)"
    start = f"case when {number} < 60 then timestamp '{before_60}' else timestamp '{day_one}' end"
    moment = f"({start} + to_seconds(round({number} * 86400)::bigint))"
    return (
        f"when regexp_full_match(@, '[1-9]\\d{{0,4}}([.,]\\d+)?') then [case "
        f"when {number} >= 60 and {number} < 61 and '{before_60}' <> '{day_one}' then null "
        f"when {moment} = date_trunc('day', {moment}) then strftime({moment}, '%Y-%m-%d') "
        f"else strftime({moment}, '%Y-%m-%dT%H:%M:%S') end]"
    )


SERIAL_WHEN = {
    "serial": _serial_when("1899-12-30", "1899-12-31"),
    "serial1904": _serial_when("1904-01-01", "1904-01-01"),
    "unix": "when regexp_full_match(@, '\\d{9,10}|\\d{13}') then [strftime(make_timestamp("
    "case when length(@) = 13 then @::bigint * 1000 else @::bigint * 1000000 end), '%Y-%m-%dT%H:%M:%S.%f+00')]",
}


def _moment(time_zone: str, is_day: bool) -> str:
    """The time where the fleet is (the session's zone); its day where only a day is asked for."""
    has_offset = "regexp_matches(@, 'T.*[+-]\\d\\d(:?\\d\\d)?$')"
    there = "strftime({0}::timestamp, '%Y-%m-%dT%H:%M:%S')"
    whens = f"when {has_offset} then {there.format('try_cast(@ as timestamptz)')} "
    if time_zone:
        local = f"(try_cast(@ as timestamp) at time zone {literal(time_zone)})"
        whens += f"when contains(@, 'T') then {there.format(local)} "
    elif is_day:
        whens += "when contains(@, 'T') then case when try_cast(@ as timestamp) is not null then @ end "
    moment = f"case {whens}else @ end"
    return f"left({moment}, 10)" if is_day else moment


def _date_words(form: Format) -> str:
    if not form.dates:
        return "a date such as 2026-11-25"
    orders = [f"{ORDERS.get(name) or SERIALS[name]} such as {SHOWN[name]}" for name in form.dates if name != SWAPPED]
    return "a date as " + " or ".join(orders)
