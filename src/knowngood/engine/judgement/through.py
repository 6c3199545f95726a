"""What the next estimate would be once something is done, drawn through the formula that today's was worked out by."""

import itertools
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np

from knowngood.engine.judgement.band import Band, clear_from
from knowngood.engine.judgement.estimate import LEVELS, Estimate
from knowngood.engine.judgement.inputs import Array, Input, Law
from knowngood.engine.judgement.outlook import coming, made_again, row_errors, summed
from knowngood.engine.judgement.remedy import Remedy, Shown

# Ours: of so many next values each is judged by so many draws; a chance is off by .02 at most, one in three times.
NEXT, JUDGED, SEED = 400, 3000, 29
# Ours, as the largest distance in probability between what a formula gives and what its rows sum up to: from here on
# they say too little of what would come.
BENT = 0.01
# Of so many ordered draws one is taken.
FINE = 32


def is_bent(estimate: Estimate) -> bool:
    """Is the formula so far from straight that the rows do not sum up to what is known?"""
    if estimate.law is None or estimate.quantiles is None:
        return False
    drawn = estimate.value + summed(estimate.rows)
    below = np.searchsorted(drawn, estimate.quantiles) / len(drawn)
    return bool(np.max(np.abs(below - LEVELS)) > BENT)


def follows(law: Law, estimate: Estimate, after: Mapping[str, float]) -> bool:
    """Is each row that changes the error of an input, so that it can be followed through the formula?"""
    keys = {one.key for one in law.inputs if one.u > 0.0}
    return all(row.key in keys for row in estimate.rows if row.key in after)


def chances_through(law: Law, estimate: Estimate, band: Band, remedy: Remedy) -> tuple[float, float]:
    """Return the chances of a clear "within" and a clear "out" after a remedy, each value judged as a reading is.

    What is read anew comes of inputs that have lost today's error and taken the one of afterwards. What is looked up,
    or shown by readings beside, moves no value: the error is the same, and only how large it can be is known better.

    Args:
        law: What today's estimate was worked out by.
        estimate: What is known now.
        band: What is allowed.
        remedy: One whose rows all `follows`; its `scaled` and `grid` are not looked at.

    Returns:
        Chance of within, chance of out.

    Source:
        JCGM_101, 7, of the value that the next measurement would give.
    """
    generator = np.random.Generator(np.random.PCG64(SEED))
    now = {row.key: abs(row.contribution) for row in estimate.rows}
    then = _Then(law, remedy, now, generator)
    with np.errstate(all="ignore"):  # what has no value cannot be what was measured, and is left out below
        true = np.asarray(law.formula(*(then.values(one) for one in law.inputs)), dtype=float)
    come = coming(estimate, {key: size for key, size in remedy.after.items() if key not in now})
    entered = row_errors(come, generator, NEXT)[:, None] + row_errors(come, generator, JUDGED)
    return _shares(np.broadcast_to(true, entered.shape) + entered, band)


class _Then:
    """What each input may be: down, a row for each next value; along it, the errors that the value is judged by."""

    def __init__(self, law: Law, remedy: Remedy, now: Mapping[str, float], generator: np.random.Generator) -> None:
        self.drawn, self.remedy, self.generator = _drawn(law), remedy, generator
        self.share = {key: remedy.after[key] / size for key, size in now.items() if key in remedy.after and size > 0.0}
        self.found = generator.permutation((np.arange(NEXT) + 0.5) / NEXT)
        changed = [one for one in law.inputs if one.key in self.share]
        self.shown = _shown(changed, remedy.shown, generator) if remedy.shown and changed else None

    def values(self, one: Input) -> Any:
        """Draws of one input, shaped (next values or 1, draws or 1)."""
        key, changes = one.key, one.key in self.share
        if one.u == 0.0:
            return one.value
        if changes and self.shown:
            return self.shown(one)
        if changes and self.remedy.repeats and key.endswith("/scatter"):
            return one.value + _read_again(one, self.remedy.repeats, self.generator)
        return one.value + one.scale * self._errors(key)

    def _errors(self, key: str) -> Any:
        """In multiples of the input's scale."""
        drawn = self.drawn
        if key in self.remedy.looked_up:
            low, high = self.remedy.looked_up[key]
            return (low + (high - low) * self.found)[:, None] * drawn.left[key]
        if key in self.remedy.eased:  # the part that goes is an error of its own
            stays = self.remedy.eased[key]
            return math.sqrt(1.0 - stays**2) * drawn.gone[key][:, None] + stays * drawn.left[key]
        if key in self.share:
            left = self.share[key]
            return (drawn.gone[key] - left * drawn.new[key])[:, None] + left * drawn.left[key]
        return drawn.left[key]


