"""The picture of wear: readings over dates, the allowed strip behind them, and where the line is heading, as SVG."""

from dataclasses import dataclass
from datetime import date, timedelta

from knowngood import units
from knowngood.acts.history import History, Read
from knowngood.report.hump import short
from knowngood.report.picture import Width, plain
from knowngood.report.ruler import FONT_PX, Ruler, signed, ticks, words_px

LEFT, RIGHT, TOP, BOTTOM, HEIGHT = 44.0, 14.0, 12.0, 132.0, 156.0
# Ours: room above and below what is drawn, as a share of it.
ROOM = 0.12
NUMBERS_APART_PX = 10.0


@dataclass(frozen=True)
class _Plot:
    """Days along, values up."""

    days: Ruler
    values: Ruler

    def at(self, day: float, value: float) -> str:
        """A place, as path data; what lies off the plot is drawn at its edge."""
        inside = min(max(value, self.values.low), self.values.high)
        return f"{short(self.days.x(day))} {short(self.y(inside))}"

    def y(self, value: float) -> float:
        return BOTTOM + TOP - self.values.x(value)


def wear_picture(told: History, *, width: Width = 640) -> str:
    """Return readings over dates as one `svg` element; with a line, also the limit and when it is reached.

    Args:
        told: Two readings or more.
        width: 360 for a phone, 640 for a laptop; texts are drawn for that width. [px]
    """
    plot = _plot(told, width)
    parts = [_band(told, plot), _ahead(told, plot), *(_reading(told, plot, one) for one in told.readings)]
    return (
        f'<svg class="pic" viewBox="0 0 {width} {HEIGHT:.0f}" role="img" font-size="{FONT_PX}">'
        f"<title>{plain(told.name)} over time</title><desc>{plain(told.words)}</desc>"
        f"{''.join(parts)}{_values(told, plot)}{_dates(told, plot)}</svg>"
    )


def _shown(told: History, value: float) -> float:
    return units.to_unit(value, told.unit)


def _day(told: History, day: date) -> float:
    """Days from the last reading on."""
    return float((day - told.readings[-1].day).days)


def _plot(told: History, width: Width) -> _Plot:
    first, line = _day(told, told.readings[0].day), told.wear.points if told.wear else ()
    last = max([0.0, *(point.at for point in line)])
    seen = [end for one in told.readings for end in (one.low, one.high)]
    shown = [_shown(told, end) for end in (*seen, *([] if told.limit is None else [told.limit]))]
    low, high = min(shown), max(shown)
    room = ROOM * (high - low) or 1.0
    days = Ruler(first, max(last, first + 1.0), LEFT + 6.0, width - RIGHT)
    return _Plot(days, Ruler(low - room, high + room, TOP, BOTTOM))


def _band(told: History, plot: _Plot) -> str:
    """The strip of what is allowed ends at the limit that the line is heading for."""
    if told.limit is None:
        return ""
    limit = _shown(told, told.limit)
    above = _shown(told, told.readings[0].value) >= limit
    far = TOP if above else BOTTOM
    y, left, right = short(plot.y(limit)), short(LEFT), short(plot.days.right)
    return (
        f'<path class="band" d="M{left} {y}V{short(far)}H{right}V{y}z"/><path class="limit" d="M{left} {y}H{right}"/>'
    )


def _ahead(told: History, plot: _Plot) -> str:
    """The line, and within which it lies 4 times out of 5."""
    if told.wear is None or not told.wear.points:
        return ""
    points = told.wear.points
    low = [plot.at(point.at, _shown(told, point.low)) for point in points]
    high = [plot.at(point.at, _shown(told, point.high)) for point in reversed(points)]
    line = [plot.at(point.at, _shown(told, point.value)) for point in points]
    fan = f'<path class="humpfill" d="M{"L".join([*low, *high])}z"/>'
    return f'{fan}<path class="est" fill="none" d="M{"L".join(line)}"/>'


def _reading(told: History, plot: _Plot, one: Read) -> str:
    day = _day(told, one.day)
    ends = [plot.at(day, _shown(told, end)) for end in (one.low, one.high)]
    x, y = plot.at(day, _shown(told, one.value)).split()
    return f'<path class="hump" d="M{ends[0]}L{ends[1]}"/><circle class="raw" cx="{x}" cy="{y}" r="4"/>'


def _values(told: History, plot: _Plot) -> str:
    """Round numbers up the side, and the limit's own in bold where it has room."""
    limit = None if told.limit is None else plot.y(_shown(told, told.limit))
    apart = FONT_PX + 2.0
    texts = [
        f'<text class="no" text-anchor="end" x="{short(LEFT - 5)}" y="{short(y + 5)}">{tick.number}</text>'
        for y, tick in ((BOTTOM + TOP - one.x, one) for one in ticks(plot.values))
        if tick.number and (limit is None or abs(y - limit) > apart)
    ]
    if told.limit is not None and limit is not None:
        words = signed(f"{_shown(told, told.limit):.6g}")
        texts.append(
            f'<text class="limitno" text-anchor="end" x="{short(LEFT - 5)}" y="{short(limit + 5)}">{words}</text>'
        )
    return "".join(texts)


def _dates(told: History, plot: _Plot) -> str:
    """Months at both ends and at the last reading, as far as they do not touch."""
    last = told.readings[-1].day
    days = dict.fromkeys([plot.days.low, plot.days.high, 0.0])
    base = f'<path class="base" d="M{short(LEFT)} {short(BOTTOM)}H{short(plot.days.right)}"/>'
    texts: list[str] = []
    taken: list[tuple[float, float]] = []
    for day in days:
        words = f"{last + timedelta(days=day):%b %Y}"
        half = 0.5 * words_px(words)
        x = min(max(plot.days.x(day), LEFT + half), plot.days.right + RIGHT - 2.0 - half)
        if all(abs(x - other) > half + width + NUMBERS_APART_PX for other, width in taken):
            taken.append((x, half))
            texts.append(
                f'<text class="no" text-anchor="middle" x="{short(x)}" y="{short(BOTTOM + 18)}">{words}</text>'
            )
    return base + "".join(texts)
