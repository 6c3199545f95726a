"""What a policy leads to, worked by hand."""

from dataclasses import replace

import pytest

from knowngood.engine.troubleshooting.amounts import Chance, Price
from knowngood.engine.troubleshooting.model import OTHER, Quote, Repair, Test
from knowngood.engine.troubleshooting.moves import SHOP, Action, Kind, State
from knowngood.engine.troubleshooting.outlook import branches, cost_of, shop_price, simulate
from knowngood.engine.troubleshooting.problem import Problem, suspects

CLICK = Test.shows("click", "clicks", {"relay": Chance(0.8)}, Chance(0.1), price=Price(0.0, 10.0))
RELAY = Repair("relay", "new relay", {"relay": Chance(0.9)}, Price(20.0, 30.0))
HUMS = Problem(
    suspects({"relay": 1}, other=0.4),
    (CLICK,),
    (RELAY,),
    quote=Quote(Price(200.0, 60.0), frozenset({"relay"}), Price(100.0)),
    rate_per_hour=30.0,
)


def click_then_relay(state):
    if not state.shown:
        return Action(Kind.TEST, ("click",))
    clicks = ("click", "yes") in state.shown
    return Action(Kind.REPAIR, ("relay",)) if clicks and not state.tried else SHOP


def test_money_minutes_the_worst_branch_and_the_shop_by_hand():
    """It clicks with .48 + .04; the relay helps with .432; the shop sees the rest, .168 of it the relay's."""
    outlook = cost_of(HUMS, click_then_relay)
    assert outlook.shop == pytest.approx(1.0 - 0.432)
    assert outlook.money == pytest.approx(0.52 * 20.0 + 0.568 * 200.0 + 0.4 * 100.0)
    assert outlook.minutes == pytest.approx(10.0 + 0.52 * 30.0 + 0.568 * 60.0)
    assert outlook.cost == pytest.approx(outlook.money + outlook.minutes / 2.0)
    assert outlook.worst == pytest.approx(5.0 + 35.0 + 330.0)
    assert outlook.states == 4


def test_draws_cost_one_of_the_amounts_that_are_possible():
    paid = simulate(HUMS, click_then_relay, rounds=400, seed=3)
    assert {round(cost, 6) for cost in paid} == {40.0, 235.0, 335.0, 270.0, 370.0}
    assert (simulate(HUMS, click_then_relay, rounds=400, seed=3) == paid).all()


def test_handing_over_costs_what_is_believed():
    paid = shop_price(HUMS, State())
    assert (paid.money, paid.minutes) == (pytest.approx(240.0), pytest.approx(60.0))
    assert cost_of(HUMS, lambda _: SHOP).cost == pytest.approx(270.0)


def test_a_way_that_cannot_be_is_no_branch():
    never = replace(CLICK, given={"relay": (Chance(0.0), Chance(1.0)), OTHER: (Chance(0.0), Chance(1.0))})
    ways = branches(replace(HUMS, tests=(never,)), State(), Action(Kind.TEST, ("click",)))
    assert [way.outcome for way in ways] == ["no"]
    assert branches(HUMS, State(), SHOP) == []
