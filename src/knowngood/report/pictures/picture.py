"""The picture of a judgement: a band and a hump on a ruler, as SVG.

The strip is what is allowed, its limits written on top. The hump is what is known; the part of it outside the strip is
hatched. A dashed line stands at the best value. A hollow triangle stands at the reading as it was, with an arrow to
where it went when it was corrected. Colours come from a style sheet, by class; nothing in a picture is styled inline.
"""

import zlib
from dataclasses import dataclass
from html import escape
from itertools import pairwise
from typing import Literal

import numpy as np

from knowngood import units
from knowngood.report.pictures.hump import Hump, curve, short
from knowngood.report.pictures.ruler import FONT_PX, Ruler, stretch, ticks, words_px

Width = Literal[360, 640]
MARGIN, TOP, BASE, NUMBERS, BOTTOM = 18.0, 19.0, 92.0, 111.0, 117.0
LIMITS_Y = 13.0
PEAK = 60.0
ROW = 19.0
# Ours: a hump narrower than this has no inside to fill or hatch, and is drawn as a line.
THINNEST_PX = 0.6
# Ours: less of the hump's height than this beyond a limit cannot be seen.
VISIBLE_PX = 0.8


@dataclass(frozen=True)
class Picture:
    """What a picture shows, all numbers in the unit that is printed.

    Args:
        value: Best value, corrected.
        standard_uncertainty: Of the value; 0 draws a line.
        title: What was read; for those who cannot see the picture as well.
        description: What the picture says, in a sentence.
        lower: Lowest allowed; None when the band is open below.
        upper: Highest allowed; None when the band is open above.
        degrees_of_freedom: From 1 to infinity.
        quantiles: 199 values at 0.5 % to 99.5 %, when the hump is not near normal.
        raw: The reading as it was; None when nothing was corrected.
        unit: Written at the end of the ruler.
        decimals: Places of the raw reading.
    """

    value: float
    standard_uncertainty: float
    title: str
    description: str
    lower: float | None = None
    upper: float | None = None
    degrees_of_freedom: float = float("inf")
    quantiles: tuple[float, ...] | None = None
    raw: float | None = None
    unit: str = ""
    decimals: int = 1


@dataclass(frozen=True)
class Box:
    """The room that a text or a mark takes. [px]"""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: "Box") -> bool:
        """Whether two boxes share room."""
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )


def band_and_hump(view: Picture, *, width: Width = 640, key: str = "") -> str:
    """Return the picture as one `svg` element.

    Args:
        view: What to show.
        width: 360 for a phone, 640 for a laptop; texts are drawn for that width. [px]
        key: Anything that tells this picture from an equal one on the same page.

    Example:
        >>> coil = Picture(90.7, 0.89, "Coil", "Within limits.", lower=80.0, upper=95.0, raw=101.1, unit="ohm")
        >>> band_and_hump(coil, width=360)[:49]
        '<svg class="pic" viewBox="0 0 360 117" role="img"'
    """
    hump = _hump(view)
    ruler = _ruler(view, hump, width)
    drawn = _drawn(view, hump, ruler)
    raw, height = _raw(view, ruler, drawn)
    name = f"h{zlib.crc32(f'{view}{width}{key}'.encode()):x}"
    hatched = _hatched(view, ruler, drawn, name)
    return framed(
        width, height, view.title, view.description, _pattern(name) if hatched else "", '<g text-anchor="middle">',
        _band(view, ruler), _limits(view, ruler), drawn.svg(), hatched, _estimate(view, ruler), _scale(view, ruler),
        raw, "</g>",
    )  # fmt: skip


def framed(width: float, height: float, title: str, description: str, *parts: str) -> str:
    """Return a picture around its parts: how large it is drawn, and what it says to those who do not see it."""
    says = f"<desc>{plain(description)}</desc>" if description else ""
    return (
        f'<svg class="pic" viewBox="0 0 {width:.0f} {height:.0f}" role="img" font-size="{FONT_PX}">'
        f"<title>{plain(title)}</title>{says}{''.join(parts)}</svg>"
    )


def standalone(svg: str) -> str:
    """Return a picture that carries its own colours, for paper; black and white keep it legible.

    Example:
        >>> standalone('<svg class="pic"><title>a</title></svg>')[:56]
        '<svg xmlns="http://www.w3.org/2000/svg" class="pic"><sty'
    """
    head, rest = svg.split(">", 1)
    return f"{head.replace('<svg', _NAMESPACE, 1)}><style>{_PAPER}</style>{rest}"


