"""The picture of a renewal: the share that is new after each change against money or litres, as SVG.

The strip is the wanted share and all above it. Circles are changes, filled for those that were done; about them stands
what is known of them. The dashed line is a continuous exchange in which all mixes.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from knowngood.engine.fluids.renewal import Picture
from knowngood.report.pictures.hump import short
from knowngood.report.pictures.picture import Width
from knowngood.report.pictures.plot import Plot, plot
from knowngood.report.pictures.ruler import FONT_PX

# Room for "% new" above the topmost number. [px]
TOP, BOTTOM = 30.0, 160.0
# Ours: where along the dashed line its name stands, as a share of it.
NAMED_AT = 0.62
EXCHANGE = "exchange"
ROUND = [(float(percent), str(percent)) for percent in (0, 25, 50, 75, 100)]


@dataclass(frozen=True)
class Renewed:
    """What the picture shows.

    Args:
        title: Of the picture.
        description: What it says, for those who do not see it.
        drawn: The shares after each change and through an exchange, over litres.
        wanted: Share that should be new, from 0 to 1.
        done: How many changes were done.
    """

    title: str
    description: str
    drawn: Picture
    wanted: float
    done: int = 1


def renewal_picture(view: Renewed, *, width: Width = 640) -> str:
    """Return share renewed against money, or against litres where no price is known, as one `svg` element.

    Args:
        view: What to show.
        width: 360 for a phone, 640 for a laptop; texts are drawn for that width. [px]

    Example:
        >>> from knowngood.engine.fluids.renewal import picture, unknown_share
        >>> drawn = picture(unknown_share(), per_round_l=4.0, rounds=3)
        >>> renewal_picture(Renewed("Gearbox", "40 % new.", drawn, 0.8), width=360)[:49]
        '<svg class="pic" viewBox="0 0 360 186" role="img"'
    """
    price = view.drawn.price_per_l
    end = _paid(view, view.drawn.line_l[-1:])[0]
    drawn = plot((0.0, end), (0.0, 100.0), width, top=TOP, bottom=BOTTOM)
    wanted = 100.0 * view.wanted
    return drawn.svg(
        view.title, view.description, drawn.strip(wanted, None), _doubt(view, drawn), _exchange(view, drawn),
        _changes(view, drawn), drawn.side([(wanted, f"{wanted:.0f}")], ROUND, "% new"),
        drawn.base("L" if price is None else "money"),
    )  # fmt: skip


def _paid(view: Renewed, litres: Sequence[float]) -> list[float]:
    """Litres, or what they cost where that is known."""
    each = 1.0 if view.drawn.price_per_l is None else view.drawn.price_per_l
    return [each * litre for litre in litres]


def _points(view: Renewed, litres: Sequence[float], shares: Sequence[float]) -> list[tuple[float, float]]:
    return [(along, 100.0 * share) for along, share in zip(_paid(view, litres), shares, strict=True)]


def _doubt(view: Renewed, drawn: Plot) -> str:
    """Within which the changes lie 8 times out of 10, and the line through them."""
    of = view.drawn
    low, high = _points(view, of.change_l, of.change_low), _points(view, of.change_l, of.change_high)
    return drawn.fan(low, high) + drawn.line(_points(view, of.change_l, of.change_share), "hump")


def _exchange(view: Renewed, drawn: Plot) -> str:
    """The continuous exchange, all mixed, with its name below it."""
    points = _points(view, view.drawn.line_l, view.drawn.mixed_share)
    along, share = points[round(NAMED_AT * (len(points) - 1))]
    x, y = drawn.along.x(along), drawn.y(share) + FONT_PX + 12.0
    name = f'<text class="no" text-anchor="middle" x="{short(x)}" y="{short(y)}">{EXCHANGE}</text>'
    return drawn.line(points, "est") + name


def _changes(view: Renewed, drawn: Plot) -> str:
    """A circle for each change; those that were done are filled."""
    points = _points(view, view.drawn.change_l, view.drawn.change_share)[1:]
    return "".join(
        drawn.dot(*one, "arrowhead" if number <= view.done else "raw") for number, one in enumerate(points, start=1)
    )
