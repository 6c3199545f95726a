"""What the next estimate would be once something is done, drawn from the shapes of today's errors."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np

from knowngood.engine.judgement.band import Band, clear_from
from knowngood.engine.judgement.estimate import LEVELS, Estimate, Row
from knowngood.engine.judgement.inputs import PER_HALF_WIDTH, Array, Input, Shape

# Ours: a chance drawn from so many is off by .01 at most, one in three times; shown in whole percent.
DRAWS, SEED = 8192, 23
HALF = DRAWS // 2
# Ours: of one and the same law so many draws differ by less than .01 in probability.
SUMMED = 40_000
# For readings that are made again, each draw has a doubt of its own, held against so many draws of all others.
OTHERS = 512
# Ours: two sizes that rounding alone keeps apart.
SAME = 1.0 + 1e-9
# Ours: degrees of freedom that are as good as all.
MANY = 1e6


def drawn_chances(
    estimate: Estimate,
    band: Band,
    after: Mapping[str, float],
    *,
    scaled: Mapping[str, float] | None = None,
    repeats: tuple[int, int] | None = None,
    grid: float = 0.0,
) -> tuple[float, float]:
    """Return the chances of a clear "within" and a clear "out" once some rows have changed.

    Today's errors are drawn from their rows. Those that go leave the next value, those that come enter it; it is then
    judged with the doubt that is left. Of readings made again the true scatter is not known: it is drawn from what is
    known of it, and what they will show of it is drawn from that.

    Args:
        estimate: What is known now.
        band: What is allowed.
        after: Row key to its standard contribution afterwards, another error than today's. [unit]
        scaled: Row key to how many times today's the same error counts afterwards.
        repeats: How many readings there were, and how many more are made; the scatter's rows follow from that.
        grid: In which steps the value can move, which is then what errors of the step stand for; 0 in any. [unit]

    Returns:
        Chance of within, chance of out.

    Source:
        JCGM_106, 7, and JCGM_101, 6.4, applied to the value that the next measurement would give.
    """
    band = _straightened(estimate, band)
    generator = np.random.Generator(np.random.PCG64(SEED))
    factors = scaled or {}
    again = [row for row in estimate.rows if repeats and row.key in after and row.key.endswith("/scatter")]
    anew = {row.key for row in again}
    gone = [row for row in estimate.rows if row.key in after and row.key not in anew]
    come = coming(estimate, {key: size for key, size in after.items() if key not in anew})
    stay = [_times(row, factors.get(row.key, 1.0)) for row in estimate.rows if row.key not in after]
    grown = [_times(row, factors.get(row.key, 1.0) - 1.0) for row in estimate.rows if row.key not in after]
    enter = [row for row in come if not (grid and _of_step(row, grid))]
    moved = _rounded(_sum([*gone, *enter, *grown], generator), grid)
    left = row_errors([*stay, *come], generator)
    if not again or repeats is None:
        return _shares(_inside(estimate.value + _both_ways(moved), left, band), band)
    shift, doubt, dof = _all_made_again(again, repeats, generator)
    errors = _both_ways(generator.standard_t(dof, OTHERS // 2))
    values = estimate.value + _both_ways(moved + shift)
    true = values - (generator.choice(left, OTHERS)[:, None] + np.tile(doubt, 2) * errors[:, None])
    lower = -math.inf if band.lower is None else band.lower
    upper = math.inf if band.upper is None else band.upper
    return _shares(np.mean((true >= lower) & (true <= upper), axis=0), band)


@lru_cache(maxsize=8)
def summed(rows: tuple[Row, ...]) -> Array:
    """Return so many draws of what rows sum up to, about zero and in order. [unit]"""
    return np.sort(row_errors(rows, np.random.Generator(np.random.PCG64(SEED)), SUMMED))


def _straightened(estimate: Estimate, band: Band) -> Band:
    """The limits where the sum of the rows reaches them as often as the kept quantiles do; as they are without any.

    A formula that is far from straight turns what the rows sum up to into its value: limits are brought back through
    that, so that today's probability, and that of a remedy which moves nothing, is the one that is told.
    """
    kept = estimate.quantiles
    if kept is None:
        return band
    straight = estimate.value + np.quantile(summed(estimate.rows), LEVELS)

    def back(limit: float | None) -> float | None:
        """A limit beyond what is kept stays as far beyond it."""
        if limit is None:
            return None
        inner = min(max(limit, kept[0]), kept[-1])
        return float(np.interp(inner, kept, straight)) + limit - inner

    lower, upper = back(band.lower), back(band.upper)
    return replace(band, lower=lower, upper=upper)


def _of_step(row: Row, grid: float) -> bool:
    """Is this what a display's step hides: its own error, or a rectangle no wider than that?"""
    return row.key.endswith("/step") or abs(row.contribution) <= 0.5 * grid * PER_HALF_WIDTH[Shape.RECTANGULAR] * SAME


