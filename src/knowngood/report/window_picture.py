"""The picture of a fluid that warms up: its readings over minutes, the window, and where it is heading, as SVG."""

from dataclasses import dataclass

from knowngood.report.hump import short
from knowngood.report.picture import Width, plain
from knowngood.report.ruler import FONT_PX, Ruler, signed, stretch, ticks, words_px

LEFT, RIGHT, TOP, BOTTOM, HEIGHT = 44.0, 14.0, 22.0, 142.0, 168.0
# Ours: numbers nearer than this to a limit's own are left out.
APART_PX = FONT_PX + 2.0


@dataclass(frozen=True)
class Warming:
    """What the picture shows, temperatures in the unit that is printed.

    Args:
        title: Of the picture.
        description: What it says, for those who do not see it.
        readings: Minutes and temperature of each reading, oldest first; at least one.
        lower: Where the window opens; None when it is open below.
        upper: Where it closes; None when it is open above.
        curve: Minutes with the low, middle and high temperature then (4 times out of 5 between low and high).
        be_there: When to be under the vehicle at the latest. [min]
        unit: Of the temperatures.
    """

    title: str
    description: str
    readings: tuple[tuple[float, float], ...]
    lower: float | None
    upper: float | None
    curve: tuple[tuple[float, float, float, float], ...] = ()
    be_there: float | None = None
    unit: str = "°C"


@dataclass(frozen=True)
class _Plot:
    """Minutes along, temperatures up."""

    minutes: Ruler
    degrees: Ruler

    def at(self, minutes: float, degrees: float) -> str:
        """A place, as path data; what lies off the plot is drawn at its edge."""
        return f"{short(self.minutes.x(minutes))} {short(self.y(degrees))}"

    def y(self, degrees: float) -> float:
        return BOTTOM + TOP - self.degrees.x(degrees)


def window_picture(view: Warming, *, width: Width = 640) -> str:
    """Return the warm-up as one `svg` element.

    Args:
        view: What to show.
        width: 360 for a phone, 640 for a laptop; texts are drawn for that width. [px]

    Example:
        >>> window_picture(Warming("Oil", "Warms.", ((0.0, 24.0), (2.0, 30.0)), 35.0, 45.0), width=360)[:49]
        '<svg class="pic" viewBox="0 0 360 168" role="img"'
    """
    plot = _plot(view, width)
    readings = "".join(
        f'<circle class="raw" cx="{short(plot.minutes.x(at))}" cy="{short(plot.y(degrees))}" r="4"/>'
        for at, degrees in view.readings
    )
    return (
        f'<svg class="pic" viewBox="0 0 {width} {HEIGHT:.0f}" role="img" font-size="{FONT_PX}">'
        f"<title>{plain(view.title)}</title><desc>{plain(view.description)}</desc>"
        f"{_band(view, plot)}{_ahead(view, plot)}{_there(view, plot)}{readings}"
        f"{_degrees(view, plot)}{_minutes(plot)}</svg>"
    )


def _plot(view: Warming, width: Width) -> _Plot:
    ends = [end for end in (view.lower, view.upper) if end is not None]
    seen = [degrees for _, degrees in view.readings]
    low, high = stretch([*ends, *seen], wanted=None)
    # Room for the curve to be seen leaving the window.
    high += 0.15 * (high - low)
    last = max([at for at, _ in view.readings] + [point[0] for point in view.curve])
    first = view.readings[0][0]
    return _Plot(Ruler(first, max(last, first + 1.0), LEFT + 8.0, width - RIGHT), Ruler(low, high, TOP, BOTTOM))


def _band(view: Warming, plot: _Plot) -> str:
    top = TOP if view.upper is None else plot.y(view.upper)
    foot = BOTTOM if view.lower is None else plot.y(view.lower)
    left, right = short(LEFT), short(plot.minutes.right)
    lines = "".join(f"M{left} {short(plot.y(end))}H{right}" for end in (view.lower, view.upper) if end is not None)
    strip = f'<path class="band" d="M{left} {short(foot)}V{short(top)}H{right}V{short(foot)}z"/>'
    return f'{strip}<path class="limit" d="{lines}"/>'


