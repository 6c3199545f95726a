"""The picture of a suspect: how likely it was before the tests (dashed) and is after them (filled), as SVG."""

from dataclasses import dataclass

from knowngood.engine.judgement import percent
from knowngood.report.pictures.hump import short
from knowngood.report.pictures.picture import Width, framed, plain
from knowngood.report.pictures.ruler import FONT_PX, Ruler, words_px

NAME_PX = 16.0
LINE_PX = 20.0
# A name gets this much room: beside the bar on a laptop, above it on a phone.
NAME_ROOM = {640: 250.0, 360: 288.0}
BAR_LEFT = {640: 262.0, 360: 2.0}
BAR_RIGHT = {640: 568.0, 360: 356.0}
BAR_PX, OUTLINE_PX = 14.0, 24.0
EDGE_PX, GAP_PX = 2.0, 6.0


@dataclass(frozen=True)
class Suspicion:
    """One suspect, as the picture shows it.

    Args:
        name: As the person calls it.
        before: Chance before the tests, from 0 to 1.
        after: Chance after them; None when nothing was found yet.
    """

    name: str
    before: float
    after: float | None = None

    @property
    def now(self) -> float:
        """How likely it is by all that is known."""
        return self.before if self.after is None else self.after


def suspect_picture(view: Suspicion, *, width: Width = 640) -> str:
    """Return a suspect's name, bar and percent as one `svg` element.

    Args:
        view: What to show.
        width: 360 for a phone, 640 for a laptop; texts are drawn for that width. [px]

    Example:
        >>> suspect_picture(Suspicion("Relay", 0.2, 0.5), width=360)[:48]
        '<svg class="pic" viewBox="0 0 360 54" role="img"'
    """
    lines = _lines(view.name, NAME_ROOM[width])
    tall = LINE_PX * len(lines)
    beside = width == 640
    top = EDGE_PX + (max(0.0, 0.5 * (tall - OUTLINE_PX)) if beside else tall + GAP_PX)
    height = EDGE_PX + max(top + OUTLINE_PX, tall)
    middle = top + 0.5 * OUTLINE_PX
    first, share = (middle - 0.5 * tall, middle - 0.5 * LINE_PX) if beside else (0.0, 0.0)
    rows = [_text("who", 2.0, first + LINE_PX * at + NAME_PX, words) for at, words in enumerate(lines)]
    rows.append(_text("share", width - 4.0, share + NAME_PX, _brief(percent(view.now)), end=True))
    return framed(width, height, said(view), "", _bar(view, width, top), *rows)


def said(view: Suspicion) -> str:
    """Return what the picture shows, for those who do not see it.

    Example:
        >>> said(Suspicion("Relay", 0.2, 0.5))
        'Relay: 50 % after the tests, 20 % before.'
    """
    if view.after is None:
        return f"{view.name}: {percent(view.before)}, nothing tested yet."
    return f"{view.name}: {percent(view.after)} after the tests, {percent(view.before)} before."


def _brief(words: str) -> str:
    """A percent in the little room beside a bar."""
    return words.replace("less than", "<").replace("more than", ">")


def _bar(view: Suspicion, width: Width, top: float) -> str:
    """Filled is what is known now, dashed what it was before; the line underneath is the whole 100 %."""
    ruler = Ruler(0.0, 1.0, BAR_LEFT[width], BAR_RIGHT[width])
    left, foot = short(ruler.left), short(top + OUTLINE_PX)
    inset = short(top + 0.5 * (OUTLINE_PX - BAR_PX))
    filled = "" if view.after is None else (
        f'<path class="post" d="M{left} {inset}H{short(ruler.x(view.after))}v{short(BAR_PX)}H{left}z"/>'
    )  # fmt: skip
    dashed = f'<path class="before" d="M{left} {foot}V{short(top)}H{short(ruler.x(view.before))}V{foot}"/>'
    return f'{filled}{dashed}<path class="base" d="M{left} {foot}H{short(ruler.right)}"/>'


def _text(kind: str, x: float, y: float, words: str, *, end: bool = False) -> str:
    anchor = ' text-anchor="end"' if end else ""
    return f'<text class="{kind}"{anchor} x="{short(x)}" y="{short(y)}">{plain(words)}</text>'


def _lines(name: str, room: float) -> list[str]:
    """A name in as many lines as it needs; a word that is too long for a line stands alone in it."""
    lines: list[str] = []
    for word in name.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and words_px(longer) * NAME_PX / FONT_PX <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines
