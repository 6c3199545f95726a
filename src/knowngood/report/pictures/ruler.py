"""The ruler under a picture: which stretch it shows, where its ticks stand, how wide words are."""

import math
from dataclasses import dataclass

from knowngood import units

FONT_PX = 13.2
# Advances measured in Atkinson Hyperlegible Next 600, rounded up: another typeface may stand in.
DIGIT_EM, SMALL_EM, OTHER_EM = 0.66, 0.6, 0.95
NARROW = dict.fromkeys(".,:;'|! il", 0.33) | dict.fromkeys("rtfj-–()", 0.52)
STEPS = (1.0, 2.0, 5.0)
# Ours: no quantity of a vehicle is written in steps this small.
NOTHING = 1e-100
MINOR = {1.0: 5, 2.0: 4, 5.0: 5}


def words_px(text: str) -> float:
    """Return how wide a text is at most, drawn in our size. [px]

    Example:
        >>> words_px("80") < words_px("180")
        True
    """
    return FONT_PX * sum(_em(one) for one in text)


def _em(one: str) -> float:
    if one.isdigit():
        return DIGIT_EM
    return NARROW.get(one, SMALL_EM if one in "abcdeghknopqsuvxyz" else OTHER_EM)


@dataclass(frozen=True)
class Ruler:
    """A stretch of numbers laid along a stretch of picture.

    Args:
        low: Number at the left end.
        high: Number at the right end; above low.
        left: Left end. [px]
        right: Right end. [px]
    """

    low: float
    high: float
    left: float
    right: float

    @property
    def px_per_unit(self) -> float:
        """How many pixels one unit takes."""
        return (self.right - self.left) / (self.high - self.low)

    def x(self, number: float) -> float:
        """Return where a number stands; beyond the ends it stands at the end. [px]

        Example:
            >>> Ruler(0.0, 10.0, 20.0, 220.0).x(5.0)
            120.0
        """
        inside = min(max(number, self.low), self.high)
        return self.left + (inside - self.low) * self.px_per_unit


@dataclass(frozen=True)
class Tick:
    """One mark of the ruler; only a long one has a number."""

    x: float
    number: str | None


def ticks(ruler: Ruler) -> list[Tick]:
    """Return the marks of a ruler at round numbers, far enough apart for their numbers to be read.

    Example:
        >>> [tick.number for tick in ticks(Ruler(76.0, 106.0, 16.0, 344.0)) if tick.number]
        ['80', '85', '90', '95', '100', '105']
    """
    step, minor = _step(ruler)
    first = math.ceil(ruler.low / step * minor - 1e-6)
    last = math.floor(ruler.high / step * minor + 1e-6)
    return [
        Tick(ruler.x(k * step / minor), None if k % minor else number_words(k // minor * step, step))
        for k in range(first, last + 1)
    ]


def _step(ruler: Ruler) -> tuple[float, int]:
    """The smallest round step whose numbers do not touch, and into how many parts it is cut."""
    power = math.floor(math.log10((ruler.high - ruler.low) / 20.0))
    while True:
        for digit in STEPS:
            step = digit * 10.0**power
            widest = max(words_px(number_words(end, step)) for end in (ruler.low, ruler.high))
            if step * ruler.px_per_unit >= widest + 18.0:
                return step, MINOR[digit]
        power += 1


def number_words(number: float, step: float) -> str:
    """Return a number with as many places as its step needs.

    Example:
        >>> number_words(13.0, 0.5), number_words(-2.0, 1.0), number_words(3e12, 1e12)
        ('13.0', '−2', '3e+12')
    """
    places = max(0, -math.floor(math.log10(step) + 1e-9))
    biggest = max(abs(number), step)
    if biggest >= 1e7 or places > 6:
        figures = max(1, math.ceil(math.log10(biggest / step) + 1.0))
        return units.signed(f"{number:.{min(figures, 17)}g}")
    return units.signed(f"{round(number, places) + 0.0:.{places}f}")


def stretch(required: list[float], *, wanted: float | None) -> tuple[float, float]:
    """Return the ends of a ruler that shows all that is required, and what else is wanted when it is not far off.

    Args:
        required: Numbers that must be on the ruler, at least one.
        wanted: A number that may stay off the ruler when showing it would make all else small.

    Example:
        >>> stretch([80.0, 95.0], wanted=101.0)
        (77.48, 103.52)
    """
    low, high = min(required), max(required)
    biggest = max(abs(low), abs(high))
    if high - low <= max(1e-9 * biggest, NOTHING):
        grown = 0.05 * biggest if biggest > NOTHING else 1.0
        low, high = low - grown, high + grown
    span = high - low
    if wanted is not None and low - 2.0 * span <= wanted <= high + 2.0 * span:
        low, high = min(low, wanted), max(high, wanted)
    grown = 0.12 * (high - low)
    return low - grown, high + grown
