"""Newton's law of heating fitted by least squares: one search in the rate, all else is linear and exact."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

# Ours: where the rate is looked for, in multiples of one over the span of the times; beyond them the curve is a
# straight line, or a step, as far as the points can tell.
LEAST, MOST, PLACES = 1e-3, 1e3, 241
GOLDEN = 0.5 * (math.sqrt(5.0) - 1.0)


@dataclass(frozen=True)
class Fit:
    """y = start + rise (1 - exp(-rate (x - origin))).

    Args:
        start: At the origin. [unit of y]
        rise: From there to the end. [unit of y]
        rate: One over the time constant. [1/unit of x]
        squares: Sum of the squared deviations. [unit of y, squared]
        origin: Where the curve starts. [unit of x]
    """

    start: float
    rise: float
    rate: float
    squares: float
    origin: float = 0.0

    @property
    def end(self) -> float:
        """Where the curve ends. [unit of y]"""
        return self.start + self.rise

    def reaches(self, y: float) -> float | None:
        """Return the x at which the curve is at y; None when it never is.

        Example:
            >>> round(Fit(20.0, 80.0, 1 / 600, 0.0).reaches(35.0), 2)
            124.58
        """
        share = (y - self.start) / self.rise if self.rise else math.inf
        return self.origin - math.log1p(-share) / self.rate if share < 1.0 else None


def fit(x: Sequence[float], y: Sequence[float], *, start: float | None = None) -> Fit:
    """Return the curve of least squares; no first guess is needed, so none can be a bad one.

    For a given rate the curve is linear in the rest, which then follows exactly; the rate alone is searched, first
    coarsely over six decades, then by golden section.

    Args:
        x: Of the points; not all alike. [any]
        y: Of the points. [any]
        start: Value at x = 0 when it is known; None fits it too, at the first point.

    Raises:
        ValueError: Fewer points than unknowns, or all at one x.

    Source:
        NIST_STRD, for certified values of this curve through 0.

    Example:
        >>> found = fit([0, 120, 240], [20.0, 34.50154, 46.37440])
        >>> round(found.end, 2), round(1 / found.rate, 1)
        (100.0, 600.0)
    """
    across, up = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    wanted = 2 if start is not None else 3
    span = float(np.ptp(across)) if across.size else 0.0
    if across.size < wanted or span <= 0.0:
        raise ValueError(f"{across.size} points at {span:g} apart; a curve needs {wanted}, at different times.")

    def at(log_rate: float) -> Fit:
        return _linear(across, up, math.exp(log_rate) / span, start)

    tried = np.linspace(math.log(LEAST), math.log(MOST), PLACES)
    best = int(np.argmin([at(one).squares for one in tried]))
    low, high = tried[max(best - 1, 0)], tried[min(best + 1, PLACES - 1)]
    while high - low > 1e-10:
        left, right = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
        if at(left).squares <= at(right).squares:
            high = right
        else:
            low = left
    return at(0.5 * (low + high))


def _linear(x: np.ndarray, y: np.ndarray, rate: float, start: float | None) -> Fit:
    origin = 0.0 if start is not None else float(np.min(x))
    shape = -np.expm1(-rate * (x - origin))
    if start is not None:
        rise = float(shape @ (y - start) / (shape @ shape))
        first = start
    else:
        away = shape - shape.mean()
        rise = float(away @ (y - y.mean()) / (away @ away))
        first = float(y.mean() - rise * shape.mean())
    off = y - first - rise * shape
    return Fit(first, rise, rate, float(off @ off), origin)
