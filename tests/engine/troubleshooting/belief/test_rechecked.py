"""A fault checked for again after repairs."""

import pytest

from knowngood.engine.troubleshooting.belief.posterior import Failed, Shown, believe, moved
from knowngood.engine.troubleshooting.belief.rechecked import Rechecked, explained_by, missed
from knowngood.engine.troubleshooting.model.amounts import Chance
from knowngood.engine.troubleshooting.model.parts import Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem, suspects
from knowngood.engine.troubleshooting.policy.moves import remaining

PLUG = Repair("plug", "Plug renewed", {"plug": Chance(0.8)})
BOTH = Repair("both", "Both cleaned", {"plug": Chance(0.5), "lamp": Chance(0.5)})
LOOK = Test.shows("look", "A lamp burns", {"lamp": Chance(0.9)}, Chance(0.1))
PROBLEM = Problem(suspects({"plug": 6, "lamp": 3}, other=0.1), (LOOK,), (PLUG, BOTH))
SURELY = {"otherwise": 1.0, "without": 0.0}


def test_each_repair_misses_by_itself():
    assert missed(PROBLEM, ("plug", "both")).tolist() == pytest.approx([0.1, 0.5, 1.0])
    assert missed(PROBLEM, ()).tolist() == [1.0, 1.0, 1.0]


def test_a_certain_check_that_shows_it_still_is_a_repair_that_failed():
    still = believe(PROBLEM, [Rechecked("check", ("plug",), 1.0, **SURELY)]).chances
    assert still == pytest.approx(believe(PROBLEM, [Failed("plug")]).chances)


def test_a_certain_check_that_shows_it_no_longer_leaves_only_what_was_mended():
    gone = believe(PROBLEM, [Rechecked("check", ("plug",), 0.0, **SURELY)]).chances
    assert gone == pytest.approx({"plug": 1.0, "lamp": 0.0, "other": 0.0})


# By hand: prior .6 .3 .1; the check shows .95 with what is there, .05 without: plug .95 x .2 + .05 x .8 = .23.
def test_by_hand():
    still = believe(PROBLEM, [Rechecked("check", ("plug",), 1.0)]).chances
    weights = {"plug": 0.6 * 0.23, "lamp": 0.3 * 0.95, "other": 0.1 * 0.95}
    assert still == pytest.approx({key: one / sum(weights.values()) for key, one in weights.items()})


@pytest.mark.parametrize("repairs", [(), ("plug",), ("plug", "both")])
def test_a_check_that_can_tell_nothing_moves_nobody(repairs):
    assert believe(PROBLEM, [Rechecked("check", repairs, 0.5)]).chances == pytest.approx(believe(PROBLEM).chances)


def test_a_clearer_reading_moves_further():
    chances = [believe(PROBLEM, [Rechecked("c", ("plug",), there)]).chances["plug"] for there in (0.0, 0.3, 0.7, 1.0)]
    assert chances == sorted(chances, reverse=True)


def test_a_check_sees_what_its_test_sees():
    seen = Rechecked("check", (), 1.0, shows={"lamp": 0.9}, otherwise=0.1, without=0.1)
    assert explained_by(PROBLEM, seen).tolist() == pytest.approx([0.1, 0.9, 0.1])
    assert believe(PROBLEM, [seen]).chances == pytest.approx(believe(PROBLEM, [Shown("look", "yes")]).chances)


def test_what_was_repaired_is_no_repair_any_more_and_the_weight_is_told():
    check = Rechecked("check", ("plug",), 1.0)
    left = remaining(PROBLEM, [check])
    assert [one.key for one in left.repairs] == ["both"]
    assert [one.key for one in left.tests] == ["look"]
    by_cause = {one.cause: one for one in moved(PROBLEM, [check])}
    assert by_cause["plug"].decibans < 0.0 < by_cause["lamp"].decibans
