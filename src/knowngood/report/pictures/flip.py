"""The picture of a decision at the open cover: expected cost against the chance that the part is bad, as SVG.

The strip is where renewing the part wins; on top stands where the answer flips. The hump is what is known of it.
A line is what an option costs: solid to renew it, dashed to close and watch.
"""

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from knowngood.acts.faults.cover_decision import stretches
from knowngood.acts.faults.cover_words import exactly
from knowngood.engine.troubleshooting.model.amounts import Chance
from knowngood.engine.troubleshooting.worth.cover_decision import Decision, Option
from knowngood.report.pictures.hump import curve, short
from knowngood.report.pictures.picture import Box, Width
from knowngood.report.pictures.plot import LEFT, Place, Plot, plot
from knowngood.report.pictures.ruler import FONT_PX, words_px

# Room for the flips on top. [px]
TOP, BOTTOM, LIMITS_Y = 26.0, 176.0, 17.0
PEAK = 56.0
# Ours: so much of the dearer lines is shown as the cheapest at the flips and at what is known need, and as much again.
ABOVE = 2.0
# Ours: room below the least of them, as a share of all that is shown, so that its line is not taken for the ruler.
BELOW = 0.04
CLASSES = {Option.REPLACE: "way", Option.WATCH: "way watch", Option.TEST: "way test", Option.HAND_OVER: "way hand"}
# Ours: where along a line its name is tried first.
NAMED_AT = (0.72, 0.55, 0.85, 0.64, 0.78, 0.4, 0.28, 0.16)
# Ours: a name keeps this far from the lines of others, so that it is not read as theirs. [px]
APART = (-8.0, 0.0, 8.0)
# Ours: half of the range in which a chance lies 19 times out of 20 is two standard deviations.
DEVIATIONS = 4.0
HUMP_POINTS = 48


def flip_picture(title: str, told: Decision, *, width: Width = 640) -> str:
    """Return what each option costs against the chance that the part is bad, as one `svg` element.

    Args:
        title: Of the picture: the part.
        told: The decision.
        width: 360 for a phone, 640 for a laptop; texts are drawn for that width. [px]

    Example:
        >>> from knowngood.engine.troubleshooting.model.amounts import Price
        >>> from knowngood.engine.troubleshooting.worth.cover_decision import decide
        >>> from knowngood.engine.troubleshooting.worth.doubtful import DoubtfulPart
        >>> part = DoubtfulPart(Price(46.0), access=Price(150.0), damage=Price(40.0))
        >>> flip_picture("Thermostat", decide(part, 0.41, rate_per_hour=0.0), width=360)[:49]
        '<svg class="pic" viewBox="0 0 360 202" role="img"'
    """
    drawn = _plot(told, width)
    says = f"{told.advice.value}; flips at {', '.join(exactly(one) for one in told.flips_at) or 'no probability'}."
    return drawn.svg(
        title, says, _strip(told, drawn), _hump(told.chance, drawn), _flips(told, drawn), *_lines(told, drawn),
        _names(told, drawn), drawn.base("%"), drawn.side([], drawn.round_marks()),
    )  # fmt: skip


def _plot(told: Decision, width: Width) -> Plot:
    at, total = told.picture.probability, told.picture.total
    shown = [told.chance.lowest, told.chance.value, told.chance.highest, *told.flips_at]
    cheapest = np.min(list(total.values()), axis=0)
    needed = max(float(np.interp(one, at, cheapest)) for one in shown)
    low, most = min(0.0, float(np.min(cheapest))), max(float(np.max(one)) for one in total.values())
    high = min(most, ABOVE * needed) if needed > 0.0 else most
    tall = high - low if high > low else 1.0
    return plot((0.0, 100.0), (low - BELOW * tall, low + tall), width, top=TOP, bottom=BOTTOM)


def _strip(told: Decision, drawn: Plot) -> str:
    """Where renewing it wins."""
    ends = [(drawn.along.x(100.0 * low), drawn.along.x(100.0 * high)) for low, high in stretches(told, Option.REPLACE)]
    paths = "".join(f"M{short(a)} {short(BOTTOM)}V{short(TOP)}H{short(b)}V{short(BOTTOM)}z" for a, b in ends)
    return f'<path class="band" d="{paths}"/>' if paths else ""


def _flips(told: Decision, drawn: Plot) -> str:
    """A line at each flip, and its number on top; one that would touch the number before it has none."""
    xs = [drawn.along.x(100.0 * one) for one in told.flips_at]
    lines = "".join(f"M{short(x)} {short(TOP - 2)}V{short(BOTTOM)}" for x in xs)
    texts, free = [], 2.0
    for number, (x, one) in enumerate(zip(xs, told.flips_at, strict=True)):
        words = exactly(one) if number else f"flips at {exactly(one)}"
        half, middle = 0.5 * words_px(words), drawn.middle(x, words, left=2.0)
        if middle - half >= free:
            texts.append(f'<text class="limitno" x="{short(middle)}" y="{LIMITS_Y:.0f}">{words}</text>')
            free = middle + half + 8.0
    return f'<path class="limit" d="{lines}"/><g text-anchor="middle">{"".join(texts)}</g>' if xs else ""


def _hump(chance: Chance, drawn: Plot) -> str:
    """What is known of the chance: a hump over its range, or a dashed line where it has none."""
    x = short(drawn.along.x(100.0 * chance.value))
    line = f'<path class="est" d="M{x} {short(BOTTOM)}V{short(BOTTOM - PEAK)}"/>'
    if chance.highest == chance.lowest:
        return line
    at, tall = _density(chance)
    xs = [drawn.along.x(100.0 * float(one)) for one in at]
    ys = [BOTTOM - PEAK * float(one) for one in tall]
    return f'<path class="hump humpfill" d="{curve(xs, ys)}"/>{line}'