def _read_again(one: Input, repeats: tuple[int, int], generator: np.random.Generator) -> Array:
    """How far off a mean is in each draw of each next value, for its scatter is then known in another way each time."""
    shift, doubt, dof = made_again(one.u, one.degrees_of_freedom, repeats, generator, NEXT // 2)
    errors = generator.standard_t(dof, JUDGED // 2)
    both = np.concatenate([errors, -errors])
    return np.asarray(np.concatenate([shift, -shift])[:, None] + np.tile(doubt, 2)[:, None] * both)


def _shown(changed: Sequence[Input], shown: Shown, generator: np.random.Generator) -> Callable[[Input], Any]:
    """What readings beside show of how large some errors are, pooled with what is usual: GUM 4.2.4."""
    known, readings = min(one.degrees_of_freedom for one in changed), shown.readings
    true = known / generator.chisquare(known, NEXT)  # of today's variance
    seen = true * generator.chisquare(readings - 1, NEXT) / (readings - 1)
    dof = known + readings - 1
    size = np.sqrt((known * shown.usual**2 + (readings - 1) * seen) / dof)[:, None]
    series: dict[str, Array] = {}

    def values(one: Input) -> Any:
        if math.isinf(one.degrees_of_freedom):  # a bound that follows from the size, and lies beside its best value
            return np.minimum(size * shown.cut, 1.0) * (
                one.value + one.scale * one.unit_errors(generator, JUDGED, series)
            )
        errors = replace(one, degrees_of_freedom=dof).unit_errors(generator, JUDGED, series)
        return one.value + size * one.scale * errors

    return values


@dataclass(frozen=True)
class _Drawn:
    """Errors in multiples of each input's scale, by key: of now, of the next time, and those it is judged by."""

    gone: Mapping[str, Array]
    new: Mapping[str, Array]
    left: Mapping[str, Array]


@lru_cache(maxsize=4)
def _drawn(law: Law) -> _Drawn:
    """The same draws for each remedy, so that what separates two of them is not chance."""
    generator = np.random.Generator(np.random.PCG64(SEED))
    steps = _primes()
    gone, new = (_units(law.inputs, generator, NEXT, steps) for _ in range(2))
    return _Drawn(gone, new, _units(law.inputs, generator, JUDGED, _primes()))


def _primes() -> Iterator[int]:
    found: list[int] = []
    for number in itertools.count(2):
        if all(number % prime for prime in found):
            found.append(number)
            yield number


def _units(
    inputs: Sequence[Input], generator: np.random.Generator, count: int, steps: Iterator[int]
) -> dict[str, Array]:
    """Draws that lie evenly, each with its opposite, in multiples of the input's scale; equal keys are one error.

    Source:
        RICHTMYER, the multiples of square roots of primes, less their whole parts.
    """
    series: dict[str, Array] = {}
    found: dict[str, Array] = {}
    for one in inputs:
        if one.key in found or one.u == 0.0:
            continue
        if one.group:
            half = one.unit_errors(generator, count // 2, series)
        else:
            ordered = np.sort(one.unit_errors(generator, FINE * count // 2, series))
            ordered = 0.5 * (ordered - ordered[::-1])
            evenly = np.modf(np.arange(1, count // 2 + 1) * math.sqrt(next(steps)) + 0.5)[0]
            half = ordered[(evenly * len(ordered)).astype(int)]
        found[one.key] = np.concatenate([half, -half])
    return found


def _shares(true: Array, band: Band) -> tuple[float, float]:
    possible = np.isfinite(true)
    lower = -math.inf if band.lower is None else band.lower
    upper = math.inf if band.upper is None else band.upper
    count = np.sum(possible, axis=1)
    known = count > 0
    inside = np.sum(possible & (true >= lower) & (true <= upper), axis=1)[known] / count[known]
    clear = clear_from(band.rule)
    return float(np.mean(inside >= clear)), float(np.mean(inside <= 1.0 - clear))
