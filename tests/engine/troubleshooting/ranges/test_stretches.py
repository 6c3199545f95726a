"""Where the next action flips, against solving anew at many places."""

from dataclasses import replace

import numpy as np
import pytest
from tests.engine.troubleshooting.instances import drawn

from knowngood.engine.troubleshooting.belief.posterior import Shown
from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.model.parts import OTHER, Cover, Quote, Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem, suspects
from knowngood.engine.troubleshooting.policy.exact import Policy
from knowngood.engine.troubleshooting.policy.moves import SHOP, Action, remaining
from knowngood.engine.troubleshooting.policy.moves import Kind as Does
from knowngood.engine.troubleshooting.ranges.numbers import Kind, chances, prices, words
from knowngood.engine.troubleshooting.ranges.stretches import _Solved, ranges, worth_asking

SMALL = {"causes": 3, "tests": 3, "repairs": 3, "covers": 1}
RELAY = Repair("relay", "the relay", {"relay": Chance(0.9, 0.7, 1.0)}, Price(30.0, 20.0), "dash")
USUALLY = Chance(0.8, 0.6, 0.9)
CLICK = Test.shows("click", "clicks", {"relay": USUALLY}, Chance(0.1, 0.02, 0.2), price=Price(0.0, 10.0))
HUMS = Problem(
    suspects({"relay": 1}, other=0.4), (CLICK,), (RELAY,), (Cover("dash", "the dash", Price(5.0), Price(0.0, 15.0)),),
    Quote(Price(200.0)), rate_per_hour=30.0, check=Price(0.0, 6.0),
)  # fmt: skip


def in_doubt(problem, seed):
    """The same problem, with ranges about what its first two tests show."""
    generator = np.random.default_rng(seed)

    def wider(row):
        low, high = row[0].value * generator.uniform(0.2, 1.0), generator.uniform(row[0].value, 1.0)
        yes = Chance(row[0].value, low, high)
        return yes, yes.complement

    tests = [replace(one, given={key: wider(row) for key, row in one.given.items()}, otherwise=wider(one.otherwise))
             for one in problem.tests[:2]]  # fmt: skip
    return replace(problem, tests=(*tests, *problem.tests[2:]))


def holds(found, findings, generator):
    """At any place, the named action costs no more than the best there."""
    for value in generator.uniform(found.number.low, found.number.high, 6):
        stated = found.number.changed(value)
        policy = Policy(remaining(stated, findings) if findings else stated)
        costs = {choice.action: choice.cost for choice in policy.choices()}
        (stretch,) = [one for one in found.stretches if one.low <= value < one.high]
        assert stretch.proved
        assert costs[stretch.action] == pytest.approx(policy.cost, rel=1e-7)


@pytest.mark.parametrize("of", [chances, prices])
def test_the_named_action_is_the_best_everywhere(rounds, of):
    generator = np.random.default_rng(1)
    for seed in range(rounds(1)):
        problem = drawn(seed, **SMALL, check=True)
        for found in ranges(problem, of(problem), most=60):
            assert [found.stretches[0].low, found.stretches[-1].high] == [found.number.low, found.number.high]
            holds(found, (), generator)


def test_words_move_what_was_found_as_well(rounds):
    """The first test was done: a word about it changes what is believed, and so what to do next."""
    generator = np.random.default_rng(2)
    flips = 0
    for seed in range(rounds(4)):
        problem = in_doubt(drawn(seed, **SMALL), seed)
        findings = [Shown("test0", "yes")]
        for found in ranges(problem, words(problem), findings, most=60):
            holds(found, findings, generator)
            flips += found.changes
    assert flips


def test_every_number_put_back_changes_nothing():
    cost = Policy(HUMS).cost
    numbers = [*chances(HUMS), *prices(HUMS), *words(HUMS)]
    assert {one.kind for one in numbers} == set(Kind)
    for number in numbers:
        assert Policy(number.changed(number.value)).cost == pytest.approx(cost, rel=1e-12)
        if number.kind in {Kind.MONEY, Kind.MINUTES, Kind.RATE}:
            assert Policy(number.changed(number.low)).cost <= cost * (1.0 + 1e-12)


