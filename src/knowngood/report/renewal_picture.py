"""The picture of a renewal: the share that is new after each change against money or litres, as SVG.

The strip is the wanted share and all above it. Circles are changes, filled for those that were done; about them stands
what is known of them. The dashed line is a continuous exchange in which all mixes.
"""

from dataclasses import dataclass

from knowngood.engine.fluids.renewal import Picture
from knowngood.report.hump import short
from knowngood.report.picture import Width, plain
from knowngood.report.ruler import FONT_PX, Ruler, ticks, words_px

LEFT, RIGHT, TOP, BOTTOM, HEIGHT = 44.0, 14.0, 30.0, 160.0, 186.0
# Ours: numbers nearer than this to the wanted share's own are left out.
APART_PX = FONT_PX + 2.0
# Ours: where along the dashed line its name stands, as a share of it.
NAMED_AT = 0.62
EXCHANGE = "exchange"


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


@dataclass(frozen=True)
class _Plot:
    """Money or litres along, percent up."""

    along: Ruler
    percents: Ruler
    per_litre: float

    def x(self, litre: float) -> float:
        return self.along.x(litre * self.per_litre)

    def y(self, share: float) -> float:
        return BOTTOM + TOP - self.percents.x(100.0 * share)

    def at(self, litre: float, share: float) -> str:
        """A place, as path data."""
        return f"{short(self.x(litre))} {short(self.y(share))}"


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
    per_litre = 1.0 if price is None else price
    end = view.drawn.line_l[-1] * per_litre
    plot = _Plot(Ruler(0.0, end or 1.0, LEFT + 4.0, width - RIGHT - 6.0), Ruler(0.0, 100.0, TOP, BOTTOM), per_litre)
    return (
        f'<svg class="pic" viewBox="0 0 {width} {HEIGHT:.0f}" role="img" font-size="{FONT_PX}">'
        f"<title>{plain(view.title)}</title><desc>{plain(view.description)}</desc>"
        f"{_band(view, plot)}{_doubt(view, plot)}{_exchange(view, plot)}{_changes(view, plot)}"
        f"{_percents(view, plot)}{_along(plot, 'L' if price is None else 'money')}</svg>"
    )


def _band(view: Renewed, plot: _Plot) -> str:
    left, right, y = short(LEFT), short(plot.along.right + 6.0), short(plot.y(view.wanted))
    return (
        f'<path class="band" d="M{left} {y}V{short(TOP)}H{right}V{y}z"/><path class="limit" d="M{left} {y}H{right}"/>'
    )


def _doubt(view: Renewed, plot: _Plot) -> str:
    """Within which the changes lie 8 times out of 10, and the line through them."""
    drawn = view.drawn
    low = [plot.at(*one) for one in zip(drawn.change_l, drawn.change_low, strict=True)]
    high = [plot.at(*one) for one in zip(drawn.change_l, drawn.change_high, strict=True)]
    line = [plot.at(*one) for one in zip(drawn.change_l, drawn.change_share, strict=True)]
    fan = f'<path class="humpfill" d="M{"L".join([*low, *reversed(high)])}z"/>'
    return f'{fan}<path class="hump" d="M{"L".join(line)}"/>'


def _exchange(view: Renewed, plot: _Plot) -> str:
    """The continuous exchange, all mixed, with its name beside it where there is room."""
    drawn = view.drawn
    points = list(zip(drawn.line_l, drawn.mixed_share, strict=True))
    line = "L".join(plot.at(*one) for one in points)
    litre, share = points[round(NAMED_AT * (len(points) - 1))]
    x, y = plot.x(litre), plot.y(share) + FONT_PX + 12.0
    name = f'<text class="no" text-anchor="middle" x="{short(x)}" y="{short(y)}">{EXCHANGE}</text>'
    return f'<path class="est" fill="none" d="M{line}"/>{name}'


def _changes(view: Renewed, plot: _Plot) -> str:
    """A circle for each change, with its number; those that were done are filled."""
    drawn = view.drawn
    rows = list(enumerate(zip(drawn.change_l, drawn.change_share, strict=True)))[1:]
    return "".join(
        f'<circle class="{"arrowhead" if at <= view.done else "raw"}" cx="{short(plot.x(litre))}" '
        f'cy="{short(plot.y(share))}" r="4.5"/>'
        for at, (litre, share) in rows
    )


def _percents(view: Renewed, plot: _Plot) -> str:
    """The wanted share in bold, and round ones where they have room."""
    kept = plot.y(view.wanted)
    texts = [_side("limitno", kept, f"{100.0 * view.wanted:.0f}")]
    rows = [(plot.y(percent / 100.0), str(percent)) for percent in (0, 25, 50, 75, 100)]
    texts += [_side("no", y, words) for y, words in rows if abs(y - kept) > APART_PX]
    return f'{"".join(texts)}<text class="no" x="2" y="{short(TOP - 14)}">% new</text>'


def _side(kind: str, y: float, words: str) -> str:
    return f'<text class="{kind}" text-anchor="end" x="{short(LEFT - 5)}" y="{short(y + 5)}">{words}</text>'


def _along(plot: _Plot, unit: str) -> str:
    """The ruler of money or litres; its unit stands behind the last number that has room for it."""
    marks = ticks(plot.along)
    lines = "".join(f"M{short(one.x)} {short(BOTTOM)}v{7 if one.number else 4}" for one in marks)
    edge = plot.along.right + RIGHT + 4.0
    free = edge - words_px(unit) - 6.0
    numbers = "".join(
        f'<text class="no" text-anchor="middle" x="{short(one.x)}" y="{short(BOTTOM + 20)}">{one.number}</text>'
        for one in marks
        if one.number and one.x + 0.5 * words_px(one.number) <= free
    )
    base = f'<path class="base" d="M{short(LEFT)} {short(BOTTOM)}H{short(plot.along.right + 6.0)}"/>'
    end = f'<text class="no" text-anchor="end" x="{short(edge)}" y="{short(BOTTOM + 20)}">{unit}</text>'
    return f'{base}<path class="tick" d="{lines}"/>{numbers}{end}'
