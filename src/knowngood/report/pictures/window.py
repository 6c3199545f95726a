"""The picture of a fluid that warms up: its readings over minutes, the window, and where it is heading, as SVG."""

from dataclasses import dataclass

from knowngood import units
from knowngood.report.pictures.hump import short
from knowngood.report.pictures.picture import Width
from knowngood.report.pictures.plot import Plot, plot
from knowngood.report.pictures.ruler import stretch

# Ours: room above the window for the curve to be seen leaving it.
ABOVE = 0.15


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


def window_picture(view: Warming, *, width: Width = 640) -> str:
    """Return the warm-up as one `svg` element.

    Args:
        view: What to show.
        width: 360 for a phone, 640 for a laptop; texts are drawn for that width. [px]

    Example:
        >>> window_picture(Warming("Oil", "Warms.", ((0.0, 24.0), (2.0, 30.0)), 35.0, 45.0), width=360)[:49]
        '<svg class="pic" viewBox="0 0 360 168" role="img"'
    """
    drawn = _plot(view, width)
    bold = [(end, units.signed(f"{end:.6g}")) for end in (view.lower, view.upper) if end is not None]
    return drawn.svg(
        view.title, view.description, drawn.strip(view.lower, view.upper), _ahead(view, drawn), _there(view, drawn),
        *(drawn.dot(*one) for one in view.readings), drawn.side(bold, drawn.round_marks(), view.unit),
        drawn.base("min"),
    )  # fmt: skip


def _plot(view: Warming, width: Width) -> Plot:
    ends = [end for end in (view.lower, view.upper) if end is not None]
    low, high = stretch([*ends, *(degrees for _, degrees in view.readings)], wanted=None)
    last = max([at for at, _ in view.readings] + [point[0] for point in view.curve])
    return plot((view.readings[0][0], last), (low, high + ABOVE * (high - low)), width)


def _ahead(view: Warming, drawn: Plot) -> str:
    """Where it is heading, and within which it lies 4 times out of 5."""
    if not view.curve:
        return ""
    low = [(at, degrees) for at, degrees, _, _ in view.curve]
    high = [(at, degrees) for at, _, _, degrees in view.curve]
    return drawn.fan(low, high) + drawn.line([(at, middle) for at, _, middle, _ in view.curve], "hump")


def _there(view: Warming, drawn: Plot) -> str:
    """The moment to be there, as a line with its words on top."""
    if view.be_there is None:
        return ""
    x, words, top = drawn.along.x(view.be_there), "be there", drawn.up.left
    at = drawn.middle(x, words)
    return (
        f'<path class="est" d="M{short(x)} {short(top - 4)}V{short(drawn.up.right)}"/>'
        f'<text class="limitno" text-anchor="middle" x="{short(at)}" y="{short(top - 8)}">{words}</text>'
    )