def test_numbers_of_a_small_one():
    said = [(one.kind.value, one.key, one.cause, one.value, one.low, one.high) for one in words(HUMS)]
    assert said == [
        ("shows", "click", "relay", 0.8, 0.6, 0.9),
        ("shows", "click", OTHER, 0.1, 0.02, 0.2),
        ("fixes", "relay", "relay", 0.9, 0.7, 1.0),
    ]
    said = [(one.kind.value, one.key, one.value) for one in prices(HUMS)]
    assert said == [
        ("minutes", "click", 10.0), ("money", "relay", 30.0), ("minutes", "relay", 20.0), ("money", "dash", 5.0),
        ("minutes", "dash", 15.0), ("minutes", "check", 6.0), ("money", "quote", 200.0), ("money/h", "hour", 30.0),
    ]  # fmt: skip


def test_the_price_at_which_it_is_handed_over():
    """By hand: the relay costs x and then the shop with 2 of 5; it pays up to 200 x .6 = 120."""
    repair = Repair("relay", "the relay", {"relay": Chance(1.0)}, Price(50.0))
    bare = Problem(suspects({"relay": 1}, other=0.4), (), (repair,), quote=Quote(Price(200.0)))
    (money, _) = ranges(bare, prices(bare))
    relay = Action(Does.REPAIR, ("relay",))
    assert [(one.action, one.low, one.high) for one in money.stretches] == [
        (relay, 0.0, pytest.approx(120.0)), (SHOP, pytest.approx(120.0), 200.0),
    ]  # fmt: skip
    assert (money.action, money.changes, money.loss) == (relay, True, pytest.approx(80.0))
    assert money.stays == money.stretches[:1]


def test_the_word_that_could_cost_most_is_asked_for_first():
    problem = in_doubt(drawn(0, **SMALL), 0)
    found = list(ranges(problem, words(problem)))
    asked = worth_asking(found)
    assert [one.loss for one in asked] == sorted((one.loss for one in asked), reverse=True)
    assert {id(one) for one in asked} == {id(one) for one in found if one.changes}
    assert all(one.loss == pytest.approx(0.0, abs=1e-6) for one in found if not one.changes)


def test_cut_short_nothing_is_claimed():
    problem = drawn(0, **SMALL)
    cut = list(ranges(problem, chances(problem), most=3))
    assert any(not stretch.proved for one in cut for stretch in one.stretches)


@pytest.mark.parametrize("weights", [(0.84, 0.56), (0.94, 0.38), (0.3, 0.59)])
def test_one_that_is_never_it_leaves_all_to_the_other(weights):
    """Two chances that follow from findings: the other's, divided by what is left of it, lies a last digit beyond 1."""
    mine, other = (Chance(weight / sum(weights)) for weight in weights)
    causes = tuple(replace(one, chance=mine if one.key == "relay" else other) for one in HUMS.causes)
    assert other.value * (1.0 / (1.0 - mine.value)) > 1.0
    never = next(chances(replace(HUMS, causes=causes))).changed(0.0)
    assert [one.chance.value for one in never.causes] == [0.0, 1.0]


def test_repairs_that_share_a_check_cost_what_they_cost_where_it_is_free():
    """By hand, beside what the shop gets either way: 5 and 5 for both; singly 5, and 5 more in 52.5 of 100 cases."""
    both = tuple(Repair(one, f"new {one}", {one: Chance(1.0)}, Price(5.0)) for one in ("relay", "fuse"))
    sure = Problem(suspects({"relay": 1, "fuse": 1}, other=0.05), (), both, quote=Quote(Price(400.0)),
                   rate_per_hour=30.0, check=Price(0.0, 30.0))  # fmt: skip
    (check,) = [one for one in prices(sure) if (one.key, one.kind) == ("check", Kind.MINUTES)]
    found = next(ranges(sure, [check], most=60))
    assert found.action == Action(Does.REPAIR, ("relay", "fuse"))
    assert len(found.stretches[0].action.keys) == 1
    assert found.loss == pytest.approx(2.375)


def test_what_sharing_a_check_costs_is_what_the_policy_says_wherever_it_may_choose_it():
    for seed in range(10):
        solved = _Solved(drawn(seed, **SMALL, check=True))
        for action, dearer in solved.dearer.items():
            if action.kind is Does.REPAIR:
                assert solved._repairs(action) - solved.policy.cost == pytest.approx(dearer, abs=1e-9)
