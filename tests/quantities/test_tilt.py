"""Quantities of tilt: what is asked reaches the model."""

import math

import pytest
from tests.quantities.handed import estimate, given

from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.quantities.tilt import QUANTITIES

BY_NAME = {one.name: one for one in QUANTITIES}


def test_what_is_asked_reaches_the_model():
    assert estimate("tilt", "0.7 deg", turned="-0.3").value == pytest.approx(0.5)
    assert estimate("tilt", "-1.2 deg", sign="counts").value == pytest.approx(-1.2)
    assert estimate("tilt", "-1.2 deg").value == pytest.approx(1.2)
    level = estimate("tilt_level", "1", turned="-0.5", sensitivity="5")
    assert level.value == pytest.approx(math.degrees(math.atan(0.75 / 2 * 0.005)))
    water = estimate("tilt_water", "412 389", distance="2.6 m")
    assert water.value == pytest.approx(math.degrees(math.atan(23 / 2600)))


@pytest.mark.parametrize(
    ("name", "read", "keys"),
    [
        ("tilt", "0.4 deg", {"turn", "data_sheet", "meter"}),
        ("tilt_level", "1 mm", {"turn", "sensitivity", "eye"}),
        ("tilt_water", "412 389 mm", {"distance", "settle"}),
    ],
)
def test_what_could_be_done(name, read, keys):
    one = given(BY_NAME[name], read)
    assert {way.key for way in BY_NAME[name].remedies(one, BY_NAME[name].estimate(one))} == keys


def test_turned_there_is_no_turning_left_to_do():
    one = given(BY_NAME["tilt"], "0.7 deg", turned="-0.3")
    assert "turn" not in {way.key for way in BY_NAME["tilt"].remedies(one, BY_NAME["tilt"].estimate(one))}


@pytest.mark.parametrize(
    ("name", "read", "typed"),
    [("tilt_level", "1 mm", {"sensitivity": "0"}), ("tilt_water", "412 389 mm", {"distance": "0"})],
)
def test_the_models_refusals_find_their_field(name, read, typed):
    with pytest.raises(ValueError, match=r"\.$") as found:
        estimate(name, read, **typed)
    (field,) = typed
    assert [where for begins, where in BY_NAME[name].refusals if str(found.value).startswith(begins)] == [field]


def test_turning_it_round_is_worth_offering_also_where_its_line_is_known():
    quantity = BY_NAME["tilt"]
    described = given(quantity, "0.4 deg", Meter("cube", 0, 2, 0.1))
    ways = {way.key for way in quantity.remedies(described, quantity.estimate(described))}
    assert "turn" in ways
