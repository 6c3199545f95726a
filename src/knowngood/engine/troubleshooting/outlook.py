"""What any policy leads to: its exact expected cost, money and minutes apart, its worst branch, and draws of it."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from knowngood.engine.troubleshooting.amounts import Price
from knowngood.engine.troubleshooting.moves import (
    SHOP,
    Action,
    Kind,
    State,
    after_repairs,
    after_test,
    mass,
    price,
    start,
)
from knowngood.engine.troubleshooting.problem import Problem
from knowngood.engine.troubleshooting.tables import Floats, fixes, given, prior, tables

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


@dataclass(frozen=True)
class Outlook:
    """What to expect of a policy from the start.

    Args:
        cost: Expected, money and minutes in one. [money]
        money: Expected. [money]
        minutes: Expected, of the person's own time. [min]
        worst: Cost of the dearest way it can go. [money]
        shop: Chance of ending at the quote.
        states: How many states the policy can meet.
    """

    cost: float
    money: float
    minutes: float
    worst: float
    shop: float
    states: int


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


def cost_of(problem: Problem, choose: Choose) -> Outlook:
    """Return exactly what a policy leads to, by walking through every state that it can meet.

    Args:
        problem: The problem, with its quote.
        choose: The policy: from a state to what is done there.
    """
    met: dict[State, tuple[Floats, float]] = {}

    def walk(state: State) -> tuple[Floats, float]:
        """Money, minutes and the shop, each times the chance of getting here; and the worst cost from here."""
        if state not in met:
            action = choose(state)
            here = float(mass(problem, state).sum())
            paid = action_price(problem, state, action)
            total = here * np.array([paid.money, paid.minutes, float(action == SHOP)])
            further = [walk(branch.state) for branch in branches(problem, state, action)]
            worst = max((one for _, one in further), default=0.0)
            worst += _dearest_shop(problem, state) if action == SHOP else problem.cost(paid)
            met[state] = (sum((one for one, _ in further), total), worst)
        return met[state]

    (money, minutes, shop), worst = walk(start(problem))
    cost = float(money) + float(minutes) / 60.0 * problem.rate_per_hour
    return Outlook(cost, float(money), float(minutes), worst, float(shop), len(met))


def simulate(problem: Problem, choose: Choose, *, rounds: int, seed: int) -> Floats:
    """Return what a policy cost in each of so many vehicles drawn at random. [money]

    Args:
        problem: The problem, with its quote.
        choose: The policy.
        rounds: How many vehicles.
        seed: Of the draws; the same seed draws the same vehicles.
    """
    random = np.random.default_rng(seed)
    causes = random.choice(len(problem.causes), size=rounds, p=prior(problem))
    return np.array([_one_vehicle(problem, choose, int(cause), random) for cause in causes])


def _one_vehicle(problem: Problem, choose: Choose, cause: int, random: np.random.Generator) -> float:
    state, paid = start(problem), 0.0
    sureness = dict(zip(problem.repair_of, fixes(problem)[:, cause], strict=True))
    while True:
        action = choose(state)
        if action.kind is Kind.SHOP:
            return paid + problem.cost(problem.shop.for_cause(problem.causes[cause].key))
        paid += problem.cost(price(problem, state, action))
        if action.kind is Kind.TEST:
            test = problem.test_of[action.keys[0]]
            outcome = random.choice(len(test.outcomes), p=given(problem, test)[:, cause])
            state = after_test(problem, state, test.key, test.outcomes[outcome])
        elif any(random.random() < sureness[key] for key in action.keys):
            return paid
        else:
            state = after_repairs(problem, state, action.keys)


def _dearest_shop(problem: Problem, state: State) -> float:
    possible = mass(problem, state) > 0.0
    prices = [problem.shop.for_cause(cause.key) for cause in problem.causes]
    return max(problem.cost(one) for one, can_be in zip(prices, possible, strict=True) if can_be)
