"""Estimate: a quantity with a row for each thing that could be wrong with it."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, Self

import numpy as np

from knowngood.engine.judgement.distribution import bisect, t_cdf, t_quantile
from knowngood.engine.judgement.inputs import Law, Shape

# Ours: the 199 probabilities at which an estimate that is not near normal keeps its quantiles and its law.
LEVELS = tuple(k / 200.0 for k in range(1, 200))


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
        group: The series of readings that its degrees of freedom come from; its own when empty.
    """

    key: str
    contribution: float
    degrees_of_freedom: float = math.inf
    shape: Shape = Shape.NORMAL
    assumed: bool = False
    remedies: tuple[str, ...] = ()
    name: str = ""
    input_uncertainty: float | None = None
    group: str = ""

    @property
    def says(self) -> str:
        """Name for the mechanic."""
        return self.name or self.key

    def to_json(self) -> dict[str, Any]:
        """Plain JSON; infinite degrees of freedom are null."""
        dof = self.degrees_of_freedom if math.isfinite(self.degrees_of_freedom) else None
        return {**vars(self), "shape": self.shape.value, "degrees_of_freedom": dof, "remedies": list(self.remedies)}

    @classmethod
    def from_json(cls, row: Mapping[str, Any]) -> Self:
        """The way back of to_json; rows that were written before there were groups have none."""
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
        law: What it was worked out by, where that was just now; it is not stored. Whoever changes
            value, rows or quantiles takes it out.
    """

    value: float
    unit: str
    rows: tuple[Row, ...] = ()
    quantiles: tuple[float, ...] | None = field(default=None, repr=False)
    law: Law | None = field(default=None, repr=False, compare=False)

    @cached_property
    def standard_uncertainty(self) -> float:
        """Root of the sum of squared contributions. [unit]

        Source:
            GUM, 5.1.2.
        """
        return math.hypot(*(row.contribution for row in self.rows))

    @cached_property
    def degrees_of_freedom(self) -> float:
        """Effective degrees of freedom by Welch and Satterthwaite.

        Rows of one group know their size from one series of readings: too small for one of them is too small for all.
        Their variances are added first, and count once, with the fewest degrees of freedom among them.

        Source:
            GUM, G.4.1.
            WILLINK_DOF, readings of several quantities taken together.
        """
        u = self.standard_uncertainty
        if u == 0.0:
            return math.inf
        weight = sum((row.contribution / u) ** 4 / row.degrees_of_freedom for row in self.rows if not row.group)
        for group in dict.fromkeys(row.group for row in self.rows if row.group):
            series = [row for row in self.rows if row.group == group]
            share = sum((row.contribution / u) ** 2 for row in series)
            weight += share**2 / min(row.degrees_of_freedom for row in series)
        return 1.0 / weight if weight > 0.0 else math.inf

    def linear_below(self, x: float) -> float:
        """Probability below x by the linear law: value, uncertainty, Student's t."""
        return self._linear_beyond(self.value - x)

    def _linear_beyond(self, distance: float) -> float:
        """Probability that the error is larger than this, by the linear law; small ones keep their digits."""
        u = self.standard_uncertainty
        if u == 0.0:
            return float(distance < 0.0) + 0.5 * (distance == 0.0)
        return t_cdf(-distance / u, max(1.0, self.degrees_of_freedom))

    def below(self, x: float) -> float:
        """Probability below x, by the kept quantiles where there are any; tails follow the linear law's."""
        if self.quantiles is None:
            return self.linear_below(x)
        first, last = self.quantiles[0], self.quantiles[-1]
        if x < first:
            return LEVELS[0] * self._tail(self.value - x, self.value - first)
        if x > last:
            return 1.0 - LEVELS[0] * self._tail(x - self.value, last - self.value)
        return float(np.interp(x, self.quantiles, LEVELS))

    def _tail(self, distance: float, edge: float) -> float:
        """The share of the linear law's tail from `edge` on that lies beyond `distance`; none where it has no tail."""
        whole = self._linear_beyond(edge)
        return self._linear_beyond(distance) / whole if whole > 0.0 else 0.0

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
    return math.fsum(row.contribution * theirs.get(row.key, 0.0) for row in one.rows)


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

    A sum of several follows the linear law. One estimate alone, scaled or shifted, keeps its quantiles and its law.

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
    alone = terms[0] if len(terms) == 1 else None
    quantiles, law = (_shifted(*alone, offset), _carried(*alone, offset)) if alone else (None, None)
    return Estimate(value, unit or terms[0][1].unit, merged(rows), quantiles, law)


def _carried(weight: float, one: Estimate, offset: float) -> Law | None:
    law = one.law
    return law and Law(lambda *values: weight * law.formula(*values) + offset, law.inputs)


def _shifted(weight: float, one: Estimate, offset: float) -> tuple[float, ...] | None:
    if one.quantiles is None:
        return None
    return tuple(sorted(weight * quantile + offset for quantile in one.quantiles))
