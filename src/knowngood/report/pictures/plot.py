"""What curves are drawn on: a ruler along, a ruler up the side, the strip of what is allowed, the same few marks."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from knowngood.report.pictures.hump import short
from knowngood.report.pictures.picture import Width, framed, plain
from knowngood.report.pictures.ruler import FONT_PX, Ruler, Tick, ticks, words_px

LEFT, RIGHT = 44.0, 14.0
# Ours: numbers up the side that stand nearer than this are not both written.
APART_PX = FONT_PX + 2.0
Place = tuple[float, float]


@dataclass(frozen=True)
class Plot:
    """One thing along, another one up.

    Args:
        along: From left to right.
        up: From top to bottom of the plot, its numbers growing upward.
        foot: Where the picture ends, below the numbers. [px]
    """

    along: Ruler
    up: Ruler
    foot: float

    def y(self, number: float) -> float:
        """Return how far down a number of the side stands; beyond the ends it stands at the end. [px]"""
        return self.up.right + self.up.left - self.up.x(number)

    def at(self, along: float, up: float) -> str:
        """Return a place, as path data; what lies off the plot is drawn at its edge."""
        return f"{short(self.along.x(along))} {short(self.y(up))}"

    def svg(self, title: str, description: str, *parts: str) -> str:
        """Return the whole picture."""
        return framed(self.along.right + RIGHT, self.foot, title, description, *parts)

    def middle(self, x: float, words: str, *, left: float = LEFT) -> float:
        """Return where words about a place have their middle, so that they stay in the picture. [px]"""
        half = 0.5 * words_px(words)
        return min(max(x, left + half), self.along.right + RIGHT - 2.0 - half)

    def strip(self, lower: float | None, upper: float | None) -> str:
        """Return what is allowed, from side to side, with a line at each limit."""
        top = self.up.left if upper is None else self.y(upper)
        foot = self.up.right if lower is None else self.y(lower)
        left, right = short(LEFT), short(self.along.right)
        lines = "".join(f"M{left} {short(self.y(end))}H{right}" for end in (lower, upper) if end is not None)
        strip = f'<path class="band" d="M{left} {short(foot)}V{short(top)}H{right}V{short(foot)}z"/>'
        return f'{strip}<path class="limit" d="{lines}"/>'

    def line(self, points: Sequence[Place], kind: str) -> str:
        """Return a line through some places, as far as it lies on the plot; `kind` is its class."""
        path, last = "", None
        for piece in pairwise(points):
            ends = self._inside(*piece)
            if ends:
                path += f"{'' if ends[0] == last else f'M{self.at(*ends[0])}'}L{self.at(*ends[1])}"
                last = ends[1]
        return f'<path class="{kind}" fill="none" d="{path}"/>'

    def _inside(self, one: Place, other: Place) -> tuple[Place, Place] | None:
        """What is left of a straight piece between the ends of the side; nothing where it lies beyond one of them."""
        (x, y), (u, v) = one, other
        low, high = (min(max(up, self.up.low), self.up.high) for up in (y, v))
        if low == high and (low, high) != (y, v):
            return None
        first = one if low == y else (x + (u - x) * (low - y) / (v - y), low)
        return first, other if high == v else (x + (u - x) * (high - y) / (v - y), high)

    def fan(self, low: Sequence[Place], high: Sequence[Place]) -> str:
        """Return the room between two lines, both from left to right."""
        ring = "L".join(self.at(*one) for one in (*low, *reversed(high)))
        return f'<path class="humpfill" d="M{ring}z"/>'

    def dot(self, along: float, up: float, kind: str = "raw") -> str:
        """Return a dot at a place."""
        x, y = self.at(along, up).split()
        return f'<circle class="{kind}" cx="{x}" cy="{y}" r="4"/>'

    def side(self, bold: Sequence[tuple[float, str]], marks: Sequence[tuple[float, str]], unit: str = "") -> str:
        """Return numbers up the side: the bold ones, the others where they have room, the unit on top."""
        kept = [self.y(at) for at, _ in bold]
        rows = [("limitno", y, words) for y, (_, words) in zip(kept, bold, strict=True)]
        rows += [
            ("no", self.y(at), words)
            for at, words in marks
            if all(abs(self.y(at) - other) > APART_PX for other in kept)
        ]
        numbers = "".join(
            f'<text class="{kind}" text-anchor="end" x="{short(LEFT - 5)}" y="{short(y + 5)}">{words}</text>'
            for kind, y, words in rows
        )
        top = f'<text class="no" x="2" y="{short(self.up.left - 8)}">{plain(unit)}</text>' if unit else ""
        return numbers + top

    def round_marks(self) -> list[tuple[float, str]]:
        """Return round numbers up the side."""
        lying = Ruler(self.up.low, self.up.high, 0.0, self.up.right - self.up.left)
        return [(self._number(one, lying), one.number) for one in ticks(lying) if one.number]

    @staticmethod
    def _number(tick: Tick, ruler: Ruler) -> float:
        return ruler.low + (tick.x - ruler.left) / ruler.px_per_unit

    def base(self, unit: str) -> str:
        """Return the ruler along; its unit stands behind the last number that has room for it."""
        marks, bottom = ticks(self.along), self.up.right
        lines = "".join(f"M{short(one.x)} {short(bottom)}v{7 if one.number else 4}" for one in marks)
        edge = self.along.right + RIGHT - 2.0
        free = edge - words_px(unit) - 6.0
        numbers = "".join(
            f'<text class="no" text-anchor="middle" x="{short(one.x)}" y="{short(bottom + 20)}">{one.number}</text>'
            for one in marks
            if one.number and one.x + 0.5 * words_px(one.number) <= free
        )
        line = f'<path class="base" d="M{short(LEFT)} {short(bottom)}H{short(self.along.right)}"/>'
        end = f'<text class="no" text-anchor="end" x="{short(edge)}" y="{short(bottom + 20)}">{plain(unit)}</text>'
        return f'{line}<path class="tick" d="{lines}"/>{numbers}{end}'


def plot(
    along: tuple[float, float], up: tuple[float, float], width: Width, *, top: float = 22.0, bottom: float = 142.0
) -> Plot:
    """Return a plot between two ends along and two ends up.

    Args:
        along: First and last number along; alike, they are drawn apart.
        up: Lowest and highest number up the side.
        width: 360 for a phone, 640 for a laptop. [px]
        top: Of the plot. [px]
        bottom: Of the plot. [px]

    Example:
        >>> plot((0.0, 10.0), (20.0, 50.0), 360).at(10.0, 50.0)
        '346 22'
    """
    first, last = along
    ruler = Ruler(first, last if last > first else first + 1.0, LEFT + 8.0, width - RIGHT)
    return Plot(ruler, Ruler(*up, top, bottom), bottom + 26.0)
