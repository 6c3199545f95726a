"""The hump of a picture: how likely each value is, as a smooth line."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

Array = np.ndarray[Any, np.dtype[np.float64]]
# Ours: where less than this part of the top is left, a picture shows nothing any more.
FOOT = 0.004
# Ours: a Student hump with few degrees of freedom is cut here, else its feet would fill the picture.
FARTHEST = 6.0
# Ours: kept quantiles are smoothed over this part of their spread, and over no less than their own distance.
SMOOTHING = 0.22
# Distance of the quartiles of a normal distribution, in standard deviations.
QUARTILES = 1.349


@dataclass(frozen=True)
class Hump:
    """What is known of a value.

    Args:
        value: Best value.
        standard_uncertainty: Above 0.
        degrees_of_freedom: From 1 to infinity.
        quantiles: 199 values at 0.5 % to 99.5 %; then they alone make the shape.
    """

    value: float
    standard_uncertainty: float
    degrees_of_freedom: float
    quantiles: tuple[float, ...] | None = None

    def ends(self) -> tuple[float, float]:
        """Return the two ends of what can be seen.

        Example:
            >>> low, high = Hump(10.0, 1.0, float("inf")).ends()
            >>> round(low, 2), round(high, 2)
            (6.68, 13.32)
        """
        if self.quantiles is not None:
            kept, spread = self.quantiles, self._spread(self.quantiles)
            middle, reach = kept[len(kept) // 2], 2.5 * SMOOTHING * spread
            return (
                max(kept[0] - reach, middle - FARTHEST * spread),
                min(kept[-1] + reach, middle + FARTHEST * spread),
            )
        reach = self.standard_uncertainty * _reach(self.degrees_of_freedom)
        return self.value - reach, self.value + reach

    def heights(self, at: Array) -> Array:
        """Return how high the hump is at each place, up to an unknown common factor.

        Example:
            >>> tall = Hump(0.0, 1.0, float("inf")).heights(np.array([0.0, 1.0]))
            >>> round(float(tall[1] / tall[0]), 4)
            0.6065
        """
        if self.quantiles is not None:
            kept = np.asarray(self.quantiles)
            widths = np.maximum(SMOOTHING * self._spread(self.quantiles), 1.2 * np.gradient(kept))
            apart = (at[:, None] - kept[None, :]) / widths
            return np.asarray((np.exp(-0.5 * np.minimum(apart * apart, 80.0)) / widths).sum(axis=1))
        squared = ((at - self.value) / self.standard_uncertainty) ** 2
        dof = self.degrees_of_freedom
        if math.isinf(dof):
            return np.asarray(np.exp(-0.5 * np.minimum(squared, 80.0)))
        return np.asarray((1.0 + squared / dof) ** (-0.5 * (dof + 1.0)))

    def _spread(self, kept: tuple[float, ...]) -> float:
        """A standard deviation that long feet do not stretch; never nothing."""
        quartiles = kept[(3 * len(kept)) // 4] - kept[len(kept) // 4]
        return max(min(self.standard_uncertainty, quartiles / QUARTILES), 0.01 * (kept[-1] - kept[0]))


def _reach(dof: float) -> float:
    """How many standard uncertainties from the middle the foot is."""
    normal = math.sqrt(-2.0 * math.log(FOOT))
    if dof > 1e6:
        return normal
    return min(FARTHEST, math.sqrt(dof * math.expm1(-2.0 * math.log(FOOT) / (dof + 1.0))))


def curve(xs: Sequence[float], ys: Sequence[float]) -> str:
    """Return a smooth path through evenly spaced points, as the data of an SVG path that begins at the first of them.

    Each piece is a cubic whose slope at a point is that of its neighbours' chord; because the points are evenly spaced,
    the first control point of a piece mirrors the second of the piece before, which `s` leaves out.

    Example:
        >>> curve([0.0, 3.0, 6.0], [9.0, 0.0, 9.0])
        'M0 9s2 -9 3 -9s2 9 3 9'
    """
    spread = (xs[1] - xs[0]) / 3.0
    slopes = [0.0, *((b - a) / 6.0 for a, b in zip(ys, ys[2:], strict=False)), 0.0]
    parts = [f"M{short(xs[0])} {short(ys[0])}"]
    x, y = round(xs[0], 1), round(ys[0], 1)
    for k in range(1, len(xs)):
        control = (xs[k] - spread - x, ys[k] - slopes[k] - y)
        end = (round(xs[k], 1) - x, round(ys[k], 1) - y)
        parts.append("s" + " ".join(short(one) for one in (*control, *end)))
        x, y = round(xs[k], 1), round(ys[k], 1)
    return "".join(parts)


def short(number: float) -> str:
    """Return a length in tenths of a pixel, as short as it can be written.

    Example:
        >>> short(12.04), short(-0.04), short(0.25)
        ('12', '0', '.2')
    """
    text = f"{number:.1f}".removesuffix(".0")
    if text == "-0":
        return "0"
    return text.replace("0.", ".", 1) if text.startswith(("0.", "-0.")) else text
