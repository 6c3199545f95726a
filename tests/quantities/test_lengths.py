"""Quantities read with length gauges: what is asked counts, and refusals stand at their field."""

import pytest
from tests.quantities.handed import given
from tests.refusing import refused

from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.quantities.lengths import QUANTITIES

BY_NAME = {one.name: one for one in QUANTITIES}
MICROMETER = Meter("micrometer", 0.0, 4, 0.001)


def value(name, read, **typed):
    return BY_NAME[name].estimate(given(BY_NAME[name], read, **typed)).value


@pytest.mark.parametrize("quantity", QUANTITIES, ids=BY_NAME)
def test_a_reading_is_enough(quantity):
    read = "22.30 22.31 22.29 22.30 mm" if quantity.name == "thickness_variation" else "2.30 mm"
    assert any(row.assumed for row in quantity.estimate(given(quantity, read)).rows)


def test_what_is_asked_reaches_the_model():
    assert value("disc_thickness", "22.31 22.29 22.33 22.30 mm", zero_error="0.01") == pytest.approx(22.28)
    assert value("disc_thickness", "22.31 22.29 22.33 22.30 mm", zero_error="-0.01 mm") == pytest.approx(22.30)
    assert value("runout", "0.05 0.06 0.04 mm", shown="total", bearing_play="0") == pytest.approx(0.05)
    assert value("runout", "0.05 mm", bearing_play="0.02") == pytest.approx(0.04)
    assert value("valve_clearance", "0.25 0.26 mm") == pytest.approx(0.255)
    assert value("valve_clearance", "0.25 mm", **{"not": "0.27"}) == pytest.approx(0.26)
    assert value("valve_clearance", "0.25 mm") == pytest.approx(0.275)


def test_other_units():
    assert value("valve_clearance", "10 12 thou") == pytest.approx(11 * 0.0254)


@pytest.mark.parametrize(
    ("name", "setting", "row"),
    [("belt_deflection", {"pushed": "scale"}, "push"), ("free_play", {"end": "0.5"}, "end"),
     ("thickness_variation", {"again": "22.30 22.31 22.30"}, "highest/feel"),
     ("runout", {"bearing_play": "0.01"}, "play")],
)  # fmt: skip
def test_what_was_stated_is_no_longer_assumed(name, setting, row):
    quantity, read = BY_NAME[name], "22.30 22.31 22.29 22.30 mm"
    found = [quantity.estimate(given(quantity, read, **typed)).rows for typed in ({}, setting)]
    assert [next(one.assumed for one in rows if one.key == f"reading:7/{row}") for rows in found] == [True, False]


def test_a_set_of_blades_that_was_described():
    rows = BY_NAME["valve_clearance"].estimate(given(BY_NAME["valve_clearance"], "0.25 0.30 mm", MICROMETER)).rows
    blade = next(row for row in rows if row.key == "meter:micrometer/blade")
    assert (blade.assumed, blade.input_uncertainty) == (False, pytest.approx(0.004 / 3**0.5))


@pytest.mark.parametrize(
    ("name", "read", "keys"),
    [
        ("disc_thickness", "22.30 mm", {"zero", "places", "meter", "data_sheet"}),
        ("runout", "0.05 mm", {"play", "again", "meter", "data_sheet"}),
        ("valve_clearance", "0.25 mm", {"blade", "drag", "micrometer"}),
        ("belt_deflection", "10 11 mm", {"scale", "end", "repeat", "meter", "data_sheet"}),
    ],
)
def test_what_could_be_done(name, read, keys):
    one = given(BY_NAME[name], read)
    assert {way.key for way in BY_NAME[name].remedies(one, BY_NAME[name].estimate(one))} == keys


def test_doing_all_that_was_asked_leaves_nothing_of_it_to_do():
    quantity = BY_NAME["disc_thickness"]
    one = given(quantity, "22.31 22.29 22.33 22.30 mm", MICROMETER, zero_error="0")
    assert not {"zero", "places"} & {way.key for way in quantity.remedies(one, quantity.estimate(one))}


@pytest.mark.parametrize(
    ("name", "read", "typed", "problems"),
    [
        ("valve_clearance", "0.25 0.30 mm", {"not": "0.30"},
         {"not": "The blade that does not go is written twice. Leave this empty, or write one reading."}),
        ("free_play", "14 mm", {"end": "-1"},
         {"end": "-1 mm is below zero. Write how far it may be off either way, such as 0.5."}),
        ("belt_deflection", "10 mm", {"pushed": "foot"}, {"pushed": '"foot" is none of the choices. Take scale.'}),
    ],
)  # fmt: skip
def test_refused_at_its_field(name, read, typed, problems):
    quantity = BY_NAME[name]
    assert refused(lambda: quantity.estimate(given(quantity, read, **typed))) == problems


def test_too_many_blades():
    quantity = BY_NAME["valve_clearance"]
    with pytest.raises(ValueError, match=r"\.$") as found:
        quantity.estimate(given(quantity, "0.20 0.25 0.30 mm"))
    assert str(found.value) == (
        "3 blades were written; one or two belong here. Write the thickest that goes, then the thinnest that does "
        'not, such as "0.25 0.30 mm".'
    )


@pytest.mark.parametrize(
    ("name", "read", "typed"),
    [
        ("disc_thickness", "22.3 mm", {"zero_error": "22.3"}),
        ("pad_thickness", "5 mm", {"zero_error": "-6"}),
        ("thickness_variation", "22.30 22.31 22.29 22.30 mm", {"again": "22.3"}),
        ("runout", "0.05 mm", {"bearing_play": "-0.1"}),
    ],
)
def test_the_models_refusals_find_their_field(name, read, typed):
    quantity = BY_NAME[name]
    with pytest.raises(ValueError, match=r"\.$") as found:
        quantity.estimate(given(quantity, read, **typed))
    (field,) = typed
    assert [where for begins, where in quantity.refusals if str(found.value).startswith(begins)] == [field]
