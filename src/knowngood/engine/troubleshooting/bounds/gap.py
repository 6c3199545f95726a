"""What to do next in a problem too large to be solved exactly: an answer at once, and how far from the best it can be.

From above: the average cost of a policy that can be followed, see `shortlist`. Leaving out what could be done never
makes the best cheaper. From below: someone tells for nothing which group of suspects it is, see `groups`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf

from knowngood.engine.troubleshooting.bounds.groups import below
from knowngood.engine.troubleshooting.bounds.shortlist import Plan, above
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.policy.exact import Policy
from knowngood.engine.troubleshooting.policy.lattice import fits
from knowngood.engine.troubleshooting.policy.moves import Action
from knowngood.engine.troubleshooting.policy.outlook import Choose
from knowngood.engine.troubleshooting.policy.tree import Tree, grow

# Ours: additions that one exact solution may take, about a second's work on a plain computer.
MOST_WORK = 30_000_000
# Two costs are the same when they differ by the last digits of a sum only.
SAME = 1.0 + 1e-9


@dataclass(frozen=True)
class Answer:
    """The best policy that was found, and what is proved of it.

    Args:
        lower: No policy can cost less on average. [money]
        tree: The policy, whole.
        choose: The same as a rule from a state to what is done there.
        way: How it was found, such as "one step ahead".
        steps: How many pieces of work it took.
    """

    lower: float
    tree: Tree
    choose: Choose
    way: str
    steps: int

    @property
    def upper(self) -> float:
        """What the policy costs on average. [money]"""
        return self.tree.expected_cost

    @property
    def action(self) -> Action:
        """What to do first."""
        return self.tree.action

    @property
    def proved_gap(self) -> float:
        """How much dearer than the best the policy can be at most, as a share of the best; 0 when it is the best."""
        if self.upper <= self.lower * SAME:
            return 0.0
        return self.upper / self.lower - 1.0 if self.lower > 0.0 else inf


def narrow(problem: Problem, *, steps: int, most_work: int = MOST_WORK) -> Iterator[Answer]:
    """Yield an answer at once, then better ones: never dearer, never less proved.

    Where the problem can be solved exactly, the second answer is the best there is. The same problem gives the same
    answers each time; the clock has no say.

    Args:
        problem: Causes, tests, repairs, covers, and the quote.
        steps: Pieces of work at the most; the first answer is one.
        most_work: How large a piece may be.

    Raises:
        ValueError: There is no quote.

    Example:
        >>> from knowngood.engine.troubleshooting.model.amounts import Chance, Price
        >>> from knowngood.engine.troubleshooting.model.parts import Quote, Repair
        >>> from knowngood.engine.troubleshooting.model.problem import suspects
        >>> relay = Repair("relay", "replace the relay", {"relay": Chance(1.0)}, Price(20.0))
        >>> no_start = Problem(suspects({"relay": 1}, other=0.25), (), (relay,), quote=Quote(Price(100.0)))
        >>> [(answer.lower, answer.upper, answer.way) for answer in narrow(no_start, steps=9)][-1]
        (45.0, 45.0, 'the best')
    """
    plans, bounds = above(problem, most_work), below(problem, most_work)
    best = _with(next(plans), next(bounds), 1)
    yield best
    if steps > 1 and fits(problem):
        exact = Policy(problem)
        yield Answer(exact.cost, grow(problem, exact.next), exact.next, "the best", 2)
        return
    for count in range(2, steps + 1):
        found, lower = next(plans, None), next(bounds, None)
        if found is None and lower is None:
            return
        best = _with(found or best, max(best.lower, lower or 0.0), count)
        yield best


def _with(plan: Plan | Answer, lower: float, steps: int) -> Answer:
    return Answer(lower, plan.tree, plan.choose, plan.way, steps)
