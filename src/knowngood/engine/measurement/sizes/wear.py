"""Wear over dates or distance: a line through dated readings, and when it reaches the limit."""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum

import numpy as np

from knowngood.engine.judgement import Estimate, Input, Row, Shape, combine
from knowngood.engine.judgement.estimate import LEVELS
from knowngood.engine.judgement.inputs import PER_HALF_WIDTH, Array

# Ours: of a normal distribution so many draws give the 95th percentile with a standard error of .007 of its standard
# deviation; the seed makes it repeatable.
DRAWS = 100_000
SEED = 20
# Ours: wear is not a straight line. Two times out of three the coming rate lies within a quarter of the rate so far.
RATE_DOUBT = 0.25
# Ours: a line is not stretched further than 20 times the stretch that was looked at.
STRETCHED = 20.0
# Ours: from this chance on, a first and a last date can be given 4 times out of 5.
DATED = 0.9
POINTS = 25


class Course(StrEnum):
    """What the readings say about wear."""

    DATED = "reaches its limit"
    PAST = "past its limit"
    SLOW = "too little wear to say when"
    AGREE = "the readings agree within their doubt"
    AWAY = "away from its limit"


@dataclass(frozen=True)
class Dated:
    """A reading, and when it was taken.

    Args:
        at: Days or km from any start. [day or km]
        estimate: What was known then.
    """

    at: float
    estimate: Estimate


@dataclass(frozen=True)
class Point:
    """A place on the line to draw: 4 times out of 5 between low and high.

    Args:
        at: From the last reading on. [day or km]
        value: On the line. [unit of the readings]
        low: Once in 10 times it lies lower. [unit of the readings]
        high: Once in 10 times it lies higher. [unit of the readings]
    """

    at: float
    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Wear:
    """A wear line. Days or km count from the last reading.

    Args:
        course: What the readings say.
        level: Where the line lies at the last reading. [unit]
        rate: Change per day or km so far. [unit/day or unit/km]
        coming: The same from now on, with the doubt that wear is no straight line. [as rate]
        toward: Chance that it moves towards the limit at all.
        reached: Days or km until the limit is reached; `furthest` stands for later, or never. [day or km]
        furthest: How far the line may be stretched. [day or km]
        points: The line from the first reading to the limit, to be drawn.
        shares: Quantiles of t / (t + furthest) for the time t to the limit; 1 is never.
    """

    course: Course
    level: Estimate
    rate: Estimate
    coming: Estimate
    toward: float
    reached: Estimate
    furthest: float
    points: tuple[Point, ...] = field(repr=False)
    shares: tuple[float, ...] = field(repr=False)

    def chance_reached(self, by: float) -> float:
        """Return the chance that the limit is reached by then; it never falls with time.

        Args:
            by: From the last reading on, zero or more. [day or km]

        Raises:
            ValueError: A time before the last reading.
        """
        if not 0.0 <= by < math.inf:
            raise ValueError(f"{by:g} is not after the last reading. Ask for a time after it, such as 90.")
        share = by / (by + self.furthest)
        shares, levels = (0.0, *self.shares, 1.0), (0.0, *LEVELS, 1.0)
        beside = int(np.searchsorted(shares, share, side="right"))
        return float(np.interp(share, shares[beside - 1 : beside + 1], levels[beside - 1 : beside + 1]))

    def ahead(self, at: float) -> Estimate:
        """What the line says so long after the last reading, or before it when below zero. [unit]"""
        return combine([(1.0, self.level), (at, self.coming if at > 0.0 else self.rate)])