def _density(chance: Chance) -> tuple[np.ndarray, np.ndarray]:
    """A beta with that value as its mean and that range, 1 at its top; only where there is something to see."""
    mean = min(0.99, max(0.01, chance.value))
    deviation = (chance.highest - chance.lowest) / DEVIATIONS
    # No flatter than one that falls to nothing at both ends.
    count = max(mean * (1.0 - mean) / deviation**2 - 1.0, 1.2 / min(mean, 1.0 - mean))
    reach = 3.0 * (mean * (1.0 - mean) / (count + 1.0)) ** 0.5
    at = np.linspace(max(1e-4, mean - reach), min(1.0 - 1e-4, mean + reach), HUMP_POINTS)
    log = (mean * count - 1.0) * np.log(at) + ((1.0 - mean) * count - 1.0) * np.log1p(-at)
    return at, np.exp(log - np.max(log))


def _lines(told: Decision, drawn: Plot) -> list[str]:
    return [
        drawn.line(_corners(told, option), kind) for option, kind in CLASSES.items() if option in told.picture.total
    ]


def _corners(told: Decision, option: Option) -> list[Place]:
    """Percent and cost where a line turns, and at its ends."""
    at, total = told.picture.probability, told.picture.total[option]
    turns = ~np.isclose(np.diff(np.diff(total) / np.diff(at)), 0.0, atol=1e-6)
    kept = np.concatenate(([True], turns, [True]))
    return list(zip((100.0 * at[kept]).tolist(), total[kept].tolist(), strict=True))


def _names(told: Decision, drawn: Plot) -> str:
    """The name of each option beside its line, and the chance by now at its own."""
    at = np.linspace(0.0, 1.0, 101)
    xs = [drawn.along.x(100.0 * float(one)) for one in at]
    lines = {
        option: [(x, drawn.y(float(y))) for x, y in zip(xs, np.interp(at, told.picture.probability, total), strict=True)
                 if y <= drawn.up.high]
        for option, total in told.picture.total.items()
    }  # fmt: skip
    now = drawn.along.x(100.0 * told.chance.value)
    uprights = [(drawn.along.x(100.0 * one), TOP) for one in told.flips_at] + [(now, BOTTOM - PEAK)]
    upright = [(x, float(y)) for x, top in uprights for y in range(int(top), int(BOTTOM), 5)]
    by_now = f"now {exactly(told.chance.value)}"
    # The level line last, for it has room along all of it; the other way round where a name would be lost.
    last = sorted(lines, key=lambda one: one is Option.REPLACE)
    rows = [_named(order, lines, upright, (by_now, now), drawn) for order in (last, lines)]
    best: list[str] = max(rows, key=len)
    return "".join(best)


def _named(
    order: Iterable[Option], lines: dict[Option, list[Place]], upright: list[Place], now: tuple[str, float], drawn: Plot
) -> list[str]:
    """Name one line after the other, then the chance by now; what finds no place is left out."""
    every = [one for line in lines.values() for one in line]
    taken: list[Box] = []
    texts = []
    for option in order:
        line = lines[option]
        others = [(x, y + by) for each in lines.values() if each is not line for x, y in each for by in APART]
        tries = (line + others + upright, line + others)
        texts.append(_text(option.value, _beside(option.value, line), tries, taken, drawn))
    texts.append(_text(now[0], _at_now(*now), (every + upright,), taken, drawn))
    return [one for one in texts if one]


def _text(words: str, places: Sequence[Box], tries: Sequence[Sequence[Place]], taken: list[Box], drawn: Plot) -> str:
    """Words at the first place that is free, of all that is in the way or of what matters most of it; else none."""
    for points in tries:
        for box in places:
            if _is_free(box, points, drawn) and not any(box.meets(one) for one in taken):
                taken.append(box)
                return f'<text x="{short(box.left)}" y="{short(box.bottom - 3.0)}">{words}</text>'
    return ""


def _beside(words: str, line: Sequence[Place]) -> list[Box]:
    """The places for the name of a line: above it and below, around some points of it."""
    points = [line[min(len(line) - 1, round(share * len(line)))] for share in NAMED_AT] if line else []
    return [box for x, y in points for top in (y - FONT_PX - 8.0, y + 6.0) for box in _around(words, x, top)]


def _at_now(words: str, x: float) -> list[Box]:
    """The places for the chance by now: on top of its dashed line, or beside it."""
    tops = (BOTTOM - PEAK - FONT_PX - 5.0, BOTTOM - PEAK, BOTTOM - 0.5 * PEAK)
    return [box for top in tops for box in _around(words, x, top)]


def _around(words: str, x: float, top: float) -> Iterator[Box]:
    wide = words_px(words)
    for left in (x - 0.5 * wide, x + 3.0, x - wide - 6.0):
        yield Box(left, top, left + wide, top + FONT_PX + 3.0)


def _is_free(box: Box, points: Sequence[Place], drawn: Plot) -> bool:
    if box.left < LEFT + 2.0 or box.right > drawn.along.right or box.top < TOP or box.bottom >= BOTTOM - 1.0:
        return False
    return not any(box.left - 2.0 < x < box.right + 2.0 and box.top < y < box.bottom for x, y in points)
