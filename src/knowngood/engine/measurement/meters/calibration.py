"""What checks of one instrument have shown: how much too high it reads, and how far that is known away from them."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from knowngood.engine.measurement.meters.checking import resolved, widened
from knowngood.engine.measurement.meters.instruments import Meter

# Ours, on the safe side: over how many steps of the display an error may change as far as the class lets it. A class is
# stated for a range of thousands of steps, over which the error of a sound instrument changes smoothly.
REACH_STEPS = 100.0
# Ours: known values so near to each other are one point, of which the newest check counts. [share, steps]
SAME_SHARE, SAME_STEPS = 0.05, 10.0


@dataclass(frozen=True)
class Point:
    """An instrument held against a known value.

    Args:
        known: The known value. [unit of the reading]
        half_width: How far that may be off. [unit of the reading]
        shown: What the instrument showed. [unit of the reading]
        zero: What it showed at zero in those days; None when nobody looked. [unit of the reading]

    Raises:
        ValueError: A doubt of the known value that is below zero, or what is no number.
    """

    known: float
    half_width: float
    shown: float
    zero: float | None = None

    def __post_init__(self) -> None:
        if not (0.0 <= self.half_width < math.inf and all(map(math.isfinite, (self.known, self.shown)))):
            raise ValueError(
                f"a known value of {self.known:g} ± {self.half_width:g}, shown as {self.shown:g}: each must be a plain "
                "number, and what comes after ± zero or more. Write what it is known to be, such as 100 ± 0.1 ohm."
            )

    @property
    def error(self) -> float:
        """How much too high it read, beside its zero. [unit of the reading]"""
        return self.shown - self.known - (self.zero or 0.0)


@dataclass(frozen=True)
class Calibration:
    """An instrument, and what its checks have shown.

    A known error is taken off what was read, at each reading its own. At the point of a check it is known to the doubt
    of the known value and the display's digits. Between two points it lies on the straight line through both errors,
    with the doubt of both ends in the same shares, and as much more as the line may bend: what an error may change from
    end to end, times both shares, which is nothing at the ends and a quarter of it in the middle. Beyond the last point
    its error counts, and may have changed: as the data sheet lets it, which is the percent of the way, and all of the
    absolute part over as far as from zero to the point; and by as much as it does from that point to the next. All of
    this is ours. Of a single point the data sheet's line stays a bound, unless the check has broken it: then it counts
    as wide as the error that was found, for whether that is a share or a size is not known.

    Where the class holds from a zero that is set right, what shows at zero belongs to all readings, and is a point of
    the line too. A point counts from the zero of its own day, so that setting the zero anew spoils no older check.

    Args:
        meter: As its data sheet describes it.
        points: The checks that stand, each apart from the others.
        zero: What it shows at zero; None when nobody looked. [unit of the reading]
        zero_half_width: How far that may be off. [unit of the reading]
        zero_apart: The zero is taken off elsewhere, so that only what is beside it counts here.

    Source:
        GUM, 3.2.4, a known error is corrected for, and what stays in doubt of it is a part of the uncertainty.

    Example:
        >>> probe = Calibration(Meter("probe", 0, 1, 0.1, 2.5), (Point(0, 0.2, -0.4), Point(100, 1, 97.2)))
        >>> round(probe.error(48.4), 2), round(probe.trusted(48.4).offset, 2)
        (-1.6, 1.95)
    """

    meter: Meter
    points: tuple[Point, ...] = ()
    zero: float | None = None
    zero_half_width: float = 0.0
    zero_apart: bool = False

    def error(self, shown: float) -> float:
        """How much too high it is known to read. [unit of the reading]"""
        zero = self.zero or 0.0
        return (0.0 if self.zero_apart else zero) + self._beside_zero(shown - zero)

    def difference_error(self, shown: float) -> float:
        """The same of a difference that it showed, in which its zero cancels. [unit of the reading]"""
        return self._beside_zero(shown) - self._beside_zero(0.0)

    def _beside_zero(self, at: float) -> float:
        return self._known(at)[0] if self.points else 0.0

    def trusted(self, at: float) -> Meter:
        """Return the instrument as it lets itself be trusted at a reading, once its known error is taken off.

        The class figure of an instrument whose zero was read holds from there, so it stays as it is; reading the zero
        adds its own doubt. The digits of later readings stay as they are.

        Args:
            at: The reading. [unit of the reading]
        """
        if not self.points:
            known = self.zero is not None
            more = self.meter.offset + (self.zero_half_width if known else 0.0)
            return resolved(replace(self.meter, offset=more, known=known), at)
        half = self._known(at - (self.zero or 0.0))[1]
        if self.meter.percent > 0.0 and half <= 0.5 * abs(at):
            return replace(self.meter, percent=100.0 * half / abs(at), offset=0.0, greater=False, known=True)
        return replace(self.meter, percent=0.0, offset=half, greater=False, known=True)

    def with_zero_now(self, zero: float) -> "Calibration":
        """Return it for readings from which what it shows at zero now is taken off apart.

        Args:
            zero: What it shows; older checks that know no zero are taken to be of this one. [unit of the reading]
        """
        points = (one if one.zero is not None else replace(one, zero=zero) for one in self.points)
        return replace(self, points=tuple(points), zero=zero, zero_half_width=0.0, zero_apart=True)

    def _known(self, at: float) -> tuple[float, float]:
        """Middle and half-width of its error beside its zero, without the digits of that reading."""
        line, rows = resolved(self.meter, at), sorted(self._rows())
        if len(rows) == 1:
            return _of_one(rows[0], line, at)
        found, half = _along(rows, line, at)
        broken = any(_is_broken(line, row) for row in rows)
        return found, half if broken else min(half, abs(found) + _allowed(line, at))

    def _rows(self) -> list["_Row"]:
        """The points, and the zero where it was read. [unit of the reading]"""
        own = max(self.meter.digits, 0.5) * self.meter.step
        rows = [_Row(one.shown - (one.zero or 0.0), one.error, one.half_width + own) for one in self.points]
        return rows if self.zero is None else [*rows, _Row(0.0, 0.0, self.zero_half_width)]


class _Row(NamedTuple):
    """An error that a check has shown at a reading, and how far that may be off."""

    at: float
    error: float
    doubt: float

    @property
    def most(self) -> float:
        return abs(self.error) + self.doubt


def _of_one(row: _Row, line: Meter, at: float) -> tuple[float, float]:
    """The error that one check has shown, as far as the line lets it have changed; its middle and half-width."""
    bound = _allowed(line, at)
    if _is_broken(line, row):
        line = _as_wide(line, row)
        bound = max(
            _allowed(line, at), row.most
        )  # a broken line says no longer that its error shrinks with the reading
    half = row.doubt + _changed(line, row.at, at)
    low, high = max(row.error - half, -bound), min(row.error + half, bound)
    return 0.5 * (low + high), 0.5 * (high - low)


def _along(rows: Sequence[_Row], line: Meter, at: float) -> tuple[float, float]:
    """The error on the straight line between the points on both sides, or at the nearest; and its half-width."""
    after = next((place for place, row in enumerate(rows) if row.at > at), len(rows))
    if 0 < after < len(rows):
        below, above = rows[after - 1], rows[after]
        share = (at - below.at) / (above.at - below.at)
        bends = max(_changed(line, below.at, above.at), abs(above.error - below.error))
        found = (1.0 - share) * below.error + share * above.error
        return found, (1.0 - share) * below.doubt + share * above.doubt + share * (1.0 - share) * bends
    nearest, next_to_it = (rows[0], rows[1]) if after == 0 else (rows[-1], rows[-2])
    apart = abs(nearest.at - next_to_it.at)
    slope = abs(nearest.error - next_to_it.error) / apart if apart else 0.0
    return nearest.error, nearest.doubt + _changed(line, nearest.at, at) + slope * abs(at - nearest.at)


def _allowed(line: Meter, at: float) -> float:
    """What the line allows beside the digits of a reading."""
    return line.percent / 100.0 * abs(at) + line.offset


def _is_broken(line: Meter, row: _Row) -> bool:
    """Has a check shown more than the line allows, even when the known value is off as far as it may be?"""
    return abs(row.error) - row.doubt > _allowed(line, row.at)


def _as_wide(line: Meter, row: _Row) -> Meter:
    """The line, as wide as an error beyond it."""
    allowed = _allowed(line, row.at)
    return widened(line, row.most / allowed) if allowed else replace(line, offset=row.most)


def _changed(line: Meter, point: float, at: float) -> float:
    """How much an error may change from a point to a reading; never more than from one end of the line to the other."""
    away, reach = abs(at - point), max(abs(point), REACH_STEPS * line.step)
    return line.percent / 100.0 * away + (2.0 * line.offset * min(1.0, away / reach) if away else 0.0)


def standing_points(meter: Meter, known: Sequence[float]) -> list[int]:
    """Return which of some checks stand, by their place: of those against nearly the same known value the last.

    Args:
        meter: As its data sheet describes it.
        known: The known values, the oldest check first. [unit of the reading]

    Example:
        >>> standing_points(Meter("fine", 1.0, 1, 0.01), [100.0, 10.0, 99.0])
        [1, 2]
    """
    return [
        place
        for place, value in enumerate(known)
        if not any(_same(meter, value, later) for later in known[place + 1 :])
    ]


def _same(meter: Meter, one: float, other: float) -> bool:
    return abs(one - other) <= max(SAME_SHARE * max(abs(one), abs(other)), SAME_STEPS * meter.step)