_NAMESPACE = '<svg xmlns="http://www.w3.org/2000/svg"'
_PAPER = (
    "text{font-family:'Atkinson Hyperlegible Next','DejaVu Sans Mono';fill:#171a1c}"
    ".band{fill:#d6e9e1}.limit{stroke:#0b5d4c;stroke-width:2}.limitno{font-weight:700}"
    ".hump{fill:none;stroke:#1d4a8c;stroke-width:2.2}.humpfill{fill:#1d4a8c;fill-opacity:.22}"
    ".hatch{stroke:#b5420f;stroke-width:2.2}.est{stroke:#1d4a8c;stroke-width:1.4;stroke-dasharray:3 3}"
    ".base,.tick{stroke:#171a1c;stroke-width:1.2}.no{fill:#474c4f}.raw{fill:#fff;stroke:#171a1c;stroke-width:1.6}"
    ".arrow{fill:none;stroke:#171a1c;stroke-width:1.4}.arrowhead{fill:#171a1c}"
    ".way{fill:none;stroke:#171a1c;stroke-width:2.2}.watch{stroke:#b5420f;stroke-dasharray:7 4}"
    ".test{stroke:#1d4a8c;stroke-dasharray:2.5 3}.hand{stroke:#474c4f;stroke-dasharray:11 4 2.5 4}"
)


def plain(text: str) -> str:
    """Text that XML can hold: control characters are left out, marks are escaped."""
    return escape("".join(one for one in text if one.isprintable() or one == "\n"), quote=False)


# --- what the ruler shows ---------------------------------------------------------------------------------------------


def _hump(view: Picture) -> Hump | None:
    """The hump, or None for a value that is known exactly."""
    kept = view.quantiles
    if kept is not None and not kept[-1] > kept[0]:
        kept = None
    if not view.standard_uncertainty > 0.0:
        return None
    return Hump(view.value, view.standard_uncertainty, view.degrees_of_freedom, kept)


def _ruler(view: Picture, hump: Hump | None, width: float) -> Ruler:
    limits = [end for end in (view.lower, view.upper) if end is not None]
    known = [view.value, *(hump.ends() if hump else ())]
    low, high = stretch([*limits, *known], wanted=view.raw)
    # An open band is seen to go on beyond all that is known.
    if view.lower is None and view.upper is not None:
        low -= 0.15 * (high - low)
    if view.upper is None and view.lower is not None:
        high += 0.15 * (high - low)
    return Ruler(low, high, MARGIN, width - MARGIN)


# --- the hump ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Drawn:
    """A hump in pixels: what stands where, and what it looks like."""

    hump: Hump | None
    ruler: Ruler
    low_px: float
    high_px: float
    scale: float

    @property
    def thin(self) -> bool:
        """Too narrow to have an inside."""
        return self.hump is None or (self.high_px - self.low_px) / 6.0 < THINNEST_PX

    def points(self, low_px: float, high_px: float, pieces: int) -> tuple[list[float], list[float]]:
        """Evenly spaced points of the outline between two places."""
        assert self.hump is not None  # a thin one is drawn as a line
        xs = np.linspace(low_px, high_px, pieces + 1)
        at = self.ruler.low + (xs - self.ruler.left) / self.ruler.px_per_unit
        return xs.tolist(), (BASE - self.scale * self.hump.heights(at)).tolist()

    def line(self, low_px: float, high_px: float, *, pieces: int) -> str:
        """The outline between two places, as path data."""
        return curve(*self.points(low_px, high_px, pieces))

    def reach(self, above_px: float) -> tuple[float, float]:
        """The two ends of the part that is higher than this. [px]"""
        if self.thin:
            return self.low_px - 2.0, self.high_px + 2.0
        xs, ys = self.points(self.low_px, self.high_px, 40)
        tall = [x for x, y in zip(xs, ys, strict=True) if BASE - y > above_px]
        grown = (self.high_px - self.low_px) / 40.0
        return (min(tall) - grown, max(tall) + grown) if tall else (self.low_px, self.low_px)

    def svg(self) -> str:
        """The filled hump and its outline, in one: the path is open, so its foot has no line."""
        if self.thin:
            x = 0.5 * (self.low_px + self.high_px)
            return f'<path class="hump" d="M{short(x)} {short(BASE)}V{short(BASE - PEAK)}"/>'
        pieces = 16 if self.hump is not None and self.hump.quantiles is None else 20
        return f'<path class="hump humpfill" d="{self.line(self.low_px, self.high_px, pieces=pieces)}"/>'