def wear_line(
    readings: Sequence[Dated], *, limit: float, lowest: bool = True, per: str = "day", name: str = "wear"
) -> Wear:
    """Return the wear line through two or more dated readings, and when it reaches the limit.

    Readings that scatter more about the line than they may be off by themselves widen it, by Student's t with two
    degrees of freedom fewer than readings. Errors that readings share, such as one gauge's zero, drop out of the rate.

    Args:
        readings: On two dates or more, in any order.
        limit: Where it is worn out. [unit of the readings]
        lowest: The limit is the lowest allowed, as for a thickness; else the highest, as for a play.
        per: "day" or "km", the unit of `at`.
        name: Makes the keys of this line's own errors.

    Raises:
        ValueError: Fewer than two dates, or readings in different units.

    Source:
        GUM, H.3, a line by least squares. How far it may be stretched, and how straight wear is, is ours.

    Example:
        >>> zero = Row("meter:caliper/zero", 0.03)
        >>> pad = [Dated(0, Estimate(8.0, "mm", (zero, Row("one", 0.05)))),
        ...        Dated(100, Estimate(6.0, "mm", (zero, Row("two", 0.05))))]
        >>> found = wear_line(pad, limit=2.0)
        >>> found.course.value, round(found.rate.value, 3), round(found.rate.standard_uncertainty, 5)
        ('reaches its limit', -0.02, 0.00071)
        >>> [round(found.reached.quantile(p), -1) for p in (0.1, 0.5, 0.9)]
        [150.0, 200.0, 300.0]
    """
    kept = sorted(readings, key=lambda one: one.at)
    _refuse(kept, per)
    level, rate = _line(kept, per, name)
    coming, looked_at = _coming(rate, name), kept[-1].at - kept[0].at
    furthest = STRETCHED * looked_at
    shares = _shares(level, coming, limit=limit, side=1.0 if lowest else -1.0, furthest=furthest)
    toward = rate.linear_below(0.0) if lowest else 1.0 - rate.linear_below(0.0)
    course = _course(
        level.value <= limit if lowest else level.value >= limit, toward, float(np.interp(0.5, shares, LEVELS))
    )
    reached = _reached(level, coming, limit, shares, furthest)
    found = Wear(course, level, rate, coming, toward, reached, furthest, (), shares)
    return replace(found, points=_points(found, looked_at))


def _refuse(kept: Sequence[Dated], per: str) -> None:
    stretch = kept[-1].at - kept[0].at if kept else 0.0
    if not 0.0 < stretch < math.inf:
        many = {0: "there is no reading", 1: "there is one reading"}.get(
            len(kept), f"all {len(kept)} readings are of one {per}"
        )
        raise ValueError(f"{many}; wear shows between two {per}s. Read it again later.")
    units = list(dict.fromkeys(one.estimate.unit for one in kept))
    if len(units) > 1:
        raise ValueError(f"readings in {' and '.join(units)} make no line; give all of them in one unit.")


def _line(kept: Sequence[Dated], per: str, name: str) -> tuple[Estimate, Estimate]:
    """Level at the last reading and rate, by least squares weighted with what readings do not share."""
    away = np.array([one.at - kept[-1].at for one in kept])
    values = np.array([one.estimate.value for one in kept])
    weight, own = _weights(kept)
    middle = float(weight @ away / weight.sum())
    spread = float(weight @ (away - middle) ** 2)
    slope = weight * (away - middle) / spread
    at_last = weight / weight.sum() - middle * slope
    about = values - float(values @ at_last) - float(values @ slope) * away
    left_over = len(kept) - 2
    excess = max(0.0, float(weight @ about**2) / left_over - own) if left_over else 0.0
    of_middle, of_slope = math.sqrt(excess / float(weight.sum())), math.sqrt(excess / spread)
    unit = kept[0].estimate.unit
    level = _with(kept, at_last, unit, _scatter_rows((of_middle, -middle * of_slope), name, left_over))
    return level, _with(kept, slope, f"{unit}/{per}", _scatter_rows((0.0, of_slope), name, left_over))


def _weights(kept: Sequence[Dated]) -> tuple[Array, float]:
    """One over the variance that a reading has to itself, and how much of that the weights make of it.

    When a reading has none to itself all weigh alike, and whatever they scatter about the line counts in full.
    """
    count = Counter(row.key for one in kept for row in one.estimate.rows)
    own = [math.fsum(row.contribution**2 for row in one.estimate.rows if count[row.key] == 1) for one in kept]
    if min(own) > 0.0:
        return 1.0 / np.array(own), 1.0
    return np.ones(len(own)), 0.0