def _ahead(view: Warming, plot: _Plot) -> str:
    """Where it is heading, and within which it lies 4 times out of 5."""
    if not view.curve:
        return ""
    low = [plot.at(at, degrees) for at, degrees, _, _ in view.curve]
    high = [plot.at(at, degrees) for at, _, _, degrees in reversed(view.curve)]
    line = [plot.at(at, degrees) for at, degrees in _inside(view, plot)]
    fan = f'<path class="humpfill" d="M{"L".join([*low, *high])}z"/>'
    return f'{fan}<path class="hump" d="M{"L".join(line)}"/>'


def _inside(view: Warming, plot: _Plot) -> list[tuple[float, float]]:
    """The middle of the curve up to where it leaves the plot."""
    kept: list[tuple[float, float]] = []
    for at, _, degrees, _ in view.curve:
        edge = min(max(degrees, plot.degrees.low), plot.degrees.high)
        if edge != degrees and kept:
            before_at, before = kept[-1]
            return [*kept, (before_at + (at - before_at) * (edge - before) / (degrees - before), edge)]
        kept.append((at, edge))
    return kept


def _there(view: Warming, plot: _Plot) -> str:
    """The moment to be there, as a line with its words on top."""
    if view.be_there is None:
        return ""
    x, words = plot.minutes.x(view.be_there), "be there"
    half = 0.5 * words_px(words)
    at = min(max(x, LEFT + half), plot.minutes.right + RIGHT - 2.0 - half)
    return (
        f'<path class="est" d="M{short(x)} {short(TOP - 4)}V{short(BOTTOM)}"/>'
        f'<text class="limitno" text-anchor="middle" x="{short(at)}" y="{short(TOP - 8)}">{words}</text>'
    )


def _degrees(view: Warming, plot: _Plot) -> str:
    """The window's two temperatures in bold, and round ones where they have room."""
    ends = [end for end in (view.lower, view.upper) if end is not None]
    kept = [plot.y(end) for end in ends]
    bold = [_side("limitno", y, signed(f"{end:.6g}")) for y, end in zip(kept, ends, strict=True)]
    marks = [(BOTTOM + TOP - one.x, one.number) for one in ticks(plot.degrees) if one.number]
    plain_ones = [_side("no", y, words) for y, words in marks if all(abs(y - other) > APART_PX for other in kept)]
    unit = f'<text class="no" x="2" y="{short(TOP - 8)}">{plain(view.unit)}</text>'
    return "".join([*bold, *plain_ones, unit])


def _side(kind: str, y: float, words: str) -> str:
    return f'<text class="{kind}" text-anchor="end" x="{short(LEFT - 5)}" y="{short(y + 5)}">{words}</text>'


def _minutes(plot: _Plot) -> str:
    """The ruler of minutes; its unit stands behind the last number that has room for it."""
    marks = ticks(plot.minutes)
    lines = "".join(f"M{short(one.x)} {short(BOTTOM)}v{7 if one.number else 4}" for one in marks)
    edge, unit = plot.minutes.right + RIGHT - 2.0, "min"
    free = edge - words_px(unit) - 6.0
    numbers = "".join(
        f'<text class="no" text-anchor="middle" x="{short(one.x)}" y="{short(BOTTOM + 20)}">{one.number}</text>'
        for one in marks
        if one.number and one.x + 0.5 * words_px(one.number) <= free
    )
    base = f'<path class="base" d="M{short(LEFT)} {short(BOTTOM)}H{short(plot.minutes.right)}"/>'
    end = f'<text class="no" text-anchor="end" x="{short(edge)}" y="{short(BOTTOM + 20)}">{unit}</text>'
    return f'{base}<path class="tick" d="{lines}"/>{numbers}{end}'
