"""The picture of a decision at the open cover: expected cost against the chance that the part is bad, as SVG.

The strip is where renewing the part wins; on top stands where the answer flips. The hump is what is known of it.
A line is what an option costs: solid to renew it, dashed to close and watch.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from knowngood.acts.faults.cover_decision import stretches
from knowngood.acts.faults.cover_words import percent
from knowngood.engine.troubleshooting.amounts import Chance
from knowngood.engine.troubleshooting.cover_decision import Decision, Option
from knowngood.report.hump import curve, short
from knowngood.report.picture import Box, Width, plain
from knowngood.report.ruler import FONT_PX, Ruler, ticks, words_px

LEFT, RIGHT, TOP, BOTTOM, HEIGHT = 44.0, 18.0, 26.0, 176.0, 202.0
LIMITS_Y = 17.0
PEAK = 56.0
# Ours: so much of the dearer lines is shown as the cheapest at the flips and at what is known need, and as much again.
ABOVE = 2.0
CLASSES = {Option.REPLACE: "way", Option.WATCH: "way watch", Option.TEST: "way test", Option.HAND_OVER: "way hand"}
# Ours: where along a line its name is tried first.
NAMED_AT = (0.72, 0.55, 0.85, 0.4, 0.28, 0.16)
# Ours: half of the range in which a chance lies 19 times out of 20 is two standard deviations.
DEVIATIONS = 4.0
HUMP_POINTS = 48


@dataclass(frozen=True)
class _Plot:
    """Percent along, money up."""

    along: Ruler
    money: Ruler

    def y(self, money: float) -> float:
        return BOTTOM + TOP - self.money.x(money)


def flip_picture(title: str, told: Decision, *, width: Width = 640) -> str:
    """Return what each option costs against the chance that the part is bad, as one `svg` element.

    Args:
        title: Of the picture: the part.
        told: The decision.
        width: 360 for a phone, 640 for a laptop; texts are drawn for that width. [px]

    Example:
        >>> from knowngood.engine.troubleshooting.amounts import Price
        >>> from knowngood.engine.troubleshooting.cover_decision import decide
        >>> from knowngood.engine.troubleshooting.doubtful import DoubtfulPart
        >>> part = DoubtfulPart(Price(46.0), access=Price(150.0), damage=Price(40.0))
        >>> flip_picture("Thermostat", decide(part, 0.41, rate_per_hour=0.0), width=360)[:49]
        '<svg class="pic" viewBox="0 0 360 202" role="img"'
    """
    plot = _plot(told, width)
    says = f"{told.advice.value}; flips at {', '.join(percent(one) for one in told.flips_at) or 'no probability'}."
    return (
        f'<svg class="pic" viewBox="0 0 {width} {HEIGHT:.0f}" role="img" font-size="{FONT_PX}">'
        f"<title>{plain(title)}</title><desc>{plain(says)}</desc>"
        f"{_strip(told, plot)}{_hump(told.chance, plot)}{_flips(told, plot)}{_lines(told, plot)}{_names(told, plot)}"
        f"{_percents(plot)}{_amounts(plot)}</svg>"
    )


def _plot(told: Decision, width: float) -> _Plot:
    at, total = told.picture.probability, told.picture.total
    shown = [told.chance.lowest, told.chance.value, told.chance.highest, *told.flips_at]
    cheapest = np.minimum.reduce(list(total.values()))
    needed = max(float(np.interp(one, at, cheapest)) for one in shown)
    low, most = min(0.0, float(cheapest.min())), max(float(one.max()) for one in total.values())
    high = min(most, ABOVE * needed) if needed > 0.0 else most
    return _Plot(
        Ruler(0.0, 100.0, LEFT, width - RIGHT), Ruler(low, high if high > low else low + 1.0, TOP + 6.0, BOTTOM)
    )


def _strip(told: Decision, plot: _Plot) -> str:
    """Where renewing it wins."""
    ends = [(plot.along.x(100.0 * low), plot.along.x(100.0 * high)) for low, high in stretches(told, Option.REPLACE)]
    paths = "".join(f"M{short(a)} {short(BOTTOM)}V{short(TOP)}H{short(b)}V{short(BOTTOM)}z" for a, b in ends)
    return f'<path class="band" d="{paths}"/>' if paths else ""


def _flips(told: Decision, plot: _Plot) -> str:
    """A line at each flip, and its number on top; one that would touch the number before it has none."""
    xs = [plot.along.x(100.0 * one) for one in told.flips_at]
    lines = "".join(f"M{short(x)} {short(TOP - 2)}V{short(BOTTOM)}" for x in xs)
    texts, free = [], 2.0
    for number, (x, one) in enumerate(zip(xs, told.flips_at, strict=True)):
        words = percent(one) if number else f"flips at {percent(one)}"
        half = 0.5 * words_px(words)
        middle = min(max(x, 2.0 + half), plot.along.right + RIGHT - 2.0 - half)
        if middle - half >= free:
            texts.append(f'<text class="limitno" x="{short(middle)}" y="{LIMITS_Y:.0f}">{words}</text>')
            free = middle + half + 8.0
    return f'<path class="limit" d="{lines}"/><g text-anchor="middle">{"".join(texts)}</g>' if xs else ""


def _hump(chance: Chance, plot: _Plot) -> str:
    """What is known of the chance: a hump over its range, or a dashed line where it has none."""
    x = short(plot.along.x(100.0 * chance.value))
    line = f'<path class="est" d="M{x} {short(BOTTOM)}V{short(BOTTOM - PEAK)}"/>'
    if chance.highest == chance.lowest:
        return line
    at, tall = _density(chance)
    xs = [plot.along.x(100.0 * float(one)) for one in at]
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
    return at, np.exp(log - log.max())


def _lines(told: Decision, plot: _Plot) -> str:
    rows = []
    for option, total in told.picture.total.items():
        pieces = _pieces(told.picture.probability, total, plot)
        path = "".join(f"M{short(x)} {short(y)}L{short(u)} {short(v)}" for (x, y), (u, v) in _joined(pieces))
        rows.append(f'<path class="{CLASSES[option]}" d="{path}"/>')
    return "".join(rows)


Place = tuple[float, float]


def _pieces(at: np.ndarray, total: np.ndarray, plot: _Plot) -> Iterator[tuple[Place, Place]]:
    """The pieces of a line that lie in the picture."""
    top = plot.money.high
    for (p, a), (q, b) in pairwise(zip(at.tolist(), total.tolist(), strict=True)):
        if a > top and b > top:
            continue
        ends = [(p, a), (q, b)]
        for index, (inside, outside) in enumerate((((q, b), (p, a)), ((p, a), (q, b)))):
            if outside[1] > top:
                share = (top - inside[1]) / (outside[1] - inside[1])
                ends[index] = (inside[0] + share * (outside[0] - inside[0]), top)
        yield tuple((plot.along.x(100.0 * one), plot.y(money)) for one, money in ends)  # type: ignore[misc]


def _joined(pieces: Iterator[tuple[Place, Place]]) -> Iterator[tuple[Place, Place]]:
    """Neighbours that go on in one direction as one, for a shorter path."""
    held: tuple[Place, Place] | None = None
    for one in pieces:
        if held and held[1] == one[0] and _turn(held, one) < 1e-6:
            held = (held[0], one[1])
            continue
        if held:
            yield held
        held = one
    if held:
        yield held


def _turn(one: tuple[Place, Place], other: tuple[Place, Place]) -> float:
    (a, b), (c, d) = one, other
    return abs((b[1] - a[1]) * (d[0] - c[0]) - (d[1] - c[1]) * (b[0] - a[0]))


def _names(told: Decision, plot: _Plot) -> str:
    """The name of each option beside its line, where no other line and no other name is."""
    at = np.linspace(0.0, 1.0, 101)
    xs = [plot.along.x(100.0 * float(one)) for one in at]
    lines = {
        option: [(x, plot.y(float(y))) for x, y in zip(xs, np.interp(at, told.picture.probability, total), strict=True)
                 if y <= plot.money.high]
        for option, total in told.picture.total.items()
    }  # fmt: skip
    points = [one for line in lines.values() for one in line]
    flips = [(plot.along.x(100.0 * one), float(y)) for one in told.flips_at for y in range(int(TOP), int(BOTTOM), 5)]
    taken: list[Box] = []
    texts = []
    for option, line in lines.items():
        box = _free(option.value, line, points + flips, taken, plot) or _free(option.value, line, points, taken, plot)
        if box is not None:
            taken.append(box)
            texts.append(f'<text x="{short(box.left)}" y="{short(box.bottom - 3.0)}">{option.value}</text>')
    return "".join(texts)


def _free(words: str, line: Sequence[Place], points: list[Place], taken: list[Box], plot: _Plot) -> Box | None:
    if not line:
        return None
    wide = words_px(words)
    for share in NAMED_AT:
        x, y = line[min(len(line) - 1, round(share * len(line)))]
        for top in (y - FONT_PX - 8.0, y + 6.0):
            for left in (x - 0.5 * wide, x + 6.0, x - wide - 6.0):
                box = Box(left, top, left + wide, top + FONT_PX + 3.0)
                inside = box.left >= LEFT + 2.0 and box.right <= plot.along.right and box.top >= TOP
                crossed = any(box.left - 2.0 < u < box.right + 2.0 and box.top < v < box.bottom for u, v in points)
                if inside and box.bottom < BOTTOM - 1.0 and not crossed and not any(box.meets(one) for one in taken):
                    return box
    return None


def _percents(plot: _Plot) -> str:
    marks = "".join(f"M{short(plot.along.x(float(one)))} {short(BOTTOM)}v{7 if one % 50 == 0 else 4}"
                    for one in range(0, 101, 10))  # fmt: skip
    texts = "".join(
        f'<text class="no" text-anchor="{anchor}" x="{short(plot.along.x(one) + shift)}" y="{short(BOTTOM + 20)}">'
        f"{one:.0f} %</text>"
        for one, anchor, shift in ((0.0, "middle", 0.0), (50.0, "middle", 0.0), (100.0, "end", RIGHT - 2.0))
    )
    base = f'<path class="base" d="M{short(LEFT)} {short(BOTTOM)}H{short(plot.along.right)}"/>'
    return f'{base}<path class="tick" d="{marks}"/>{texts}'


def _amounts(plot: _Plot) -> str:
    """Round amounts of money at the side."""
    marks = [one for one in ticks(plot.money) if one.number]
    few = marks if len(marks) < 5 else marks[:: (len(marks) + 3) // 4]
    return "".join(
        f'<text class="no" text-anchor="end" x="{short(LEFT - 7)}" y="{short(y + 5.0)}">{one.number}</text>'
        for one in few
        if (y := BOTTOM + TOP - one.x) > TOP + 2.0
    )
