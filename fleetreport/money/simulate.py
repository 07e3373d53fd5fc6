"""Play out the months to come many times, so that a sum gets a band of its own. Pure functions of arrays, seeded.

In each draw a vehicle runs more or less than its rate (part of it in common with the whole fleet), and the fleet more
in some months than in others, so that work that hangs on distance or hours moves; the workshop is early or late; an
item that is needed only by chance is needed or not; repairs come by a Poisson process whose rate is itself uncertain;
and each costs what one of the class's repairs did.
All of it hits the same months of the same draw, which is why a sum's band is not the sum of bands.

The same input and seed give the same figures whatever the number of threads: NumPy's generator is one stream for each
block of vehicles, and sums run in the order of the rows. Knows nothing of tables or currencies.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fleetreport.money.season import Season

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

DRAWS = 1_000
# A large fleet's sums scatter less, and each draw of it takes longer: pieces of work times draws stay about at this.
FEWEST_DRAWS, MOST_PLAYED = 250, 20_000_000
SEED = 20_090_712  # any number: the same each run
# How much of a vehicle's departure from its rate it shares with the whole fleet (our choice, no published source).
IN_COMMON = 0.2
# What an 80 % band of a normal distribution reaches to either side, in standard deviations.
Z_90 = 1.2815515655446004
BLOCK = 128  # vehicles at once, so that memory does not grow with the fleet
AT_ONCE = 16_384  # figures of an array that is worked at once, so that it stays in the processor's cache


class Use(NamedTuple):
    """How a vehicle's use may depart from its rate: in one draw in ten below `low`, in one above `high` (rate = 1).

    `season` has a level for each month ahead; None: all months are alike. `follows` says which vehicles it holds for
    (None: all): one without a meter is counted by the day.
    """

    low: Floats
    high: Floats
    season: Season | None = None
    follows: NDArray[np.bool_] | None = None


class Work(NamedTuple):
    """Planned work, a row each, in order of vehicles.

    Whose, on which day from the first, in which line of the result, what it costs, and whether its day hangs on use.
    """

    vehicle: Ints
    day: Ints
    line: Ints
    cost: Floats
    moves_with_use: NDArray[np.bool_]


class ChanceParts(NamedTuple):
    """Items needed only by chance, a row each: for which row of `Work`, how likely (0 to 1), what they cost."""

    work: Ints
    chance: Floats
    cost: Floats


class Repairs(NamedTuple):
    """Unplanned work of one kind by vehicle: its class, its line of the result, the gamma shapes of its
    class's rate and of its own share in it.

    `expected` has a row for each vehicle and a column for each month; `scale` turns a cost drawn from `costs` (by
    class) into one of this vehicle at today's prices, and `growth` (by month) into one of the month.
    """

    group: Ints
    line: Ints
    class_shape: Floats
    own_shape: Floats
    expected: Floats
    scale: Floats
    growth: Floats
    costs: list[Floats]


def simulate(
    use: Use, work: Work, parts: ChanceParts, repairs: Sequence[Repairs], delays: Floats, month_ends: Ints, lines: int,
    draws: int = DRAWS, seed: int = SEED, level: tuple[float, float] = (1.0, 0.0), bills: Floats | None = None,
) -> Floats:  # fmt: skip
    """Money by line, month and draw: an array (lines, months, draws).

    `repairs` are the kinds of unplanned work, each a process of its own. `month_ends` are the last days of the months,
    counted from the first day (0). `delays` are days by which past work was off its day, from which those to come are
    drawn (none: always on its day). Work before day 0 falls on day 0; work after the last month is not counted. `level`
    are mean and standard deviation of what planned work costs in a draw, as a share of its cost; `bills` are shares of
    mean 1 by which single bills depart from it, from which each visit's is drawn (none: as the plan has it).
    """
    months = len(month_ends)
    # What comes after the last month goes to one more, which is not given.
    found = np.zeros(lines * (months + 1) * draws)
    streams = np.random.SeedSequence(seed).spawn(2)
    common = np.random.Generator(np.random.PCG64(streams[0]))
    of_fleet = common.standard_normal(draws)
    of_classes = [_class_levels(one, draws, common) for one in repairs]
    work_level = np.maximum(0.0, level[0] + level[1] * common.standard_normal(draws))
    month_of = np.repeat(np.arange(months), np.diff(np.concatenate([[-1], month_ends])))
    paces = _month_paces(use.season, months, draws, common)
    calendar = _calendar(paces, month_ends) if use.season is not None else None
    for block, stream in _blocks(len(use.low), streams[1]):
        rng = np.random.Generator(np.random.PCG64(stream))
        pace = _pace(use, block, of_fleet, rng)
        _add_work(found, use, work, parts, block, pace, calendar, delays, bills, month_of, work_level, rng)
        for one, of_class in zip(repairs, of_classes, strict=True):
            _add_repairs(found, one, use, block, pace, of_class, paces, rng)
    return np.ascontiguousarray(found.reshape(lines, months + 1, draws)[:, :months])


def draws_for(pieces: int) -> int:
    """How many draws a forecast of so many pieces of planned work is made of."""
    return max(FEWEST_DRAWS, min(DRAWS, MOST_PLAYED // max(1, pieces)))


def _class_levels(repairs: Repairs, draws: int, rng: np.random.Generator) -> Floats:
    """What each class's rate is multiplied by, (classes, draws): gamma of mean 1 and the shape of its record."""
    shapes = np.zeros(len(repairs.costs))
    shapes[repairs.group] = repairs.class_shape
    shapes = np.maximum(shapes, 1e-9)[:, None]
    levels: Floats = rng.gamma(shapes, size=(len(repairs.costs), draws)) / shapes
    return levels


