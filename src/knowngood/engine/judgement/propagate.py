"""From a formula and its inputs to an Estimate: the linear law, with seeded Monte Carlo beside it."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from knowngood.engine.judgement.estimate import LEVELS, Estimate, Row, merged
from knowngood.engine.judgement.inputs import Array, Formula, Input, Law

# Ours: the step vanishes beside any value, so the derivative is exact to rounding; and of a normal distribution so many
# draws give the 95th percentile with a standard error of .005 of its standard deviation.
COMPLEX_STEP = 1e-30
DRAWS = 200_000
# Ours, as the largest distance in probability: 200 000 draws of one and the same law differ by more once in 10 000
# times, and it is a quarter of the .02 from which a difference is stated.
NEAR_NORMAL = 0.005
# Ours: where more than half of the draws have no value, the inputs and not their tails are wrong.
LEAST_POSSIBLE = 0.5


def propagate(formula: Formula, inputs: Sequence[Input], *, unit: str, seed: int, draws: int = DRAWS) -> Estimate:
    """Return what a formula makes of its inputs, with a row for each of their errors that has a size.

    Args:
        formula: Takes the inputs' values in order. One formula serves floats, complex numbers and arrays: plain
            arithmetic and numpy functions, no branches, no abs, min or max.
        inputs: Quantities; equal keys are one error and must agree in shape.
        unit: Unit of the result.
        seed: Of the Monte Carlo draws.
        draws: Number of Monte Carlo draws. Draws for which the formula has no value, such as the logarithm of a
            resistance below zero, cannot be what was measured: they are left out, and the others stand for all.

    Returns:
        The estimate; it keeps 199 quantiles when Monte Carlo is not near the linear law.

    Raises:
        ValueError: The formula loses the imaginary part, or gives no finite value at the best values or for most draws.

    Source:
        GUM, 5.1.2, linear law.
        JCGM_101, 7, Monte Carlo.

    Example:
        >>> def area(width, height): return width * height
        >>> sides = [Input("w", 3.0, standard_uncertainty=0.1), Input("h", 4.0, standard_uncertainty=0.1)]
        >>> found = propagate(area, sides, unit="mm²", seed=1)
        >>> found.value, found.standard_uncertainty
        (12.0, 0.5)
    """
    estimate = linear(formula, inputs, unit=unit)
    quantiles = _quantiles(formula, inputs, seed, draws)
    apart = max(abs(estimate.linear_below(x) - level) for x, level in zip(quantiles, LEVELS, strict=True))
    estimate = replace(estimate, law=Law(formula, tuple(inputs)))
    return estimate if apart <= NEAR_NORMAL else replace(estimate, quantiles=quantiles)


def linear(formula: Formula, inputs: Sequence[Input], *, unit: str) -> Estimate:
    """Return what `propagate` does, by the linear law alone.

    Raises:
        ValueError: The formula loses the imaginary part, or gives no finite value.

    Source:
        GUM, 5.1.2.
    """
    value = float(formula(*(one.value for one in inputs)))
    if not np.isfinite(value):
        raise ValueError(f"the formula gives {value} for these inputs; look for a reading or a temperature far off.")
    slopes = sensitivities(formula, inputs)
    rows = merged(_row(one, slope) for one, slope in zip(inputs, slopes, strict=True) if one.u > 0.0)
    return Estimate(value, unit, rows)


def _row(one: Input, slope: float) -> Row:
    return Row(
        one.key,
        slope * one.u,
        one.degrees_of_freedom,
        one.shape,
        assumed=one.assumed,
        remedies=one.remedies,
        name=one.name or one.key,
        input_uncertainty=one.u,
        group=one.group,
    )


def sensitivities(formula: Formula, inputs: Sequence[Input]) -> list[float]:
    """Partial derivatives by the complex step, exact to rounding.

    Raises:
        ValueError: The formula loses the imaginary part of an input that matters.
    """
    return [_slope(formula, inputs, index) for index in range(len(inputs))]


def _slope(formula: Formula, inputs: Sequence[Input], index: int) -> float:
    arguments: list[Any] = [one.value for one in inputs]
    arguments[index] += COMPLEX_STEP * 1j
    try:
        result = formula(*arguments)
    except TypeError as error:
        raise ValueError(_dropped(inputs[index])) from error
    if np.iscomplexobj(result):
        return float(np.imag(result)) / COMPLEX_STEP
    if _matters(formula, inputs, index):
        raise ValueError(_dropped(inputs[index]))
    return 0.0


def _matters(formula: Formula, inputs: Sequence[Input], index: int) -> bool:
    """Does moving an input by its own uncertainty either way move the result?"""
    arguments = [one.value for one in inputs]
    here = formula(*arguments)
    step = inputs[index].u or 1.0
    return any(
        formula(*arguments[:index], moved, *arguments[index + 1 :]) != here
        for moved in (arguments[index] - step, arguments[index] + step)
    )


def _dropped(one: Input) -> str:
    return (
        f"{one.name or one.key}: the formula cannot carry a complex number through; "
        "abs, min, max, float and comparisons are not allowed in it. Write it with plain arithmetic."
    )


def _quantiles(formula: Formula, inputs: Sequence[Input], seed: int, draws: int) -> tuple[float, ...]:
    with np.errstate(all="ignore"):  # what is not finite is left out below
        results = np.asarray(formula(*_drawn(inputs, seed, draws)), dtype=float)
    results = np.broadcast_to(results, (draws,))
    possible = results[np.isfinite(results)]
    if len(possible) < LEAST_POSSIBLE * draws:
        raise ValueError(
            "what was read says too little: most of what it may mean is nothing that can be. Read it again, and look "
            "whether all units are right."
        )
    return tuple(np.quantile(possible, LEVELS).tolist())


def _drawn(inputs: Sequence[Input], seed: int, draws: int) -> list[float | Array]:
    """Values with errors drawn; inputs with equal keys share their draws, those of one group how far off all are."""
    generator = np.random.Generator(np.random.PCG64(seed))
    found: dict[str, tuple[Input, Array]] = {}
    series: dict[str, Array] = {}
    arguments: list[float | Array] = []
    for one in inputs:
        if one.u == 0.0:
            arguments.append(one.value)
            continue
        if one.key not in found:
            found[one.key] = one, one.unit_errors(generator, draws, series)
        first, errors = found[one.key]
        if (first.shape, first.degrees_of_freedom) != (one.shape, one.degrees_of_freedom):
            raise ValueError(f"{one.key}: one error stated with two shapes; state it alike wherever it occurs.")
        arguments.append(one.value + one.scale * errors)
    return arguments
