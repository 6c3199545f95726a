"""Input and Estimate: a quantity with a row for each thing that could be wrong with it."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any, Self

import numpy as np

from knowngood.engine.judgement.distribution import bisect, t_cdf, t_quantile

Array = np.ndarray[Any, np.dtype[np.float64]]
# The 199 probabilities at which an estimate that is not near normal keeps its quantiles.
LEVELS = tuple(k / 200.0 for k in range(1, 200))


class Shape(StrEnum):
    """How an error is distributed about zero."""

    NORMAL = "normal"
    STUDENT_T = "student t"
    RECTANGULAR = "rectangular"
    TRIANGULAR = "triangular"
    ARCSINE = "arcsine"


# Standard uncertainty of a half-width of 1. Source: GUM 4.3.7, 4.3.9; JCGM_101 6.4 (arcsine).
PER_HALF_WIDTH = {Shape.RECTANGULAR: 3**-0.5, Shape.TRIANGULAR: 6**-0.5, Shape.ARCSINE: 2**-0.5}


@dataclass(frozen=True)
class Input:
    """One quantity that a formula takes, and how far off it may be.

    Args:
        key: Which error it is, such as "meter:blue/gain"; equal keys are one and the same error.
        value: Best value. [unit of the input]
        shape: Distribution of the error.
        half_width: For a bounded shape: how far the error can reach. [unit of the input]
        standard_uncertainty: For normal and Student's t. [unit of the input]
        degrees_of_freedom: Infinite unless it comes from few readings.
        assumed: Nobody stated it: a wide default of ours.
        remedies: Keys of what would make it smaller.
        name: What the mechanic calls it; the key when empty.

    Raises:
        ValueError: Both or neither of half_width and standard_uncertainty, or the wrong one for the shape.
    """

    key: str
    value: float
    shape: Shape = Shape.NORMAL
    half_width: float | None = None
    standard_uncertainty: float | None = None
    degrees_of_freedom: float = math.inf
    assumed: bool = False
    remedies: tuple[str, ...] = ()
    name: str = ""

    def __post_init__(self) -> None:
        wanted = self.half_width if self.shape in PER_HALF_WIDTH else self.standard_uncertainty
        other = self.standard_uncertainty if self.shape in PER_HALF_WIDTH else self.half_width
        if wanted is None or other is not None or not wanted >= 0.0:
            which = "half_width" if self.shape in PER_HALF_WIDTH else "standard_uncertainty"
            raise ValueError(f"{self.key}: an error of {self.shape} shape is given by its {which} alone, from 0 up.")
        if not (math.isfinite(self.value) and math.isfinite(wanted)):
            raise ValueError(f"{self.key}: {self.value:g} within {wanted:g}; both must be plain numbers.")
        if not self.degrees_of_freedom >= 1.0:
            raise ValueError(f"{self.key}: {self.degrees_of_freedom:g} degrees of freedom; at least 1 is needed.")

    @property
    def u(self) -> float:
        """Standard uncertainty. [unit of the input]"""
        if self.half_width is not None:
            return self.half_width * PER_HALF_WIDTH[self.shape]
        assert self.standard_uncertainty is not None  # __post_init__ has looked
        return self.standard_uncertainty

    @property
    def scale(self) -> float:
        """What one unit of `unit_errors` is worth. [unit of the input]"""
        return self.u if self.half_width is None else self.half_width

    def unit_errors(self, generator: np.random.Generator, draws: int) -> Array:
        """Draw errors about zero in multiples of `scale`."""
        match self.shape:
            case Shape.RECTANGULAR:
                return generator.uniform(-1.0, 1.0, draws)
            case Shape.TRIANGULAR:
                return generator.random(draws) - generator.random(draws)
            case Shape.ARCSINE:
                return np.sin(generator.uniform(-np.pi / 2, np.pi / 2, draws))
        if math.isinf(self.degrees_of_freedom):
            return generator.standard_normal(draws)
        return generator.standard_t(self.degrees_of_freedom, draws)


@dataclass(frozen=True)
class Row:
    """What one error does to an estimate.

    Args:
        key: Which error it is; equal keys are one and the same error.
        contribution: Signed sensitivity times standard uncertainty. [unit of the estimate]
        degrees_of_freedom: Infinite unless it comes from few readings.
        shape: Distribution of the error.
        assumed: Nobody stated it.
        remedies: Keys of what would make it smaller.
        name: What the mechanic calls it; the key when empty.
        input_uncertainty: Standard uncertainty of the input behind it, when there is just one. [unit of the input]
    """

    key: str
    contribution: float
    degrees_of_freedom: float = math.inf
    shape: Shape = Shape.NORMAL
    assumed: bool = False
    remedies: tuple[str, ...] = ()
    name: str = ""
    input_uncertainty: float | None = None

    @property
    def says(self) -> str:
        """Name for the mechanic."""
        return self.name or self.key

    def with_input(self, standard_uncertainty: float) -> float:
        """The size of the contribution if the input were known this well. [unit of the estimate]"""
        if not self.input_uncertainty:
            return abs(self.contribution)
        return abs(self.contribution) * standard_uncertainty / self.input_uncertainty

    def to_json(self) -> dict[str, Any]:
        """Plain JSON; infinite degrees of freedom are null."""
        dof = self.degrees_of_freedom if math.isfinite(self.degrees_of_freedom) else None
        return {**vars(self), "shape": self.shape.value, "degrees_of_freedom": dof, "remedies": list(self.remedies)}

    @classmethod
    def from_json(cls, row: Mapping[str, Any]) -> Self:
        """The way back of to_json."""
        dof = math.inf if row["degrees_of_freedom"] is None else row["degrees_of_freedom"]
        known = {"shape": Shape(row["shape"]), "degrees_of_freedom": dof, "remedies": tuple(row["remedies"])}
        return cls(**{**row, **known})


@dataclass(frozen=True)
class Estimate:
    """A quantity with its uncertainty.

    Args:
        value: Best value. [unit]
        unit: The unit inside, such as "ohm".
        rows: One for each error; all keys differ.
        quantiles: At LEVELS, when the distribution is not near normal; else None. [unit]
    """

    value: float
    unit: str
    rows: tuple[Row, ...] = ()
    quantiles: tuple[float, ...] | None = field(default=None, repr=False)

    @property
    def standard_uncertainty(self) -> float:
        """Root of the sum of squared contributions. [unit]

        Source:
            GUM, 5.1.2.
        """
        return math.hypot(*(row.contribution for row in self.rows))

    @property
    def degrees_of_freedom(self) -> float:
        """Effective degrees of freedom by Welch and Satterthwaite.

        Source:
            GUM, G.4.1.
        """
        u = self.standard_uncertainty
        if u == 0.0:
            return math.inf
        weight = sum((row.contribution / u) ** 4 / row.degrees_of_freedom for row in self.rows)
        return 1.0 / weight if weight > 0.0 else math.inf

    def linear_below(self, x: float) -> float:
        """Probability below x by the linear law: value, uncertainty, Student's t."""
        u = self.standard_uncertainty
        if u == 0.0:
            return float(x > self.value) + 0.5 * (x == self.value)
        return t_cdf((x - self.value) / u, max(1.0, self.degrees_of_freedom))

    def below(self, x: float) -> float:
        """Probability below x, by the kept quantiles where there are any; tails follow the linear law's."""
        if self.quantiles is None:
            return self.linear_below(x)
        first, last = self.quantiles[0], self.quantiles[-1]
        if x < first:
            edge = self.linear_below(first)
            return LEVELS[0] * (self.linear_below(x) / edge if edge > 0.0 else 0.0)
        if x > last:
            edge = 1.0 - self.linear_below(last)
            return 1.0 - LEVELS[0] * ((1.0 - self.linear_below(x)) / edge if edge > 0.0 else 0.0)
        return float(np.interp(x, self.quantiles, LEVELS))

    def quantile(self, probability: float) -> float:
        """The place that has this probability below it. [unit]"""
        if self.quantiles is None:
            u = self.standard_uncertainty
            return self.value + u * t_quantile(probability, max(1.0, self.degrees_of_freedom))
        if LEVELS[0] <= probability <= LEVELS[-1]:
            return float(np.interp(probability, LEVELS, self.quantiles))
        reach = 100.0 * (self.quantiles[-1] - self.quantiles[0])
        return bisect(lambda x: self.below(x) - probability, self.quantiles[0] - reach, self.quantiles[-1] + reach)

    def interval(self, probability: float = 0.95) -> tuple[float, float]:
        """The interval that leaves the same probability out on both sides. [unit]"""
        tail = 0.5 * (1.0 - probability)
        return self.quantile(tail), self.quantile(1.0 - tail)

    @property
    def budget(self) -> tuple[Row, ...]:
        """Where the doubt comes from, the largest first."""
        return tuple(sorted(self.rows, key=lambda row: -abs(row.contribution)))

    def to_json(self) -> dict[str, Any]:
        """Plain JSON."""
        quantiles = None if self.quantiles is None else list(self.quantiles)
        return {
            "value": self.value,
            "unit": self.unit,
            "rows": [row.to_json() for row in self.rows],
            "quantiles": quantiles,
        }

    @classmethod
    def from_json(cls, document: Mapping[str, Any]) -> Self:
        """The way back of to_json, exact."""
        quantiles = None if document["quantiles"] is None else tuple(document["quantiles"])
        rows = tuple(Row.from_json(row) for row in document["rows"])
        return cls(document["value"], document["unit"], rows, quantiles)


