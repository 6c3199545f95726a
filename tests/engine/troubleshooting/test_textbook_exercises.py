"""Exercises that textbooks print with their numbers, in the words of a repair: what they answer, we answer."""

import pytest
from tests.engine.troubleshooting.clairvoyant import clairvoyant
from tests.engine.troubleshooting.strategies import certain

from knowngood.engine.troubleshooting.belief.posterior import Shown, believe
from knowngood.engine.troubleshooting.model.amounts import FREE, Chance, Price
from knowngood.engine.troubleshooting.model.parts import NO, OTHER, YES, Cause, Quote, Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.policy.exact import Policy
from knowngood.engine.troubleshooting.policy.moves import SHOP, Action, Kind, State
from knowngood.engine.troubleshooting.worth.cover_decision import Option, decide
from knowngood.engine.troubleshooting.worth.doubtful import CheapTest, DoubtfulPart


def swap(key, fixes, cost):
    return Repair(key, key, {cause: Chance(sure) for cause, sure in fixes.items()}, Price(cost))


@pytest.mark.published(
    "Jensen and Nielsen, Bayesian networks and decision graphs, 2007: four ways to mend a computer; rolled back by hand"
)
def test_repairs_that_mend_the_same_are_tried_while_they_pay():
    """Reboot 1, virus removal 2, reinstalling 25, a new one 500: 1 + .2 x 2 + .0575 x 25 + .050075 x 500."""
    repairs = (
        swap("reboot", {"program": 1.0}, 1.0),
        swap("remove", {"virus": 0.95}, 2.0),
        swap("reinstall", {"program": 0.99, "virus": 0.99}, 25.0),
    )
    causes = certain({"program": 0.8, "virus": 0.15, "hardware": 0.05})
    policy = Policy(Problem(causes, (), repairs, quote=Quote(Price(500.0)), begun=True))
    assert policy.cost == pytest.approx(27.875)
    tried = [policy.next(State(tried=frozenset(done))).keys for done in ((), ("reboot",), ("reboot", "remove"))]
    assert tried == [("reboot",), ("remove",), ("reinstall",)]
    assert policy.next(State(tried=frozenset(("reboot", "remove", "reinstall")))) == SHOP


SEISMIC = {"dry": (0.1, 0.3, 0.6), "wet": (0.3, 0.4, 0.3), "soaking": (0.5, 0.4, 0.1)}


@pytest.mark.published(
    "Raiffa, Decision analysis, 1968, the oil wildcatter, tables as reprinted; by hand: 20, 22.5, 55"
)
@pytest.mark.parametrize(("tests", "worth"), [(False, 20.0), (True, 22.5)])
def test_a_test_pays_what_it_is_worth_to_the_oil_wildcatter(tests, worth):
    """Drilling takes 70 and brings 0, 120 or 270: a repair that saves as much of a shop that asks 270."""
    rows = {state: tuple(map(Chance, row)) for state, row in SEISMIC.items()}
    look = Test(
        "seismic", "seismic", ("closed", "open", "diffuse"), rows, (Chance(1.0), Chance(0.0), Chance(0.0)), Price(10.0)
    )
    drill = swap("drill", {"wet": 120.0 / 270.0, "soaking": 1.0}, 70.0)
    causes = certain({"dry": 0.5, "wet": 0.3, "soaking": 0.2})
    problem = Problem(causes, (look,) if tests else (), (drill,), quote=Quote(Price(270.0)), begun=True)
    policy = Policy(problem)
    assert 270.0 - policy.cost == pytest.approx(worth)
    assert 270.0 - clairvoyant(problem) == pytest.approx(55.0)  # .3 x 50 + .2 x 200
    if tests:
        assert policy.next() == Action(Kind.TEST, ("seismic",))
        drilled = [
            policy.next(State(shown=frozenset({("seismic", one)}))) == Action(Kind.REPAIR, ("drill",))
            for one in look.outcomes
        ]
        assert drilled == [True, True, False]


@pytest.mark.published("Bayes by hand: four ways in which a circuit fails and a common trouble, .045, 4/15 and .3016")
@pytest.mark.parametrize(("shown", "power_supply", "explained"), [(YES, 4.0 / 15.0, 0.045), (NO, 0.288 / 0.955, 0.955)])
def test_what_a_common_trouble_says_of_four_kinds_of_failure(shown, power_supply, explained):
    chances = {"integrated circuit": 0.40, "board": 0.25, "power supply": 0.30, OTHER: 0.05}
    shows = {"integrated circuit": 0.05, "board": 0.05, "power supply": 0.04}
    causes = tuple(Cause(key, key, Chance(chance)) for key, chance in chances.items())
    trouble = Test.shows("trouble", "trouble", {key: Chance(one) for key, one in shows.items()}, Chance(0.01))
    found = believe(Problem(causes, (trouble,)), [Shown("trouble", shown)])
    assert found.chances["power supply"] == pytest.approx(power_supply)
    assert found.explained == pytest.approx(explained)


@pytest.mark.published(
    "Jensen and Nielsen, Bayesian networks and decision graphs, 2007: a used car and two tests; by hand"
)
@pytest.mark.parametrize(
    ("findings", "defect"),
    [
        ({"first": "none"}, 0.015 / 0.575),
        ({"first": "defects"}, 0.225 / 0.26),
        ({"first": "unclear"}, 0.06 / 0.165),
        ({"first": "unclear", "second": YES}, 0.06 * 0.75 / (0.06 * 0.75 + 0.105 * 0.2)),
    ],
)
def test_an_outcome_that_says_little_still_says_something(findings, defect):
    with_it, without = (0.05, 0.75, 0.2), (0.8, 0.05, 0.15)
    first = Test(
        "first",
        "first",
        ("none", "defects", "unclear"),
        {"defect": tuple(map(Chance, with_it))},
        tuple(map(Chance, without)),
    )
    second = Test.shows("second", "second", {"defect": Chance(0.75)}, Chance(0.2))
    causes = (Cause("defect", "defect", Chance(0.3)), Cause(OTHER, "sound", Chance(0.7)))
    found = believe(Problem(causes, (first, second)), [Shown(*one) for one in findings.items()])
    assert found.chances["defect"] == pytest.approx(defect)


@pytest.mark.published(
    "Middleton, course text on decision analysis, chapter 20, author from memory: 15, 30, and 7.50 for knowing"
)
def test_knowing_whether_a_component_is_defective_is_worth_seven_and_a_half():
    """Rework takes 30 and is sure to be good; a defective one that is shipped costs 60; shipped as it is 40 - 25."""
    component = DoubtfulPart(Price(30.0), damage=Price(60.0), replace_later=FREE, bad_new=0.0)
    told = decide(component, 0.25, rate_per_hour=0.0, test=CheapTest(FREE, 1.0, 1.0))
    totals = {one.option: one.total for one in told.options}
    assert (totals[Option.WATCH], totals[Option.REPLACE]) == (15.0, 30.0)
    assert totals[Option.WATCH] - totals[Option.TEST] == pytest.approx(7.5)
    assert decide(component, 0.25, rate_per_hour=0.0).flips_at == pytest.approx((0.5,))
