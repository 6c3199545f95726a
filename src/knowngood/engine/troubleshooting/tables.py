"""The numbers of a problem as arrays, in the order of its causes, tests and repairs."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from knowngood.engine.troubleshooting.model import Test
from knowngood.engine.troubleshooting.problem import Problem

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Tables:
    """A problem in numbers.

    Args:
        prior: For each cause.
        given: For each test, the chance of each outcome (row) with each cause (column).
        fixes: How surely each repair (row) fixes each cause (column).
        shop_money: What handing over costs with each cause. [money]
        shop_minutes: The person's own time for it. [min]
    """

    prior: Floats
    given: tuple[Floats, ...]
    fixes: Floats
    shop_money: Floats
    shop_minutes: Floats


def prior(problem: Problem) -> Floats:
    """Return the chance of each cause before any test, adding up to 1 to the last digit."""
    stated: Floats = np.array([cause.chance.value for cause in problem.causes])
    stated /= stated.sum()
    return stated


def given(problem: Problem, test: Test) -> Floats:
    """Return the chance of each outcome (row) with each cause (column)."""
    rows = np.array([[one.value for one in test.row(cause.key)] for cause in problem.causes])
    return np.ascontiguousarray((rows / rows.sum(axis=1, keepdims=True)).T)


def fixes(problem: Problem) -> Floats:
    """Return how surely each repair (row) fixes each cause (column)."""
    found = np.zeros((len(problem.repairs), len(problem.causes)))
    for row, repair in enumerate(problem.repairs):
        for column, cause in enumerate(problem.causes):
            if cause.key in repair.fixes:
                found[row, column] = repair.fixes[cause.key].value
    return found


def tables(problem: Problem) -> Tables:
    """Return the whole problem in numbers.

    Raises:
        ValueError: There is no quote.
    """
    shop = [problem.shop.for_cause(cause.key) for cause in problem.causes]
    return Tables(
        prior(problem),
        tuple(given(problem, test) for test in problem.tests),
        fixes(problem),
        np.array([price.money for price in shop]),
        np.array([price.minutes for price in shop]),
    )