def _blocks(vehicles: int, seeds: np.random.SeedSequence) -> Iterator[tuple[slice, np.random.SeedSequence]]:
    starts = range(0, vehicles, BLOCK)
    for start, stream in zip(starts, seeds.spawn(len(starts)), strict=True):
        yield slice(start, min(start + BLOCK, vehicles)), stream


def _pace(use: Use, block: slice, of_fleet: Floats, rng: np.random.Generator) -> Floats:
    """Use as a share of the rate, an array (vehicles of the block, draws).

    Normal with its median at 1, each half as wide as puts one draw in ten below `low` and one above `high`.
    """
    own = rng.standard_normal((block.stop - block.start, len(of_fleet)))
    z = np.sqrt(IN_COMMON) * of_fleet + np.sqrt(1 - IN_COMMON) * own
    below, above = (1 - use.low[block])[:, None], (use.high[block] - 1)[:, None]
    pace: Floats = np.maximum(0.0, 1 + np.where(z < 0, below, above) * z / Z_90)
    return pace


def _month_paces(season: Season | None, months: int, draws: int, rng: np.random.Generator) -> Floats:
    """What the whole fleet runs in each month as a share of its rate, (months, draws)."""
    if season is None:
        return np.ones((months, draws))
    paces: Floats = np.maximum(0.0, season.level[:, None] + season.noise * rng.standard_normal((months, draws)))
    return paces


class _Calendar(NamedTuple):
    """When how much is run, in each draw, if the fleet runs at its months' paces.

    `edges` are the days on which months begin, with the one after the last; `reached` is what is run by then in days'
    use at the rate, and `slope` the days that one more takes: arrays (edges, draws). After the last month all run at
    the rate. `earliest` and `latest` are the least and the most of `reached` by edge.
    """

    edges: Floats
    reached: Floats
    slope: Floats
    earliest: Floats
    latest: Floats


def _calendar(paces: Floats, month_ends: Ints) -> _Calendar:
    edges = np.concatenate([[0], month_ends + 1]).astype(float)
    reached = np.concatenate([np.zeros((1, paces.shape[1])), np.cumsum(np.diff(edges)[:, None] * paces, axis=0)])
    # No day is looked for in a month in which nothing is run.
    with np.errstate(divide="ignore"):
        slope = np.diff(edges)[:, None] / np.diff(reached, axis=0)
    slope = np.concatenate([slope, np.ones((1, paces.shape[1]))])
    return _Calendar(edges, reached, slope, reached.min(axis=1), reached.max(axis=1))


def _days_until(run: Floats, calendar: _Calendar) -> Floats:
    """On which day so much is run, in days' use at the rate: arrays (rows, draws). `run` is written over."""
    draws = run.shape[1]
    least, most = run.min(), run.max()
    month = np.full(run.shape, int(np.count_nonzero(calendar.latest <= least)) - 1, np.int8)
    for begin in calendar.reached[(calendar.latest > least) & (calendar.earliest <= most)]:
        month += run >= begin
    place = month * np.int64(draws)
    place += np.arange(draws)
    run -= calendar.reached.take(place, mode="clip")
    run *= calendar.slope.take(place, mode="clip")
    run += calendar.edges.take(month, mode="clip")
    return run


def _moved_days(day: Ints, pace: Floats, calendar: _Calendar | None) -> Floats:
    """The day of work that moves with use, in each draw, (rows, draws): when as much is run as the plan has by its day.

    `pace` (rows, draws) is the use of the vehicle of each; `calendar` None: it does not follow the months.
    """
    # What is due on the first day is due however little is run: 0 / 0 is no day.
    with np.errstate(divide="ignore", invalid="ignore"):
        run: Floats = day[:, None] / pace
    run[day <= 0] = 0.0
    return run if calendar is None else _days_until(run, calendar)


