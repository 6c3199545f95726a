"""The picture of wear: readings over dates, the allowed strip behind them, and where the line is heading, as SVG."""

from knowngood import units
from knowngood.acts.readings.history import History, Read
from knowngood.acts.readings.values import decimals_for
from knowngood.report.pictures.hump import short
from knowngood.report.pictures.picture import Width
from knowngood.report.pictures.plot import LEFT, Plot, plot
from knowngood.report.pictures.ruler import FONT_PX, words_px
from knowngood.words import km_words, month_words

# Ours: room above what is drawn, for a number, and below, as a share of it.
ABOVE, BELOW = 0.22, 0.12
NUMBERS_APART_PX = 10.0


def wear_picture(told: History, *, width: Width = 640) -> str:
    """Return readings over dates as one `svg` element; with a line, also the limit and when it is reached.

    Args:
        told: Two readings or more.
        width: 360 for a phone, 640 for a laptop; texts are drawn for that width. [px]
    """
    drawn = _plot(told, width)
    limit = [] if told.limit is None else [(_shown(told, told.limit), units.signed(f"{_shown(told, told.limit):.6g}"))]
    return drawn.svg(
        f"{told.name} over time", told.words, _band(told, drawn), _ahead(told, drawn),
        *(_reading(told, drawn, one) for one in told.readings), drawn.side(limit, drawn.round_marks(), told.unit),
        _labels(told, drawn), _places(told, drawn),
    )  # fmt: skip


def _shown(told: History, value: float) -> float:
    return units.to_unit(value, told.unit)


def _plot(told: History, width: Width) -> Plot:
    first, line = told.along(told.readings[0]), told.wear.points if told.wear else ()
    last = max([0.0, *(point.at for point in line)])
    seen = [end for one in told.readings for end in (one.low, one.high)]
    shown = [_shown(told, end) for end in (*seen, *([] if told.limit is None else [told.limit]))]
    low, high = min(shown), max(shown)
    tall = high - low or 1.0
    return plot((first, last), (low - BELOW * tall, high + ABOVE * tall), width)


def _band(told: History, drawn: Plot) -> str:
    """The strip of what is allowed ends at the limit that the line is heading for."""
    if told.limit is None:
        return ""
    limit = _shown(told, told.limit)
    return drawn.strip(limit, None) if _shown(told, told.readings[0].value) >= limit else drawn.strip(None, limit)


def _ahead(told: History, drawn: Plot) -> str:
    """The line, and within which it lies 4 times out of 5."""
    if told.wear is None or not told.wear.points:
        return ""
    points = told.wear.points
    low = [(point.at, _shown(told, point.low)) for point in points]
    high = [(point.at, _shown(told, point.high)) for point in points]
    return drawn.fan(low, high) + drawn.line([(point.at, _shown(told, point.value)) for point in points], "est")


def _reading(told: History, drawn: Plot, one: Read) -> str:
    along = told.along(one)
    ends = [drawn.at(along, _shown(told, end)) for end in (one.low, one.high)]
    return f'<path class="hump" d="M{ends[0]}L{ends[1]}"/>{drawn.dot(along, _shown(told, one.value))}'


def _labels(told: History, drawn: Plot) -> str:
    """What was read first and last, and first of a part that looks renewed, beside its dot."""
    newest = next((one for one in told.readings if one.day == told.renewed), None)
    first, last = told.readings[0], told.readings[-1]
    texts: list[str] = []
    taken: list[tuple[float, float, float]] = []
    for one in dict.fromkeys(one for one in (last, first, newest) if one is not None):
        words = _read_words(told, one) + (" renewed" if one is newest else "")
        half = 0.5 * words_px(words)
        x = drawn.middle(drawn.along.x(told.along(one)), words, left=LEFT + 4.0)
        above, below = drawn.y(_shown(told, one.high)) - 7.0, drawn.y(_shown(told, one.low)) + FONT_PX + 3.0
        places = [y for y in (above, below) if drawn.up.left + FONT_PX - 4.0 <= y <= drawn.up.right - 3.0] or [above]
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
    return units.signed(f"{_shown(told, one.value):.{decimals_for(0.5 * (high - low))}f}")


def _places(told: History, drawn: Plot) -> str:
    """Months or km at both ends and at the last reading, as far as they do not touch."""
    base = f'<path class="base" d="M{short(LEFT)} {short(drawn.up.right)}H{short(drawn.along.right)}"/>'
    texts: list[str] = []
    taken: list[tuple[float, float]] = []
    for along in dict.fromkeys([drawn.along.low, drawn.along.high, 0.0]):
        words = _place_words(told, along)
        half = 0.5 * words_px(words)
        x = drawn.middle(drawn.along.x(along), words)
        if all(abs(x - other) > half + width + NUMBERS_APART_PX for other, width in taken):
            taken.append((x, half))
            texts.append(
                f'<text class="no" text-anchor="middle" x="{short(x)}" y="{short(drawn.up.right + 18)}">{words}</text>'
            )
    return base + "".join(texts)


def _place_words(told: History, along: float) -> str:
    """The month, or what the odometer shows."""
    km = told.readings[-1].km
    return month_words(told.day_at(along)) if km is None else km_words(km + along)
