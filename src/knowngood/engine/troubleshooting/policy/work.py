"""How much work an exact solution takes, and problems cut down so that it takes less."""

from collections.abc import Set as AbstractSet
from dataclasses import replace

from knowngood.engine.troubleshooting.model.amounts import FREE
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.policy.lattice import fits
from knowngood.engine.troubleshooting.policy.shape import Shape

# Ours: a call of the array library takes about as long as this many additions.
CALL = 5_000


def work(problem: Problem) -> int:
    """Return about how many additions an exact solution takes."""
    shape = Shape(problem)
    count = len(shape.repairs)
    shared = count if problem.check != FREE else sum(one.needs_closed_check for one in shape.repairs)
    subsets: int = 2**count
    batches: int = 3**shared * 2 ** (count - shared)
    return len(shape.off) * (shape.states + CALL) * (batches + (count + len(shape.tests)) * subsets)


def small(problem: Problem, most_work: int) -> bool:
    """Tell whether a problem can be solved exactly with so much work at the most."""
    return work(problem) <= most_work and fits(problem)


def only(problem: Problem, keys: AbstractSet[str]) -> Problem:
    """Return a problem with these tests and repairs only."""
    gone = (problem.test_of.keys() | problem.repair_of.keys()) - keys
    return replace(
        problem,
        tests=tuple(one for one in problem.tests if one.key in keys),
        repairs=tuple(one for one in problem.repairs if one.key in keys),
        free=problem.free - gone,
    )
