"""What can be done at a state, what it takes there, and where it leads."""

import pytest
from tests.engine.troubleshooting.walks import actions

from knowngood.engine.troubleshooting.belief.posterior import Failed, Shown
from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.model.parts import OTHER, Cover, Quote, Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem, suspects
from knowngood.engine.troubleshooting.policy.moves import (
    SHOP,
    Action,
    Kind,
    State,
    after_repairs,
    after_test,
    mass,
    price,
    remaining,
    start,
)

LID = Cover("lid", "lid", Price(1.0, 10.0), Price(2.0, 5.0))
PAN = Cover("pan", "pan", Price(0.0, 20.0), Price(30.0, 20.0), inside="lid")
LOOK = Test.shows("look", "debris", {"valve": Chance(0.9)}, Chance(0.2), price=Price(0.0, 2.0), cover="pan")
VALVE = Repair("valve", "new valve", {"valve": Chance(0.9)}, Price(60.0, 15.0), "pan", needs_closed_check=True)
PLUG = Repair("plug", "new plug", {"plug": Chance(1.0)}, Price(8.0, 5.0), "lid")
SHIFT = Problem(
    suspects({"valve": 3, "plug": 1}, other=0.2),
    (LOOK,),
    (VALVE, PLUG),
    (LID, PAN),
    Quote(Price(400.0)),
    rate_per_hour=30.0,
    check=Price(0.0, 20.0),
)
LOOKED = State(frozenset({("look", "yes")}), frozenset(), frozenset({"lid", "pan"}))
TEST, BOTH = Action(Kind.TEST, ("look",)), Action(Kind.REPAIR, ("valve", "plug"))


def test_the_way_in_is_paid_within_the_first_action_behind_it():
    assert price(SHIFT, start(SHIFT), TEST) == Price(33.0, 57.0)
    assert price(SHIFT, State(off=frozenset({"lid"})), TEST) == Price(30.0, 42.0)
    assert after_test(SHIFT, start(SHIFT), "look", "yes") == LOOKED


def test_several_repairs_pay_for_one_check_and_one_way_in():
    assert price(SHIFT, start(SHIFT), BOTH) == Price(101.0, 95.0)
    assert price(SHIFT, LOOKED, BOTH) == Price(68.0, 40.0)


def test_a_check_that_needs_it_closes_everything_and_another_leaves_it_off():
    assert after_repairs(SHIFT, LOOKED, ["valve"]).off == frozenset()
    assert after_repairs(SHIFT, LOOKED, ["valve", "plug"]).off == frozenset()
    assert after_repairs(SHIFT, State(), ["plug"]).off == {"lid"}


def test_each_thing_is_done_once():
    assert set(actions(SHIFT, start(SHIFT))) == {
        SHOP, TEST, BOTH, Action(Kind.REPAIR, ("valve",)), Action(Kind.REPAIR, ("plug",)),
    }  # fmt: skip
    assert set(actions(SHIFT, after_repairs(SHIFT, LOOKED, ["valve"]))) == {SHOP, Action(Kind.REPAIR, ("plug",))}


def test_what_is_left_of_a_cause_is_its_chance_times_what_happened():
    state = after_repairs(SHIFT, LOOKED, ["valve"])
    assert mass(SHIFT, state).tolist() == pytest.approx([0.6 * 0.9 * 0.1, 0.2 * 0.2, 0.2 * 0.2])


def test_after_findings_the_problem_goes_on_with_what_is_left():
    left = remaining(SHIFT, [Shown("look", "no"), Failed("valve")], off={"lid"})
    assert not left.tests
    assert [repair.key for repair in left.repairs] == ["plug"]
    assert left.open_at_start == {"lid"}
    total = 0.6 * 0.1 * 0.1 + 0.2 * 0.8 + 0.2 * 0.8
    assert left.cause_of[OTHER].chance.value == pytest.approx(0.16 / total)


def test_none_of_these_may_become_small_once_findings_speak_against_it():
    sure = Test.shows("sure", "sure", {"valve": Chance(0.99)}, Chance(0.01))
    problem = Problem(suspects({"valve": 1}), (sure,), quote=Quote(Price(100.0)))
    assert remaining(problem, [Shown("sure", "yes")]).cause_of[OTHER].chance.value < 0.001


def test_what_handing_over_costs_is_not_known_before_the_cause_is():
    with pytest.raises(ValueError, match="what handing over costs depends on the cause"):
        price(SHIFT, start(SHIFT), SHOP)
