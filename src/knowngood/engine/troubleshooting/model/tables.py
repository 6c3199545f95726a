"""The numbers of a problem as arrays, in the order of its causes, tests and repairs."""

from dataclasses import dataclass

import numpy as np

from knowngood.engine.troubleshooting.model.parts import Test
from knowngood.engine.troubleshooting.model.problem import Floats, Problem

__all__ = ["Floats", "Tables", "fixes", "given", "prior", "tables"]


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
    return problem.prior.copy()


def given(problem: Problem, test: Test) -> Floats:
    """Return the chance of each outcome (row) with each cause (column); not to be written to."""
    return problem.given[test.key]


def fixes(problem: Problem) -> Floats:
    """Return how surely each repair (row) fixes each cause (column); not to be written to."""
    return problem.fixes


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