def covariance(one: Estimate, other: Estimate) -> float:
    """Covariance of two estimates: the sum over the errors that they share. [product of the units]"""
    theirs = {row.key: row.contribution for row in other.rows}
    return sum(row.contribution * theirs.get(row.key, 0.0) for row in one.rows)


def merged(rows: Iterable[Row]) -> tuple[Row, ...]:
    """Rows with equal keys made one, in order of first appearance."""
    found: dict[str, Row] = {}
    for row in rows:
        before = found.get(row.key)
        found[row.key] = row if before is None else _one(before, row)
    return tuple(found.values())


def _one(before: Row, row: Row) -> Row:
    same = before.input_uncertainty == row.input_uncertainty
    return replace(
        before,
        contribution=before.contribution + row.contribution,
        assumed=before.assumed or row.assumed,
        input_uncertainty=before.input_uncertainty if same else None,
    )


def combine(terms: Sequence[tuple[float, Estimate]], *, offset: float = 0.0, unit: str | None = None) -> Estimate:
    """Return a weighted sum of estimates; errors that they share add or cancel by key.

    A sum of several follows the linear law. One estimate alone, scaled or shifted, keeps its quantiles.

    Args:
        terms: Pairs of weight and estimate.
        offset: Added to the sum. [unit]
        unit: Unit of the sum; that of the first estimate unless told otherwise.

    Raises:
        ValueError: No terms.

    Example:
        >>> gain = Row("meter:blue/gain", 0.4)
        >>> combine([(1, Estimate(50.0, "ohm", (gain,))), (-1, Estimate(48.0, "ohm", (gain,)))]).standard_uncertainty
        0.0
    """
    if not terms:
        raise ValueError("nothing to combine; at least one estimate is needed.")
    rows = (replace(row, contribution=weight * row.contribution) for weight, one in terms for row in one.rows)
    value = offset + sum(weight * one.value for weight, one in terms)
    quantiles = _shifted(*terms[0], offset) if len(terms) == 1 else None
    return Estimate(value, unit or terms[0][1].unit, merged(rows), quantiles)


def _shifted(weight: float, one: Estimate, offset: float) -> tuple[float, ...] | None:
    if one.quantiles is None:
        return None
    return tuple(sorted(weight * quantile + offset for quantile in one.quantiles))