def _drawn(view: Picture, hump: Hump | None, ruler: Ruler) -> _Drawn:
    if hump is None:
        x = ruler.x(view.value)
        return _Drawn(None, ruler, x, x, 1.0)
    low, high = hump.ends()
    top = float(np.max(hump.heights(np.linspace(low, high, 49))))
    return _Drawn(hump, ruler, ruler.x(low), ruler.x(high), PEAK / top)


def _hatched(view: Picture, ruler: Ruler, drawn: _Drawn, name: str) -> str:
    """The parts of the hump outside the band."""
    if drawn.thin:
        return ""
    parts = []
    if view.lower is not None and ruler.x(view.lower) > drawn.low_px:
        parts.append((drawn.low_px, min(ruler.x(view.lower), drawn.high_px)))
    if view.upper is not None and ruler.x(view.upper) < drawn.high_px:
        parts.append((max(ruler.x(view.upper), drawn.low_px), drawn.high_px))
    paths = [_closed(drawn, *part) for part in parts if _visible(drawn, *part)]
    return f'<path class="humpout" fill="url(#{name})" d="{"".join(paths)}"/>' if paths else ""


def _visible(drawn: _Drawn, low_px: float, high_px: float) -> bool:
    if high_px - low_px < VISIBLE_PX:
        return False
    return BASE - min(drawn.points(low_px, high_px, 8)[1]) > VISIBLE_PX


def _closed(drawn: _Drawn, low_px: float, high_px: float) -> str:
    share = (high_px - low_px) / (drawn.high_px - drawn.low_px)
    line = drawn.line(low_px, high_px, pieces=max(4, round(16 * share)))
    return f"{line}V{short(BASE)}H{short(low_px)}z"


def _pattern(name: str) -> str:
    return (
        f'<pattern id="{name}" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        '<path class="hatch" d="M1 0v6"/></pattern>'
    )


# --- the strip, the ruler, the dashed line ----------------------------------------------------------------------------


def _band(view: Picture, ruler: Ruler) -> str:
    """The strip; an open end runs to the edge of the picture and ends in a point."""
    if view.lower is None and view.upper is None:
        return ""
    middle = 0.5 * (TOP + BASE)
    left = (
        f"M{short(ruler.x(view.lower))} {short(BASE)}V{short(TOP)}"
        if view.lower is not None
        else (f"M12 {short(BASE)}L2 {short(middle)}L12 {short(TOP)}")
    )
    end = ruler.right + MARGIN
    right = (
        f"H{short(ruler.x(view.upper))}V{short(BASE)}z"
        if view.upper is not None
        else (f"H{short(end - 12)}L{short(end - 2)} {short(middle)}L{short(end - 12)} {short(BASE)}z")
    )
    return f'<path class="band" d="{left}{right}"/>'


def _limits(view: Picture, ruler: Ruler) -> str:
    """The limits' lines, and their numbers on top; two that would touch are written as one range."""
    ends = [end for end in (view.lower, view.upper) if end is not None]
    lines = "".join(f"M{short(ruler.x(end))} {short(TOP - 2)}V{short(BASE)}" for end in ends)
    if not ends:
        return ""
    texts = [(_centred(ruler.x(end), text := units.signed(f"{end:.6g}"), ruler), text) for end in ends]
    if any(a + 0.5 * words_px(s) + 6.0 > b - 0.5 * words_px(t) for (a, s), (b, t) in pairwise(texts)):
        both = units.between(texts[0][1], texts[-1][1])
        texts = [(_centred(0.5 * (ruler.x(ends[0]) + ruler.x(ends[-1])), both, ruler), both)]
    numbers = "".join(f'<text class="limitno" x="{short(x)}" y="{LIMITS_Y:.0f}">{text}</text>' for x, text in texts)
    return f'<path class="limit" d="{lines}"/>{numbers}'


def _centred(x: float, text: str, ruler: Ruler) -> float:
    """The middle of a text that stays in the picture, as near to x as that allows."""
    half = 0.5 * words_px(text) + 2.0
    return min(max(x, half), ruler.right + MARGIN - half)


def _estimate(view: Picture, ruler: Ruler) -> str:
    return f'<path class="est" d="M{short(ruler.x(view.value))} {short(BASE)}V{short(BASE - PEAK)}"/>'


