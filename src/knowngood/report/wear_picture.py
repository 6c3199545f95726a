"""The picture of wear: readings over dates, the allowed strip behind them, and where the line is heading, as SVG."""

from dataclasses import dataclass

from knowngood import units
from knowngood.acts.history import History, Read
from knowngood.acts.values import decimals_for
from knowngood.report.hump import short
from knowngood.report.picture import Width, plain
from knowngood.report.ruler import FONT_PX, Ruler, signed, ticks, words_px

LEFT, RIGHT, TOP, BOTTOM, HEIGHT = 44.0, 14.0, 12.0, 132.0, 156.0
# Ours: room above what is drawn, for a number, and below, as a share of it.
ABOVE, BELOW = 0.22, 0.12
NUMBERS_APART_PX = 10.0


@dataclass(frozen=True)
class _Plot:
    """Days or km along, values up."""

    along: Ruler
    values: Ruler

    def at(self, along: float, value: float) -> str:
        """A place, as path data; what lies off the plot is drawn at its edge."""
        inside = min(max(value, self.values.low), self.values.high)
        return f"{short(self.along.x(along))} {short(self.y(inside))}"

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
        f"{''.join(parts)}{_values(told, plot)}{_labels(told, plot)}{_places(told, plot)}</svg>"
    )


def _shown(told: History, value: float) -> float:
    return units.to_unit(value, told.unit)


def _plot(told: History, width: Width) -> _Plot:
    first, line = told.along(told.readings[0]), told.wear.points if told.wear else ()
    last = max([0.0, *(point.at for point in line)])
    seen = [end for one in told.readings for end in (one.low, one.high)]
    shown = [_shown(told, end) for end in (*seen, *([] if told.limit is None else [told.limit]))]
    low, high = min(shown), max(shown)
    tall = high - low or 1.0
    along = Ruler(first, max(last, first + 1.0), LEFT + 6.0, width - RIGHT)
    return _Plot(along, Ruler(low - BELOW * tall, high + ABOVE * tall, TOP, BOTTOM))


def _band(told: History, plot: _Plot) -> str:
    """The strip of what is allowed ends at the limit that the line is heading for."""
    if told.limit is None:
        return ""
    limit = _shown(told, told.limit)
    above = _shown(told, told.readings[0].value) >= limit
    far = TOP if above else BOTTOM
    y, left, right = short(plot.y(limit)), short(LEFT), short(plot.along.right)
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
    along = told.along(one)
    ends = [plot.at(along, _shown(told, end)) for end in (one.low, one.high)]
    x, y = plot.at(along, _shown(told, one.value)).split()
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


def _labels(told: History, plot: _Plot) -> str:
    """What was read first and last, and first of a part that looks renewed, beside its dot."""
    newest = next((one for one in told.readings if one.day == told.renewed), None)
    first, last = told.readings[0], told.readings[-1]
    texts: list[str] = []
    taken: list[tuple[float, float, float]] = []
    for one in dict.fromkeys(one for one in (last, first, newest) if one is not None):
        words = _read_words(told, one) + (" renewed" if one is newest else "")
        half = 0.5 * words_px(words)
        x = min(max(plot.along.x(told.along(one)), LEFT + 4.0 + half), plot.along.right + RIGHT - 2.0 - half)
        above, below = plot.y(_shown(told, one.high)) - 7.0, plot.y(_shown(told, one.low)) + FONT_PX + 3.0
        places = [y for y in (above, below) if TOP + FONT_PX - 4.0 <= y <= BOTTOM - 3.0] or [above]
        free = [y for y in places if _free(x, y, half, taken)]
        y = (free or places)[0]
        taken.append((x, y, half))
        texts.append(f'<text class="no" text-anchor="middle" x="{short(x)}" y="{short(y)}">{words}</text>')
    return "".join(texts)


def _free(x: float, y: float, half: float, taken: list[tuple[float, float, float]]) -> bool:
    """Is there room for words here, beside those that stand already?"""
    return all(abs(x - at) > half + width + 2.0 or abs(y - high) > FONT_PX for at, high, width in taken)


def _read_words(told: History, one: Read) -> str:
    """With as many places as its doubt deserves."""
    low, high = (_shown(told, end) for end in (one.low, one.high))
    return signed(f"{_shown(told, one.value):.{decimals_for(0.5 * (high - low))}f}")


def _places(told: History, plot: _Plot) -> str:
    """Months or km at both ends and at the last reading, as far as they do not touch."""
    base = f'<path class="base" d="M{short(LEFT)} {short(BOTTOM)}H{short(plot.along.right)}"/>'
    texts: list[str] = []
    taken: list[tuple[float, float]] = []
    for along in dict.fromkeys([plot.along.low, plot.along.high, 0.0]):
        words = _place_words(told, along)
        half = 0.5 * words_px(words)
        x = min(max(plot.along.x(along), LEFT + half), plot.along.right + RIGHT - 2.0 - half)
        if all(abs(x - other) > half + width + NUMBERS_APART_PX for other, width in taken):
            taken.append((x, half))
            texts.append(
                f'<text class="no" text-anchor="middle" x="{short(x)}" y="{short(BOTTOM + 18)}">{words}</text>'
            )
    return base + "".join(texts)


def _place_words(told: History, along: float) -> str:
    """The month, or what the odometer shows."""
    km = told.readings[-1].km
    return f"{told.day_at(along):%b %Y}" if km is None else f"{km + along:,.0f} km".replace(",", " ")
