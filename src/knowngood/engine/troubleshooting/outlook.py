"""Where an action leads, and what it takes on average at a state; what a whole policy leads to is in `tree`."""

from collections.abc import Callable
from dataclasses import dataclass

from knowngood.engine.troubleshooting.amounts import Price
from knowngood.engine.troubleshooting.moves import Action, Kind, State, after_repairs, after_test, mass, price
from knowngood.engine.troubleshooting.problem import Problem
from knowngood.engine.troubleshooting.tables import tables

Choose = Callable[[State], Action]


@dataclass(frozen=True)
class Branch:
    """One of the ways on from a state after an action, while the fault is still there.

    Args:
        outcome: What the test showed; empty after repairs.
        state: Where it leads.
    """

    outcome: str
    state: State


def branches(problem: Problem, state: State, action: Action) -> list[Branch]:
    """Return the ways on that are possible at all; none after handing over."""
    if action.kind is Kind.SHOP:
        return []
    if action.kind is Kind.TEST:
        key = action.keys[0]
        outcomes = problem.test_of[key].outcomes
        found = [Branch(outcome, after_test(problem, state, key, outcome)) for outcome in outcomes]
    else:
        found = [Branch("", after_repairs(problem, state, action.keys))]
    return [branch for branch in found if mass(problem, branch.state).sum() > 0.0]


def shop_price(problem: Problem, state: State) -> Price:
    """Return what handing over costs on average at a state, by what is believed there."""
    numbers, left = tables(problem), mass(problem, state)
    left /= left.sum()
    return Price(float(left @ numbers.shop_money), float(left @ numbers.shop_minutes))


def action_price(problem: Problem, state: State, action: Action) -> Price:
    """Return what an action costs at a state, on average where that depends on the cause."""
    return shop_price(problem, state) if action.kind is Kind.SHOP else price(problem, state, action)