def _scatter_rows(sizes: tuple[float, float], name: str, left_over: int) -> tuple[Row, ...]:
    """Level in the middle and slope: their errors do not depend on each other, but are of one and the same scatter."""
    words = "scatter about the line"
    return tuple(
        Row(f"{name}/scatter {part}", size, float(left_over), Shape.STUDENT_T, remedies=("repeat",), name=words,
            group=f"{name}/scatter")
        for part, size in zip(("level", "slope"), sizes, strict=True)
        if size != 0.0
    )  # fmt: skip


def _with(kept: Sequence[Dated], line: Array, unit: str, scatter: tuple[Row, ...]) -> Estimate:
    found = combine([(float(share), one.estimate) for share, one in zip(line, kept, strict=True)], unit=unit)
    return replace(found, rows=(*found.rows, *scatter), law=None)


def _coming(rate: Estimate, name: str) -> Estimate:
    """The rate from now on: the rate so far, with the doubt that wear is no straight line."""
    size, words = RATE_DOUBT * rate.value, "wear is not a straight line"
    return replace(
        rate, rows=(*rate.rows, Row(f"{name}/coming rate", size, assumed=True, remedies=("later",), name=words))
    )


def _shares(level: Estimate, coming: Estimate, *, limit: float, side: float, furthest: float) -> tuple[float, ...]:
    """Quantiles of t / (t + furthest) for the time t to the limit: finite for never, 0 when it is past already."""
    at_last, change = _drawn([level, coming])
    left, goes = side * (at_last - limit), np.maximum(-side * change, 0.0) * furthest
    shares = np.divide(left, left + goes, out=np.zeros(DRAWS), where=left > 0.0)
    return tuple(np.quantile(shares, LEVELS).tolist())


def _drawn(estimates: Sequence[Estimate]) -> list[Array]:
    """Values drawn together: equal keys share their draws."""
    generator = np.random.Generator(np.random.PCG64(SEED))
    series: dict[str, Array] = {}
    errors = {
        row.key: _errors(row, generator, series)
        for row in {row.key: row for one in estimates for row in one.rows}.values()
    }
    return [
        sum((row.contribution * errors[row.key] for row in one.rows), np.full(DRAWS, one.value)) for one in estimates
    ]


def _errors(row: Row, generator: np.random.Generator, series: dict[str, Array]) -> Array:
    """Errors of this row's shape with a standard uncertainty of 1."""
    dof = max(1.0, row.degrees_of_freedom)
    if row.shape in PER_HALF_WIDTH:
        one = Input(row.key, 0.0, row.shape, 1.0 / PER_HALF_WIDTH[row.shape], degrees_of_freedom=dof)
    else:
        one = Input(row.key, 0.0, row.shape, standard_uncertainty=1.0, degrees_of_freedom=dof, group=row.group)
    return one.scale * one.unit_errors(generator, DRAWS, series)


def _reached(level: Estimate, coming: Estimate, limit: float, shares: tuple[float, ...], furthest: float) -> Estimate:
    """Time to the limit: quantiles by drawing; rows by the linear law where the line itself gets there."""
    quantiles = tuple(furthest * min(share, 0.5) / (1.0 - min(share, 0.5)) for share in shares)
    per = coming.unit.rpartition("/")[2]
    best = (limit - level.value) / coming.value if coming.value else furthest
    if not 0.0 < best < furthest:
        return Estimate(quantiles[len(quantiles) // 2], per, (), quantiles)
    found = combine([(-1.0 / coming.value, level), (-best / coming.value, coming)], unit=per)
    return replace(found, value=best, quantiles=quantiles, law=None)


def _course(past: bool, toward: float, within: float) -> Course:
    """A first and a last date, or why none can be given."""
    if past:
        return Course.PAST
    if toward < 0.95:
        return Course.AWAY if toward <= 0.05 else Course.AGREE
    return Course.DATED if within >= DATED else Course.SLOW


def _points(found: Wear, looked_at: float) -> tuple[Point, ...]:
    """From the first reading to where the limit is likely reached, at least as far ahead as was looked back."""
    until = max(looked_at, found.reached.quantile(DATED) if found.course is Course.DATED else 0.0)
    line = [(at, found.ahead(at)) for at in np.linspace(-looked_at, until, POINTS).tolist()]
    ends = ((at, one.value, one.value - one.quantile(0.1)) for at, one in line)
    return tuple(Point(at, value, value - half, value + half) for at, value, half in ends)
