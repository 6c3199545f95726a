"""What an action takes on average at a state; what a whole policy leads to is in `tree`."""

from collections.abc import Callable

from knowngood.engine.troubleshooting.model.amounts import Price
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.model.tables import tables
from knowngood.engine.troubleshooting.policy.moves import Action, Kind, State, mass, price

Choose = Callable[[State], Action]


def shop_price(problem: Problem, state: State) -> Price:
    """Return what handing over costs on average at a state, by what is believed there."""
    numbers, left = tables(problem), mass(problem, state)
    left /= left.sum()
    return Price(float(left @ numbers.shop_money), float(left @ numbers.shop_minutes))


def action_price(problem: Problem, state: State, action: Action) -> Price:
    """Return what an action costs at a state, on average where that depends on the cause."""
    return shop_price(problem, state) if action.kind is Kind.SHOP else price(problem, state, action)
