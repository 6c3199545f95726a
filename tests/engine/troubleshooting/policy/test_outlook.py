"""Where an action leads and what the shop takes, worked by hand."""

import pytest

from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.model.parts import Quote, Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem, suspects
from knowngood.engine.troubleshooting.policy.moves import State
from knowngood.engine.troubleshooting.policy.outlook import shop_price

CLICK = Test.shows("click", "clicks", {"relay": Chance(0.8)}, Chance(0.1), price=Price(0.0, 10.0))
RELAY = Repair("relay", "new relay", {"relay": Chance(0.9)}, Price(20.0, 30.0))
HUMS = Problem(
    suspects({"relay": 1}, other=0.4),
    (CLICK,),
    (RELAY,),
    quote=Quote(Price(200.0, 60.0), frozenset({"relay"}), Price(100.0)),
    rate_per_hour=30.0,
)


def test_handing_over_costs_what_is_believed():
    paid = shop_price(HUMS, State())
    assert (paid.money, paid.minutes) == (pytest.approx(240.0), pytest.approx(60.0))
