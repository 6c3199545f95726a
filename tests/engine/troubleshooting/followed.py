"""A policy followed by the moves alone, with causes and outcomes drawn at random."""

import numpy as np

from knowngood.engine.troubleshooting.model.tables import tables
from knowngood.engine.troubleshooting.policy.moves import Kind, after_repairs, after_test, price, start


def followed(problem, choose, *, rounds, seed):
    """A row for each of so many vehicles: what it cost, and whether it ended at the shop."""
    random = np.random.default_rng(seed)
    return np.array([_one_vehicle(problem, choose, random) for _ in range(rounds)])


def _one_vehicle(problem, choose, random):
    numbers = tables(problem)
    cause = random.choice(len(problem.causes), p=numbers.prior)
    fixes = {one.key: row[cause] for one, row in zip(problem.repairs, numbers.fixes, strict=True)}
    state, spent = start(problem), 0.0
    while True:
        action = choose(state)
        if action.kind is Kind.SHOP:
            return spent + problem.cost(problem.shop.for_cause(problem.causes[cause].key)), True
        spent += problem.cost(price(problem, state, action))
        if action.kind is Kind.TEST:
            test = problem.test_of[action.keys[0]]
            chances = numbers.given[problem.tests.index(test)][:, cause]
            state = after_test(problem, state, test.key, str(random.choice(test.outcomes, p=chances)))
        elif any(random.random() < fixes[key] for key in action.keys):
            return spent, False
        else:
            state = after_repairs(problem, state, action.keys)