def _rounded(moved: Array, grid: float) -> Array:
    return np.asarray(grid * np.round(moved / grid)) if grid else moved


def _both_ways(errors: Array) -> Array:
    """Each draw with its opposite, so that neither side is favoured by chance."""
    return np.concatenate([errors, -errors])


def made_again(
    size: float, degrees_of_freedom: float, repeats: tuple[int, int], generator: np.random.Generator, count: int = HALF
) -> tuple[Array, Array, float]:
    """Return how far a mean will move, its doubt then, and the degrees of freedom of that, for draws of the scatter.

    With n readings now and m more, of which the true standard deviation is drawn by what is known of it, the mean
    moves by m / (n + m) of how far the two means lie apart; the pooled sum of squares grows by that of the new ones
    among themselves and by n m / (n + m) of that distance squared.

    Args:
        size: Standard uncertainty of the mean by its scatter, as it is now.
        degrees_of_freedom: How well that is known.
        repeats: How many readings there were, and how many more are made.
        generator: Draws.
        count: How many.
    """
    had, more = repeats
    known = min(degrees_of_freedom, MANY)
    of_mean = abs(size) * np.sqrt(known / generator.chisquare(known, count))
    apart = of_mean * (math.sqrt(had / more) * generator.standard_normal(count) - generator.standard_normal(count))
    among = had * of_mean**2 * (generator.chisquare(more - 1, count) if more > 1 else 0.0)
    squares = known * had * size**2 + among + had * more / (had + more) * apart**2
    return more / (had + more) * apart, np.sqrt(squares / (known + more) / (had + more)), known + more


def _all_made_again(
    rows: list[Row], repeats: tuple[int, int], generator: np.random.Generator
) -> tuple[Array, Array, float]:
    """The same of several rows together."""
    each = [made_again(row.contribution, row.degrees_of_freedom, repeats, generator) for row in rows]
    shift = sum((moved for moved, _, _ in each), np.zeros(HALF))
    doubt = np.sqrt(sum((left**2 for _, left, _ in each), np.zeros(HALF)))
    return shift, doubt, min(dof for _, _, dof in each)


def coming(estimate: Estimate, after: Mapping[str, float]) -> list[Row]:
    """Return errors as they are afterwards: bounded where today's is, and where an instrument brings it."""
    rows = {row.key: row for row in estimate.rows}
    return [Row(key, size, shape=_shape(rows.get(key), key)) for key, size in after.items() if size]


def _shape(row: Row | None, key: str) -> Shape:
    if row is not None:
        return row.shape if row.shape in PER_HALF_WIDTH else Shape.NORMAL
    return Shape.RECTANGULAR if key.startswith("meter:") or key.endswith(("/digits", "/step")) else Shape.NORMAL


def _times(row: Row, factor: float) -> Row:
    return Row(row.key, factor * row.contribution, row.degrees_of_freedom, row.shape)


def row_errors(rows: Sequence[Row], generator: np.random.Generator, count: int = DRAWS) -> Array:
    """Draws of what rows sum up to, about zero, each with its opposite. [unit]"""
    return _both_ways(_sum(rows, generator, count // 2))


def _sum(rows: Sequence[Row], generator: np.random.Generator, count: int = HALF) -> Array:
    return sum((_errors(row, generator, count) for row in rows), np.zeros(count))


def _errors(row: Row, generator: np.random.Generator, count: int) -> Array:
    """Draws of an error about zero. [unit]"""
    size, bounded = abs(row.contribution), row.shape in PER_HALF_WIDTH
    one = Input(
        row.key, 0.0, row.shape, size / PER_HALF_WIDTH[row.shape] if bounded else None,
        standard_uncertainty=None if bounded else size, degrees_of_freedom=max(1.0, row.degrees_of_freedom),
    )  # fmt: skip
    return one.scale * one.unit_errors(generator, count, {})


def _inside(values: Array, left: Array, band: Band) -> Array:
    """Probability of each value's being inside, judged with the doubt that is left."""
    ordered = np.sort(left)

    def below(x: Array) -> Array:
        return np.searchsorted(ordered, x, side="right") / len(ordered)

    over_lower = below(values - band.lower) if band.lower is not None else np.ones(len(values))
    over_upper = below(values - band.upper) if band.upper is not None else np.zeros(len(values))
    return np.asarray(over_lower - over_upper)


def _shares(inside: Array, band: Band) -> tuple[float, float]:
    clear = clear_from(band.rule)
    return float(np.mean(inside >= clear)), float(np.mean(inside <= 1.0 - clear))
