"""Measured readings as evidence: what each outcome would have made of them, with errors in common counted once."""

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from knowngood.engine.judgement import Band, Estimate
from knowngood.engine.judgement.distribution import t_quantile
from knowngood.engine.troubleshooting.model.parts import Test
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.model.tables import Floats, given

# Ours: draws of the errors that readings have in common. A probability is then good to about .005, which is a tenth
# of what the words for a test leave open. Drawn in pairs of opposite sign, always the same ones.
DRAWS, SEED = 8192, 20
BELOW, WITHIN, ABOVE = 0, 1, 2
# NumPy has no error function of its own.
ERFC = np.frompyfunc(math.erfc, 1, 1)


@dataclass(frozen=True)
class Reading:
    """A measured finding: what is known, against what is allowed, and which outcome of a test each side of it is.

    A reading is evidence in proportion to how well each outcome explains it. Its judgement says how much of what it
    can have been lies within the limits: for p within, "within" and "out" explain it as p to 1 - p. That takes values
    to be as common just inside a limit as just outside, which is how the judgement came about too. It is *not* set as
    the probability of the outcome after all: then a reading of which one can't tell (p one half) would move suspects.

    Args:
        test: Key of the test.
        estimate: What was measured.
        band: What is allowed, in the same unit.
        within: Outcome that "within limits" is.
        below: Outcome that "too low" is.
        above: Outcome that "too high" is; often the same as `below`.

    Raises:
        ValueError: Estimate and band differ in unit.
    """

    test: str
    estimate: Estimate
    band: Band
    within: str
    below: str
    above: str

    def __post_init__(self) -> None:
        if self.estimate.unit != self.band.unit:
            raise ValueError(
                f"the reading is in {self.estimate.unit}, its limits in {self.band.unit}; give both in one unit."
            )


def weights(problem: Problem, reading: Reading) -> Floats:
    """Return how well each outcome of the test explains the reading by itself; they add up to 1."""
    low, high = _below(reading)
    found: Floats = _places(problem.test_of[reading.test], reading) @ np.array([low, high - low, 1.0 - high])
    return found


def together(problem: Problem, readings: Sequence[Reading]) -> Floats:
    """Return how well each cause explains these readings, those with errors in common taken as one.

    Two readings by one meter are not two witnesses to the meter's gain. With the common errors given, readings are
    independent; so the product is taken under each draw of the common errors, and averaged after it.

    Returns:
        For each cause, up to a common factor.
    """
    found = np.ones(len(problem.causes))
    for group in _groups(readings):
        found = found * (_alone(problem, group[0]) if len(group) == 1 else _in_common(problem, group))
    return found


def _below(reading: Reading) -> tuple[float, float]:
    """Chance that it lies below the lower limit, and below the upper one."""
    lower, upper = reading.band.lower, reading.band.upper
    low = 0.0 if lower is None else reading.estimate.below(lower)
    return low, 1.0 if upper is None else reading.estimate.below(upper)


def _places(test: Test, reading: Reading) -> Floats:
    """Which outcome (row) each of below, within and above (column) is."""
    places = np.zeros((len(test.outcomes), 3))
    for side, word in ((BELOW, reading.below), (WITHIN, reading.within), (ABOVE, reading.above)):
        places[test.outcome(word), side] = 1.0
    return places


def _alone(problem: Problem, reading: Reading) -> Floats:
    return weights(problem, reading) @ given(problem, problem.test_of[reading.test])


def _in_common(problem: Problem, group: Sequence[Reading]) -> Floats:
    counts = Counter(row.key for reading in group for row in reading.estimate.rows)
    common = sorted(key for key, count in counts.items() if count > 1)
    half = np.random.default_rng(SEED).standard_normal((DRAWS // 2, len(common)))
    errors = np.concatenate([half, -half])
    product = np.ones((DRAWS, len(problem.causes)))
    for reading in group:
        test = problem.test_of[reading.test]
        product *= _under(reading, common, errors) @ _places(test, reading).T @ given(problem, test)
    return np.asarray(product.mean(axis=0), dtype=np.float64)


def _under(reading: Reading, common: Sequence[str], errors: Floats) -> Floats:
    """Chance of below, within and above (column) under each draw (row) of the common errors.

    On the whole it is what the judgement says, whatever the law behind it. How far two readings hang together is that
    of two normals with these errors in common.
    """
    ends = _below(reading)
    whole = reading.estimate.standard_uncertainty
    if whole == 0.0:
        low, high = np.broadcast_to(ends, (len(errors), 2)).T
    else:
        shared = {row.key: row.contribution / whole for row in reading.estimate.rows if row.key in common}
        own = math.hypot(*(row.contribution / whole for row in reading.estimate.rows if row.key not in common))
        moved = errors @ np.array([shared.get(key, 0.0) for key in common])
        low, high = (_normal(_normal_quantile(end) - moved, own) for end in ends)
    return np.stack([low, high - low, 1.0 - high], axis=1)


def _normal_quantile(probability: float) -> float:
    if probability in (0.0, 1.0):
        return math.copysign(math.inf, probability - 0.5)
    return t_quantile(probability, math.inf)


def _normal(distance: Floats, own: float) -> Floats:
    if own == 0.0:
        return (distance > 0.0).astype(np.float64)
    return 0.5 * np.asarray(ERFC(-distance / (own * math.sqrt(2.0))), dtype=np.float64)


def _groups(readings: Iterable[Reading]) -> list[list[Reading]]:
    """Readings that hang together by a common key, directly or through others."""
    groups: list[tuple[set[str], list[Reading]]] = []
    for reading in readings:
        keys = {row.key for row in reading.estimate.rows}
        members = [reading]
        apart = []
        for other_keys, others in groups:
            if keys & other_keys:
                keys, members = keys | other_keys, others + members
            else:
                apart.append((other_keys, others))
        groups = [*apart, (keys, members)]
    return [members for _, members in groups]
