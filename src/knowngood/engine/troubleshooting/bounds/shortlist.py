"""From above: policies that can be followed, from a rule of thumb to exact ones with the options that count."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from knowngood.engine.troubleshooting.model.amounts import Chance
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.model.tables import tables
from knowngood.engine.troubleshooting.policy.exact import Policy
from knowngood.engine.troubleshooting.policy.moves import Action, State, mass, start
from knowngood.engine.troubleshooting.policy.myopic import ByRatio, Myopic
from knowngood.engine.troubleshooting.policy.outlook import Choose
from knowngood.engine.troubleshooting.policy.shape import Shape
from knowngood.engine.troubleshooting.policy.tree import Tree, grow
from knowngood.engine.troubleshooting.policy.work import only, small

# Ours: where fewer than 1 of 500 get to, no test is weighed any more; it is weighed when one gets there.
LEAST_WEIGHED = 0.002
# Ours: a branch that fewer than 1 of 100 take is not worth a solution of its own.
LEAST_SOLVED = 0.01
# A policy must be cheaper by more than the last digits of a sum to count as cheaper.
CHEAPER = 1.0 - 1e-9


@dataclass(frozen=True)
class Plan:
    """A policy that can be followed.

    Args:
        tree: Written out, whole.
        choose: As a rule from a state to what is done there.
        way: How it was found.
    """

    tree: Tree
    choose: Choose
    way: str


def above(problem: Problem, most_work: int) -> Iterator[Plan]:
    """Yield policies, none dearer than the one before it.

    Repairs by chance over cost; one step ahead; then, beginning with what most get to, branch by branch the exact best
    with a shortlist of what the policy so far does there.

    Args:
        problem: Causes, tests, repairs, covers, and the quote.
        most_work: How large an exact solution may be.

    Raises:
        ValueError: There is no quote.
    """
    best = _grown(problem, ByRatio(problem).next, "chance over cost")
    yield best
    best = _cheaper(best, _grown(problem, Myopic(problem, least=LEAST_WEIGHED).next, "one step ahead"))
    yield best
    done = set[State]()
    while True:
        state = _next_branch(best.tree, done)
        if state is None:
            return
        done.add(state)
        choose = _patched(best.choose, state, _exact_there(problem, best.tree, state, most_work))
        best = _cheaper(best, _grown(problem, choose, "the best of a shortlist, branch by branch"))
        yield best


def _cheaper(best: Plan, other: Plan) -> Plan:
    return other if other.tree.expected_cost < best.tree.expected_cost * CHEAPER else best


def _grown(problem: Problem, choose: Choose, way: str) -> Plan:
    return Plan(grow(problem, choose), choose, way)


def _next_branch(tree: Tree, done: set[State]) -> State | None:
    """Return where most get to of what was not solved yet; the start first, even where all is handed over at once."""
    begin = start(tree.problem)
    left = [step for step in tree.steps if step.state not in done and step.chance >= LEAST_SOLVED]
    return max(left, key=lambda step: step.chance).state if left else None if begin in done else begin


def _exact_there(problem: Problem, tree: Tree, state: State, most_work: int) -> Policy:
    """Solve what is left at a state, with the tests and repairs that the policy so far is likeliest to come to."""
    left = _left_at(problem, state)
    below = next((step for step in tree.steps if step.state == state), tree.root)
    kept = frozenset[str]()
    for key in _options(left, Tree(left, below)):
        if small(only(left, kept | {key}), most_work):
            kept |= {key}
    return Policy(only(left, kept))


def _left_at(problem: Problem, state: State) -> Problem:
    chances = mass(problem, state)
    chances /= chances.sum()
    done = {key for key, _ in state.shown} | state.tried
    left = only(problem, (problem.test_of.keys() | problem.repair_of.keys()) - done)
    causes = [replace(one, chance=Chance(float(chance))) for one, chance in zip(problem.causes, chances, strict=True)]
    return replace(left, causes=tuple(causes), open_already=state.off, begun=True)


def _options(problem: Problem, tree: Tree) -> list[str]:
    """Keys of repairs and tests by turns, first what a policy is likeliest to come to, then what promises most."""
    shape, numbers = Shape(problem), tables(problem)
    chances = numbers.prior
    tells = {test.key: float(np.abs(rows - (rows @ chances)[:, None]).sum(axis=0) @ chances)
             for test, rows in zip(problem.tests, numbers.given, strict=True)}  # fmt: skip
    mends = {one.key: float(row @ chances) for one, row in zip(problem.repairs, numbers.fixes, strict=True)}
    tests = sorted([one.key for one in shape.tests], key=lambda key: (-tree.chance_of(key), -tells[key]))
    repairs = sorted([one.key for one in shape.repairs], key=lambda key: (-tree.chance_of(key), -mends[key]))
    longest = max(len(tests), len(repairs))
    return [key for at in range(longest) for key in (*repairs[at : at + 1], *tests[at : at + 1])]


def _patched(choose: Choose, at: State, policy: Policy) -> Choose:
    """Return a policy that does as another one does from a state on; its states count from there."""

    def patched(state: State) -> Action:
        if at.shown <= state.shown and at.tried <= state.tried:
            return policy.next(State(state.shown - at.shown, state.tried - at.tried, state.off))
        return choose(state)

    return patched
