"""Which of several straight lines is lowest where: exact, so that no narrow stretch is missed by a grid."""

import math
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Line:
    """What something costs against a probability, a rate or a price.

    Args:
        at_zero: Cost where that is 0.
        slope: How fast the cost grows with it.
    """

    at_zero: float
    slope: float

    def at(self, x: float) -> float:
        """The cost at one place."""
        return self.at_zero + self.slope * x if self.slope else self.at_zero


@dataclass(frozen=True)
class Piece:
    """A stretch over which one line is lowest.

    Args:
        index: Which line.
        low: Where the stretch begins.
        high: Where it ends; infinite when it has no end.
    """

    index: int
    low: float
    high: float


def lower_envelope(lines: Sequence[Line], low: float, high: float) -> tuple[Piece, ...]:
    """Return which line is lowest from `low` to `high`, stretch by stretch.

    The lowest of straight lines bends one way only: walking to the right, the next line to take over is a flatter one,
    the one that crosses soonest. Of lines that lie on each other the first counts.

    Args:
        lines: At least one.
        low: Where to begin; finite.
        high: Where to end; may be infinite.

    Raises:
        ValueError: No lines, or the ends the wrong way round.

    Example:
        >>> lower_envelope([Line(0.0, 300.0), Line(30.0, 0.0)], 0.0, 1.0)
        (Piece(index=0, low=0.0, high=0.1), Piece(index=1, low=0.1, high=1.0))
    """
    if not lines:
        raise ValueError("nothing to choose from; give at least one thing that could be done.")
    if not (math.isfinite(low) and low < high):
        raise ValueError(f"from {low:g} to {high:g}; the lower end comes first.")
    pieces: list[Piece] = []
    here = min(range(len(lines)), key=lambda one: lines[one].at(low))
    while True:
        crossings = [
            (max(low, (other.at_zero - lines[here].at_zero) / (lines[here].slope - other.slope)), other.slope, index)
            for index, other in enumerate(lines)
            if other.slope < lines[here].slope
        ]
        end, _, following = min(crossings, default=(high, 0.0, here))
        if end >= high:
            return (*pieces, Piece(here, low, high))
        if end > low:
            pieces.append(Piece(here, low, end))
        low, here = end, following
