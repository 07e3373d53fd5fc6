"""A meter's readings as a small drawing, of plain SVG: believed and refused readings, and the range expected ahead.

Written from the figures as a few paths, because a page a vehicle leaves no time for a plotting library. Colours and
widths come from the page's style sheet by class; a refused reading is a cross, a believed one lies on the line, and the
text under the drawing says which is which. A refused value beyond the scale stands at its edge. Works nothing out: the
scale is all it knows.
"""

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from math import floor, log10

from markupsafe import Markup, escape

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.marks import marks_of
from fleetreport.report.sentences import number
from fleetreport.report.sheet_rows import RefusedReading, SheetLine, SheetMeter

WIDTH, HEIGHT = 640, 230
LEFT, RIGHT, TOP, BOTTOM = 66, 12, 14, 30
DAYS_BACK = 731
CROSS = 4


class _Scale:
    """From a day and a value to a place in the drawing."""

    def __init__(self, first: date, last: date, low: float, high: float) -> None:
        self.first, self.last, self.days = first, last, max(1, (last - first).days)
        self.step = nice_step((high - low) or 1)
        self.low = floor(low / self.step) * self.step
        self.high = max(high, self.low + self.step)
        self.span = self.high - self.low

    def x(self, day: date) -> float:
        share = (day - self.first).days / self.days
        return LEFT + (0 if share < 0 else 1 if share > 1 else share) * (WIDTH - LEFT - RIGHT)

    def y(self, value: float) -> float:
        share = (value - self.low) / self.span
        return HEIGHT - BOTTOM - (0 if share < 0 else 1 if share > 1 else share) * (HEIGHT - TOP - BOTTOM)

    def ticks(self) -> list[float]:
        count = int((self.high - self.low) / self.step) + 1
        return [self.low + n * self.step for n in range(count)]


def nice_step(span: float) -> float:
    """1, 2 or 5 times a power of ten, so that a span has three to six steps."""
    raw = span / 4
    power = float(10 ** floor(log10(raw)))
    return next(power * factor for factor in (1, 2, 5, 10) if power * factor >= raw)


def meter_chart(
    meter: SheetMeter, line: SheetLine | None, refused: Sequence[RefusedReading], as_of: date, name: str,
    words: Catalogue = ENGLISH,
) -> Markup:  # fmt: skip
    """The drawing, since new in `meter.unit`: this meter's readings, believed (None: none is) and refused.

    `name` is its id in the page.
    """
    since_new = float(meter.offset_now)
    believed = list(zip(line.days, line.values, strict=True)) if line else []
    last = (meter.last_on, float(meter.last) + since_new)
    edges = [float(edge) + since_new for edge in (meter.ahead_low, meter.ahead, meter.ahead_high) if edge is not None]
    values = [value for _, value in believed] + [last[1], *edges]
    first = min([day for day, _ in believed] + [meter.last_on])
    first = max(first, as_of - timedelta(DAYS_BACK)) if believed else meter.last_on
    scale = _Scale(first, meter.ahead_on, min(values), max(values))
    parts = [*_frame(scale, as_of, words), *_ahead(scale, meter, last, since_new)]
    if believed:
        parts.append(f'<path class="m-line" d="{_path(scale, [*believed, last])}"/>')
    parts += [_cross(scale.x(row.read_on), scale.y(float(row.value))) for row in refused]
    title, said = _in_words(meter, len(believed), len(refused), words)
    head = (
        f'<svg viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-labelledby="{name}-t {name}-d">'
        f'<title id="{name}-t">{escape(title)}</title><desc id="{name}-d">{escape(said)}</desc>'
    )
    return Markup(head + "".join(parts) + "</svg>")  # noqa: S704 numbers, and words escaped above


def _in_words(meter: SheetMeter, believed: int, refused: int, words: Catalogue) -> tuple[str, str]:
    title = words["vehicle_page.chart_title"].format(meter=words[f"meter.{meter.meter}"])
    return title, words["vehicle_page.chart_said"].format(
        believed=number(believed, words), refused=number(refused, words), unit=meter.unit
    )


def _frame(scale: _Scale, as_of: date, words: Catalogue) -> list[str]:
    """Rules with their figures, the beginnings of quarters, and the as-of date."""
    parts = []
    for tick in scale.ticks():
        y = scale.y(tick)
        parts.append(f'<path class="m-rule" d="M{LEFT} {y:.1f}H{WIDTH - RIGHT}"/>')
        label = number(Decimal(repr(tick)), words, 0 if scale.step >= 1 else 1)
        parts.append(f'<text class="m-text m-end" x="{LEFT - 8}" y="{y + 4:.1f}">{label}</text>')
    months = marks_of(words["locale"]).months
    for day in _quarters(scale.first, scale.last):
        x = scale.x(day)
        parts.append(f'<path class="m-tick" d="M{x:.1f} {HEIGHT - BOTTOM}v5"/>')
        if day.month in (1, 7) and x < WIDTH - RIGHT - 30:
            label = words["vehicle_page.chart_month"].format(month=months[day.month - 1], year=day.year)
            parts.append(f'<text class="m-text" x="{x:.1f}" y="{HEIGHT - 10}">{escape(label)}</text>')
    parts.append(f'<path class="m-now" d="M{scale.x(as_of):.1f} {TOP - 6}V{HEIGHT - BOTTOM}"/>')
    return parts


def _quarters(first: date, last: date) -> list[date]:
    return [
        date(year, month, 1)
        for year in range(first.year, last.year + 1)
        for month in (1, 4, 7, 10)
        if first <= date(year, month, 1) <= last
    ]


def _ahead(scale: _Scale, meter: SheetMeter, last: tuple[date, float], since_new: float) -> list[str]:
    """The range that holds four times in five from the last reading on, and the line expected."""
    parts = []
    if meter.ahead_low is not None and meter.ahead_high is not None:
        low, high = float(meter.ahead_low) + since_new, float(meter.ahead_high) + since_new
        fan = [last, (meter.ahead_on, high), (meter.ahead_on, low)]
        parts.append(f'<path class="m-range" d="{_path(scale, fan)}Z"/>')
    if meter.ahead is not None:
        expected = [last, (meter.ahead_on, float(meter.ahead) + since_new)]
        parts.append(f'<path class="m-ahead" d="{_path(scale, expected)}"/>')
    return parts


def _path(scale: _Scale, points: Sequence[tuple[date, float]]) -> str:
    return "M" + "L".join(f"{scale.x(day):.1f} {scale.y(value):.1f}" for day, value in points)


def _cross(x: float, y: float) -> str:
    return (
        f'<path class="m-refused" d="M{x - CROSS:.1f} {y - CROSS:.1f}l{2 * CROSS} {2 * CROSS}'
        f'm0 {-2 * CROSS}l{-2 * CROSS} {2 * CROSS}"/>'
    )