def _scale(view: Picture, ruler: Ruler) -> str:
    """The base line, its ticks, their numbers, and the unit at the end."""
    marks = ticks(ruler)
    lines = "".join(f"M{short(tick.x)} {BASE:.0f}v{7 if tick.number else 4}" for tick in marks)
    edge = ruler.right + MARGIN - 2.0
    free = edge - words_px(view.unit) - 8.0 if view.unit else edge
    numbers = "".join(
        f'<text class="no" x="{short(tick.x)}" y="{NUMBERS:.0f}">{tick.number}</text>'
        for tick in marks
        if tick.number and tick.x - 0.5 * words_px(tick.number) >= 2.0 and tick.x + 0.5 * words_px(tick.number) <= free
    )
    unit = f'<text class="no" x="{short(edge)}" y="{NUMBERS:.0f}" text-anchor="end">{plain(view.unit)}</text>'
    return (
        f'<path class="base" d="M{short(ruler.left)} {BASE:.0f}H{short(ruler.right)}"/><path class="tick" d="{lines}"/>'
        f"{numbers}{unit if view.unit else ''}"
    )


# --- the reading as it was --------------------------------------------------------------------------------------------


def _raw(view: Picture, ruler: Ruler, drawn: _Drawn) -> tuple[str, float]:
    """The triangle, the arrow and the words, and how high the picture is with them."""
    if view.raw is None:
        return "", BOTTOM
    x, value_x = ruler.x(view.raw), ruler.x(view.value)
    beyond = not ruler.low <= view.raw <= ruler.high
    text = units.signed(f"as read {view.raw:.{view.decimals}f}") + (", off the ruler" if beyond else "")
    marks = _triangle(x, view.raw, ruler) + _arrow(x, value_x)
    place = _free_place(x, text, _taken(view, ruler, drawn), ruler)
    if place is not None:
        return f'{marks}<text class="rawno" x="{short(place)}" y="{BASE - 17:.0f}">{text}</text>', BOTTOM
    place = _centred(x, text + "mm", ruler)
    left = short(place - 0.5 * words_px(text) - 6.0)
    again = f'<path class="raw" d="M{left} {NUMBERS + ROW - 10:.0f}h10l-5 9z"/>'
    return (
        f'{marks}{again}<text class="rawno" x="{short(place + 6)}" y="{NUMBERS + ROW:.0f}">{text}</text>',
        BOTTOM + ROW,
    )


def _triangle(x: float, raw: float, ruler: Ruler) -> str:
    """It stands on the ruler; off the ruler it lies at the end and points that way."""
    if raw > ruler.high:
        return f'<path class="raw" d="M{short(x)} {BASE - 13:.0f}v12l11 -6z"/>'
    if raw < ruler.low:
        return f'<path class="raw" d="M{short(x)} {BASE - 13:.0f}v12l-11 -6z"/>'
    return f'<path class="raw" d="M{short(x - 6)} {BASE - 11:.0f}h12l-6 11z"/>'


def _arrow(x: float, value_x: float) -> str:
    """From the triangle to the best value, when there is room between them."""
    way = 1.0 if value_x > x else -1.0
    if abs(value_x - x) < 18.0:
        return ""
    y, head = BASE - 7.0, value_x - 7.0 * way
    return (
        f'<path class="arrow" d="M{short(x + 7 * way)} {y:.0f}H{short(head)}"/>'
        f'<path class="arrowhead" d="M{short(value_x - way)} {y:.0f}L{short(head - way)} {y - 4:.0f}v8z"/>'
    )


def _taken(view: Picture, ruler: Ruler, drawn: _Drawn) -> list[Box]:
    """Where no words may go: the limits' lines, and the hump as high as the words stand."""
    lines = [ruler.x(end) for end in (view.lower, view.upper) if end is not None]
    left, right = drawn.reach(10.0)
    return [Box(left - 3.0, BASE - PEAK, right + 3.0, BASE), *(Box(x - 3.0, TOP - 2.0, x + 3.0, BASE) for x in lines)]


def _free_place(x: float, text: str, taken: list[Box], ruler: Ruler) -> float | None:
    """The middle of the words above the triangle, beside it if need be; None when there is no room."""
    half = 0.5 * words_px(text)
    for place in (_centred(x, text, ruler), x - 7.0 + half, x + 7.0 - half):
        box = Box(place - half, BASE - 29.0, place + half, BASE - 14.0)
        inside = box.left >= 2.0 and box.right <= ruler.right + MARGIN - 2.0
        if inside and not any(box.meets(other) for other in taken):
            return place
    return None
