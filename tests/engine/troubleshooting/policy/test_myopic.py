"""Rules of thumb: never better than the best, and the best where they are proved to be."""

from dataclasses import replace

import pytest
from tests.engine.troubleshooting.instances import drawn, repairs_alone
from tests.engine.troubleshooting.walks import actions

from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.model.parts import Cover, Quote, Repair
from knowngood.engine.troubleshooting.model.problem import Problem, suspects
from knowngood.engine.troubleshooting.policy.lattice import Lattice
from knowngood.engine.troubleshooting.policy.moves import SHOP, Action, Kind, State, start
from knowngood.engine.troubleshooting.policy.myopic import ByRatio, Myopic
from knowngood.engine.troubleshooting.policy.tree import grow

RULES = [ByRatio, lambda problem: ByRatio(problem, covers=False), Myopic]
SIZES = [{}, {"closing": True}, {"check": True}, {"closing": True, "check": True}]


def best(problem):
    return Lattice(problem).at(start(problem))


@pytest.mark.parametrize("size", SIZES)
def test_never_better_than_the_best_and_only_what_may_be_done(rounds, size):
    for seed in range(rounds(5)):
        problem = drawn(seed, **size)
        least = best(problem)
        for rule in RULES:
            tree = grow(problem, rule(problem).next)
            assert tree.expected_cost >= least * (1.0 - 1e-9)
            for step in tree.steps:
                assert step.action in actions(problem, step.state)


def test_looking_one_step_ahead_pays(rounds):
    """On the average; and never worse than handing over at once, which is among what it weighs."""
    shares = []
    for seed in range(rounds(8)):
        problem = drawn(seed, check=True)
        myopic = grow(problem, Myopic(problem).next).expected_cost
        shares.append(myopic / grow(problem, ByRatio(problem).next).expected_cost)
        assert myopic <= problem.cost(problem.shop.price) + 1e-9
    assert sum(shares) < len(shares)


@pytest.mark.parametrize("covers", [0, 3])
def test_chance_over_cost_is_the_best_where_it_is_proved_to_be(rounds, covers):
    """No tests, each repair fixes one cause of its own, nothing need be closed, the check is free."""
    for seed in range(rounds(12)):
        problem = repairs_alone(drawn(seed, repairs=5, covers=covers))
        assert grow(problem, ByRatio(problem).next).expected_cost == pytest.approx(best(problem), rel=1e-12)


def test_several_repairs_before_one_road_test():
    """Behind one pan, with a road test that needs it on: the second is done while the pan is off."""
    repairs = [Repair(key, key, {key: Chance(1.0)}, Price(cost), "pan", needs_closed_check=True)
               for key, cost in (("valve", 30.0), ("seal", 5.0))]  # fmt: skip
    problem = Problem(
        suspects({"valve": 1, "seal": 1}, other=0.05), (), tuple(repairs),
        (Cover("pan", "the pan", Price(100.0)),), Quote(Price(900.0)),
    )  # fmt: skip
    assert Myopic(problem).next() == Action(Kind.REPAIR, ("valve", "seal"))
    assert grow(problem, Myopic(problem).next).expected_cost == pytest.approx(135.0 + 0.05 * 900.0)
    assert len(ByRatio(problem).next().keys) == 1


def test_where_nothing_pays_it_hands_over():
    problem = drawn(1)
    cheap = replace(problem, quote=Quote(Price(1.0)))
    assert [rule(cheap).next() for rule in RULES] == [SHOP] * 3


def test_what_cannot_be_any_more_is_handed_over():
    """A sure repair did not help: this is a branch that no one gets to."""
    problem = repairs_alone(drawn(1))
    everything = State(tried=frozenset(one.key for one in problem.repairs))
    assert Myopic(problem).next(everything) == SHOP
