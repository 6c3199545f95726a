"""A policy written out: its chances add up, its average is what doing it many times takes."""

from dataclasses import replace

import numpy as np
import pytest
from tests.engine.troubleshooting.followed import followed
from tests.engine.troubleshooting.instances import drawn

from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.model.parts import Quote, Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem, suspects
from knowngood.engine.troubleshooting.policy.moves import SHOP, Action, Kind
from knowngood.engine.troubleshooting.policy.myopic import Myopic
from knowngood.engine.troubleshooting.policy.tree import End, cost_elsewhere, grow

CLICK = Test.shows("click", "clicks", {"relay": Chance(0.8)}, Chance(0.1), price=Price(0.0, 10.0))
RELAY = Repair("relay", "replace the relay", {"relay": Chance(1.0)}, Price(20.0, 30.0))
QUOTE = Quote(Price(200.0, 60.0), frozenset({"relay"}), beyond=Price(100.0))
HUMS = Problem(suspects({"relay": 1}, other=0.4), (CLICK,), (RELAY,), quote=QUOTE, rate_per_hour=30.0)


def listen_first(state):
    """Listen; when it clicks, replace the relay; else the shop."""
    shown = dict(state.shown)
    if not shown:
        return Action(Kind.TEST, ("click",))
    return Action(Kind.REPAIR, ("relay",)) if shown["click"] == "yes" and not state.tried else SHOP


def test_a_small_one_by_hand():
    """It clicks with .6 x .8 + .4 x .1 = .52, and then it is the relay with .48."""
    tree = grow(HUMS, listen_first)
    ends = [(round(one.chance, 9), one.spent, one.dearest, round(one.shop_chance, 9)) for one in tree.ends]
    assert ends[0] == (0.48, Price(20.0, 40.0), Price(20.0, 40.0), 0.0)
    assert ends[1] == (0.04, Price(320.0, 100.0), Price(320.0, 100.0), 0.04)
    assert ends[2][1].money == pytest.approx(200.0 + 100.0 * 0.36 / 0.48)
    assert (ends[2][0], ends[2][1].minutes, *ends[2][2:]) == (0.48, pytest.approx(70.0), Price(300.0, 70.0), 0.48)
    assert tree.expected.money == pytest.approx(0.48 * 20.0 + 0.04 * 320.0 + 0.48 * 275.0)
    assert tree.expected.minutes == pytest.approx(0.48 * 40.0 + 0.04 * 100.0 + 0.48 * 70.0)
    assert tree.expected_cost == pytest.approx(tree.expected.money + tree.expected.minutes / 2.0)
    assert (tree.action, tree.shop_chance, tree.worst.dearest) == (
        Action(Kind.TEST, ("click",)), pytest.approx(0.52), Price(320.0, 100.0),
    )  # fmt: skip
    assert tree.chance_of("relay") == pytest.approx(0.52)


def test_a_repair_that_may_not_help_by_hand():
    """It clicks with .48 + .04; the relay helps with .432; the shop sees the rest, .168 of it the relay's."""
    relay = Repair("relay", "new relay", {"relay": Chance(0.9)}, Price(20.0, 30.0))
    tree = grow(replace(HUMS, repairs=(relay,)), listen_first)
    assert tree.shop_chance == pytest.approx(1.0 - 0.432)
    assert tree.expected.money == pytest.approx(0.52 * 20.0 + 0.568 * 200.0 + 0.4 * 100.0)
    assert tree.expected.minutes == pytest.approx(10.0 + 0.52 * 30.0 + 0.568 * 60.0)
    assert HUMS.cost(tree.worst.dearest) == pytest.approx(5.0 + 35.0 + 330.0)


def test_branches_too_seldom_are_put_together_and_nothing_is_lost():
    tree = grow(HUMS, listen_first)
    shown = tree.shown(0.05)
    assert sum(one.chance for one in shown.ends if one.cut) == pytest.approx(0.04)
    assert shown.root.branches[0].then.branches[1].then.cut
    whole = tree.shown(0.6)
    assert [one.cut for one in whole.ends] == [True, True]
    for one in (shown, whole, tree.shown(2.0)):
        assert one.expected_cost == pytest.approx(tree.expected_cost)
        assert one.shop_chance == pytest.approx(tree.shop_chance)
        assert one.worst.dearest == tree.worst.dearest


def test_handing_over_at_once_is_a_tree_of_one_end():
    tree = grow(HUMS, lambda _: SHOP)
    assert tree.root == End(1.0, Price(240.0, 60.0), Price(300.0, 60.0), 1.0)
    assert (tree.action, tree.steps) == (SHOP, ())


@pytest.mark.parametrize("size", [{}, {"closing": True, "check": True}])
def test_chances_add_up(rounds, size):
    for seed in range(rounds(4)):
        problem = drawn(seed, **size)
        tree = grow(problem, Myopic(problem).next)
        shown = tree.shown()
        for one in (tree, shown):
            assert sum(end.chance for end in one.ends) == pytest.approx(1.0, abs=1e-12)
        assert all(end.chance >= 0.01 or end.cut for end in shown.ends)
        assert all(step.chance >= 0.01 for step in shown.steps)
        assert all(sum(branch.then.chance for branch in step.branches) == pytest.approx(step.chance)
                   for step in tree.steps)  # fmt: skip


def test_doing_it_many_times_takes_the_average(rounds):
    """Causes and outcomes drawn, the policy followed by the moves alone; within four standard errors."""
    problem = drawn(3, closing=True, check=True)
    tree = grow(problem, Myopic(problem).next)
    choose = {step.state: step.action for step in tree.steps}
    runs = followed(problem, lambda state: choose.get(state, SHOP), rounds=rounds(1500), seed=4)
    error = runs[:, 0].std(ddof=1) / np.sqrt(len(runs))
    assert abs(runs[:, 0].mean() - tree.expected_cost) < 4.0 * error
    share = tree.shop_chance
    assert abs(runs[:, 1].mean() - share) < 4.0 * np.sqrt(share * (1.0 - share) / len(runs))
    assert runs[:, 0].max() <= problem.cost(tree.worst.dearest) + 1e-9


def test_the_same_policy_with_other_numbers(rounds):
    for seed in range(rounds(3)):
        problem = drawn(seed)
        other = replace(problem, quote=Quote(Price(100.0)), rate_per_hour=50.0, check=Price(0.0, 7.0))
        choose = Myopic(problem).next
        tree = grow(problem, choose)
        assert cost_elsewhere(tree, problem) == pytest.approx(tree.expected_cost)
        assert cost_elsewhere(tree, other) == pytest.approx(grow(other, choose).expected_cost)


def test_what_was_cut_has_no_cost_elsewhere():
    shown = grow(HUMS, listen_first).shown(0.05)
    with pytest.raises(ValueError, match=r"^branches were cut, and what they would cost elsewhere is unknown; take the "
                                         r"whole tree\.$"):  # fmt: skip
        cost_elsewhere(shown, HUMS)
