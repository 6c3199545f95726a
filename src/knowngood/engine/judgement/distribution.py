"""Normal and Student's t without SciPy: importing it would cost a terminal verdict more than the verdict itself."""

import math
from collections.abc import Callable
from functools import lru_cache
from statistics import NormalDist

import numpy as np

_STANDARD = NormalDist()
# Ours: beyond this many degrees of freedom t and normal differ by less than 1e-5 in probability.
NORMAL_FROM_DOF = 20_000


def normal_cdf(x: float) -> float:
    """Return the probability below x of a normal with mean 0 and deviation 1."""
    return 0.5 * math.erfc(-x / math.sqrt(2.0))


def t_cdf(x: float, degrees_of_freedom: float) -> float:
    """Return the probability below x of Student's t.

    Args:
        x: Where. [1]
        degrees_of_freedom: At least 1; truncated to the next lower whole number, as GUM G.6.4 advises.

    Returns:
        Probability from 0 to 1.

    Raises:
        ValueError: Fewer than one degree of freedom.

    Source:
        AS_26_7, 26.7.3 and 26.7.4, closed sums for whole degrees of freedom.
        GUM, G.6.4, truncation.

    Example:
        >>> round(t_cdf(2.92, 2), 3)
        0.95
    """
    if degrees_of_freedom >= NORMAL_FROM_DOF:
        return normal_cdf(x)
    dof = math.floor(degrees_of_freedom + 1e-9)
    if dof < 1:
        raise ValueError(
            f"{degrees_of_freedom:g} degrees of freedom; Student's t needs at least 1. Take two readings or more."
        )
    angle = math.atan(x / math.sqrt(dof))
    sine, cosine = math.sin(angle), math.cos(angle)
    if dof == 1:
        inside = 2.0 * angle / math.pi
    elif dof % 2:
        even = np.arange(2.0, dof - 2.0, 2.0)
        terms = cosine * np.cumprod(np.concatenate([[1.0], even / (even + 1.0) * cosine**2]))
        inside = 2.0 / math.pi * (angle + sine * float(terms.sum()))
    else:
        odd = np.arange(1.0, dof - 2.0, 2.0)
        inside = sine * float(np.cumprod(np.concatenate([[1.0], odd / (odd + 1.0) * cosine**2])).sum())
    return min(1.0, max(0.0, 0.5 * (1.0 + inside)))  # far out, rounding passes the end


@lru_cache(maxsize=256)
def t_quantile(probability: float, degrees_of_freedom: float) -> float:
    """Return x with t_cdf(x) = probability.

    Raises:
        ValueError: A probability that is not between 0 and 1.

    Example:
        >>> round(t_quantile(0.97725, 5), 2)
        2.65
    """
    if not 0.0 < probability < 1.0:
        raise ValueError(f"a probability of {probability:g} has no quantile; it lies between 0 and 1.")
    if degrees_of_freedom >= NORMAL_FROM_DOF:
        return _STANDARD.inv_cdf(probability)
    reach = 1.0
    while t_cdf(reach, degrees_of_freedom) < max(probability, 1.0 - probability):
        reach *= 2.0
    return bisect(lambda x: t_cdf(x, degrees_of_freedom) - probability, -reach, reach)


def bisect(rising: Callable[[float], float], low: float, high: float) -> float:
    """Return where a rising function crosses zero between low and high, to the last digits."""
    for _ in range(200):
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        if rising(middle) < 0.0:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)