def _add_work(
    found: Floats, use: Use, work: Work, parts: ChanceParts, block: slice, pace: Floats, calendar: _Calendar | None,
    delays: Floats, bills: Floats | None, month_of: Ints, level: Floats, rng: np.random.Generator,
) -> None:  # fmt: skip
    """Add the money of a block's work, and of the items that it needs by chance."""
    first, last = np.searchsorted(work.vehicle, [block.start, block.stop])
    if first == last:
        return
    mine = slice(int(first), int(last))
    day, vehicle, moves = work.day[mine], work.vehicle[mine] - block.start, work.moves_with_use[mine]
    beyond, months, draws = len(month_of), int(month_of[-1]) + 1, pace.shape[1]
    month_of = np.concatenate([month_of, [months]])
    # What one vehicle needs in one month is done in one visit: early or late together, and on one bill.
    visits, of_work = np.unique(vehicle * (months + 1) + month_of[np.clip(day, 0, beyond)], return_inverse=True)
    off = rng.choice(delays, size=(len(visits), draws)) if len(delays) else None
    paid = np.broadcast_to(level, (len(visits), draws))
    if bills is not None and len(bills):
        paid = level * rng.choice(bills, size=(len(visits), draws))
    follows = moves if use.follows is None else moves & use.follows[block][vehicle]
    place, cost = np.empty((len(day), draws), np.int64), np.empty((len(day), draws))
    a_line = (months + 1) * draws
    low, high = int(work.line[mine].min()), int(work.line[mine].max()) + 1
    of_month, of_line = month_of * draws, (work.line[mine] - low) * a_line
    these = found[low * a_line : high * a_line]
    for some, along, by_months in ((~moves, False, None), (moves & ~follows, True, None), (follows, True, calendar)):
        places = np.flatnonzero(some)
        # Work of about the same day falls into few months.
        for rows in _few_rows(places[np.argsort(day[places])], draws):
            if along:
                on = _moved_days(day[rows], pace[vehicle[rows]], by_months)
            else:
                on = np.repeat(day[rows].astype(float)[:, None], draws, axis=1)
            if off is not None:
                on += off[of_work[rows]]
            np.rint(np.minimum(on, beyond, out=on), out=on)
            at = of_month.take(on.astype(np.int64), mode="clip")
            at += of_line[rows, None] + np.arange(draws)
            place[rows] = at
            cost[rows] = work.cost[mine][rows, None] * paid[of_work[rows]]
    _add(these, place, cost)
    begin, end = np.searchsorted(parts.work, [mine.start, mine.stop])
    if begin == end:
        return
    whose = parts.work[begin:end] - mine.start
    needed = rng.random((end - begin, draws)) < parts.chance[begin:end, None]
    _add(these, place[whose], needed * parts.cost[begin:end, None] * paid[of_work[whose]])


def _few_rows(rows: Ints, draws: int) -> Iterator[Ints]:
    """The rows by as many at once as keep an array (rows, draws) in the processor's cache."""
    few = max(1, AT_ONCE // draws)
    for start in range(0, len(rows), few):
        yield rows[start : start + few]


def _add(found: Floats, place: Ints, cost: Floats) -> None:
    """Add costs to the places of the flat array of lines, months with the one after the last, and draws."""
    found += np.bincount(place.ravel(), cost.ravel(), len(found))


def _so_far(expected: Floats, paces: Floats, follows: NDArray[np.bool_], vehicle: Ints, draw: Ints) -> list[Floats]:
    """How many repairs a vehicle is expected to have by the end of each month in a draw, a figure for each pair of
    these.
    """
    found: list[Floats] = []
    for of_month, pace in zip(np.ascontiguousarray(expected.T), paces, strict=True):
        number = of_month[vehicle] * (pace[draw] if follows.all() else np.where(follows[vehicle], pace[draw], 1.0))
        found.append(found[-1] + number if found else number)
    return found


def _add_repairs(
    found: Floats, repairs: Repairs, use: Use, block: slice, pace: Floats, of_class: Floats, paces: Floats,
    rng: np.random.Generator,
) -> None:  # fmt: skip
    """Add the money of a block's repairs; `paces` (months, draws) is the use of the months."""
    expected, group, months = repairs.expected[block], repairs.group[block], len(paces)
    follows = np.ones(len(expected), bool) if use.follows is None else use.follows[block]
    level = np.ones_like(paces)
    total: Floats = np.stack(
        [row @ (paces if does else level) for row, does in zip(expected, follows.tolist(), strict=True)]
    )
    shape = repairs.own_shape[block][:, None]
    own = rng.gamma(shape, size=pace.shape) / shape
    count = rng.poisson(total * own * of_class[group] * pace)
    vehicle, draw = np.divmod(np.repeat(np.arange(count.size), count.ravel()), pace.shape[1])
    if not len(vehicle):
        return
    so_far = _so_far(expected, paces, follows, vehicle, draw)
    reached = rng.random(len(vehicle)) * so_far[-1]
    month = np.zeros(len(vehicle), np.int64)
    for by_then in so_far[:-1]:
        month += reached >= by_then
    pick = rng.random(len(vehicle))
    cost = np.zeros(len(vehicle))
    for number in np.unique(group[vehicle]):
        mine, known = group[vehicle] == number, repairs.costs[number]
        if len(known):
            cost[mine] = known[np.minimum((pick[mine] * len(known)).astype(np.int64), len(known) - 1)]
    cost *= repairs.scale[block][vehicle] * repairs.growth[month]
    place = (repairs.line[block][vehicle] * (months + 1) + month) * pace.shape[1] + draw
    _add(found, place, cost)
