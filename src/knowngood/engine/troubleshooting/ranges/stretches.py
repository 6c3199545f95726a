"""How far a chance, a price or a word may move before something else is the best to do next."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from knowngood.engine.troubleshooting.belief.posterior import Finding, believe
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.policy.exact import Policy
from knowngood.engine.troubleshooting.policy.moves import Action, Kind, after_repairs, mass, price, remaining, start
from knowngood.engine.troubleshooting.policy.tree import Tree, cost_elsewhere, grow
from knowngood.engine.troubleshooting.ranges.numbers import Number
from knowngood.engine.troubleshooting.ranges.scan import Best, scan

# Ours: how often one number is solved anew at the most.
MOST_SOLVED = 16
# A value that differs by less than this share, the last digits of the scan's own steps, is the same.
SAME = 1e-12


@dataclass(frozen=True)
class Stretch:
    """A stretch of a number over which one action is the best to do next.

    Args:
        action: The action.
        low: Where the stretch begins.
        high: Where it ends.
        proved: Nothing else is better anywhere in it; False where looking was cut short.
    """

    action: Action
    low: float
    high: float
    proved: bool


@dataclass(frozen=True)
class Range:
    """What a number, all others as they are, makes the best to do next.

    Args:
        number: The number.
        action: The next action as it stands.
        stretches: From the lowest to the highest value looked at.
        loss: The most that doing the next action as it stands can cost too much, of the places solved. [money]
    """

    number: Number
    action: Action
    stretches: tuple[Stretch, ...]
    loss: float

    @property
    def stays(self) -> tuple[Stretch, ...]:
        """The stretches over which the next action stays the best; there may be several."""
        return tuple(one for one in self.stretches if one.action == self.action)

    @property
    def changes(self) -> bool:
        """Somewhere in it something else is the best to do next."""
        return any(one.action != self.action for one in self.stretches)


def ranges(
    problem: Problem, numbers: Iterable[Number], findings: Sequence[Finding] = (), *, most: int = MOST_SOLVED
) -> Iterator[Range]:
    """Yield for each number over which of its values the next action stays the best, all others as they are.

    What a policy costs, times the chance of the findings, is straight in any one number of a problem, for a test or
    repair is done once at the most; so the stretches are exact, see `scan`.

    Args:
        problem: As it was stated, or with the chances after the findings; small enough for `Policy`.
        numbers: Some of its own, see `numbers`.
        findings: What was found and is not in its chances yet. The chances then meant are those before them.
        most: How often to solve for each number at the most.

    Raises:
        ValueError: There is no quote, or the problem is too large.

    Example:
        >>> from knowngood.engine.troubleshooting.model.amounts import Chance, Price
        >>> from knowngood.engine.troubleshooting.model.parts import Quote, Repair
        >>> from knowngood.engine.troubleshooting.ranges.numbers import chances
        >>> from knowngood.engine.troubleshooting.model.problem import suspects
        >>> relay = Repair("relay", "replace the relay", {"relay": Chance(1.0)}, Price(20.0))
        >>> no_start = Problem(suspects({"relay": 1}, other=0.4), (), (relay,), quote=Quote(Price(100.0)))
        >>> found = next(ranges(no_start, chances(no_start)))
        >>> [(one.action.keys, round(one.low, 6), round(one.high, 6)) for one in found.stretches]
        [((), 0.0, 0.2), (('relay',), 0.2, 1.0)]
    """
    here = _Solved(_left(problem, findings))
    for number in numbers:
        if number.low < number.high:
            yield _range(number, here, findings, most)


def worth_asking(found: Iterable[Range]) -> list[Range]:
    """Return the words whose doubt changes what to do next, the one that could cost most first."""
    return sorted((one for one in found if one.changes), key=lambda one: -one.loss)


def _left(problem: Problem, findings: Sequence[Finding]) -> Problem:
    return remaining(problem, findings) if findings else problem


@dataclass(frozen=True)
class _Solved:
    """A problem with its best policy."""

    problem: Problem

    @cached_property
    def policy(self) -> Policy:
        return Policy(self.problem)

    @cached_property
    def tree(self) -> Tree:
        return grow(self.problem, self.policy.next)

    @cached_property
    def dearer(self) -> dict[Action, float]:
        return _dearer(self.policy)

    def loss(self, action: Action) -> float:
        """What it costs to do an action next, and all after it as well as can be, beyond the best. [money]

        Where a check costs nothing, repairs that share one are no choice of the policy's, but can be done all the same.
        """
        return self.dearer[action] if action in self.dearer else max(0.0, self._repairs(action) - self.policy.cost)

    def _repairs(self, action: Action) -> float:
        before = start(self.problem)
        after = after_repairs(self.problem, before, action.keys)
        own, left = self.problem.cost(price(self.problem, before, action)), float(mass(self.problem, after).sum())
        share = left / float(mass(self.problem, before).sum())
        return own + (share * self.policy.cost_at(after) if share else 0.0)


def _range(number: Number, here: _Solved, findings: Sequence[Finding], most: int) -> Range:
    """What one number makes the best to do next; `here` is the problem as it stands, solved once for all numbers."""
    actions: dict[str, Action] = {}
    losses = [0.0]

    def at(value: float) -> tuple[Problem, float]:
        """The problem there, and the chance of the findings, which makes its costs straight."""
        stated = number.changed(value)
        return _left(stated, findings), believe(stated, findings).explained

    ends = [at(number.low), at(number.high)]

    def solve(value: float) -> Best:
        problem, explained = at(value)
        solved = here if math.isclose(value, number.value, rel_tol=SAME) else _Solved(problem)
        best = solved.tree.action
        word = _word(best)
        actions[word] = best
        losses.append(solved.loss(here.tree.action))
        cost = solved.policy.cost
        rivals = {_word(one): (cost + more) * explained for one, more in solved.dearer.items() if one != best}
        low, high = (cost_elsewhere(solved.tree, end) * share for end, share in ends)
        return Best(word, low, high, rivals)

    spans = scan(solve, number.low, number.high, most=most, around=number.value)
    stretches = tuple(Stretch(actions[one.action], one.low, one.high, one.proved) for one in spans)
    return Range(number, here.tree.action, stretches, max(losses))


def _word(action: Action) -> str:
    return " ".join((action.kind, *action.keys))


def _dearer(policy: Policy) -> dict[Action, float]:
    """Return for each action what it costs to do it next, and all after it as well as can be, beyond the best."""
    problem = policy.problem
    found = {choice.action: max(0.0, choice.cost - policy.cost) for choice in policy.choices()}
    for test in problem.tests:
        action = Action(Kind.TEST, (test.key,))
        if test.safe and action not in found:  # it tells nothing there, and is paid for nothing
            found[action] = problem.cost(problem.own_price(test))
    return found
