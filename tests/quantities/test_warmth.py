"""Temperatures as typed: what counts, and what is refused at which field."""

import pytest
from tests.quantities.handed import given, refused

from knowngood.engine.judgement import Band, judge
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.quantities.known import QUANTITIES


def test_what_was_picked_and_set_counts():
    quantity = QUANTITIES["surface_temperature"]
    gun = Meter("gun", 0.0, 0, 0.1, offset=2.0)
    typed = {"surface": "rusty", "emissivity_set": "0.85", "surroundings": "30 ± 2"}
    found = quantity.estimate(given(quantity, "70 °C", gun, **typed))
    expected = (303.15**4 + 0.85 / 0.725 * (343.15**4 - 303.15**4)) ** 0.25 - 273.15
    assert found.value == pytest.approx(expected)
    assert not any(row.assumed for row in found.rows)


def test_a_patch_settles_more_than_anything_else():
    quantity = QUANTITIES["surface_temperature"]
    one = given(quantity, "80.2 °C")
    found = quantity.estimate(one)
    band = Band(None, 95.0, "°C")
    assert judge(found, band, remedies=quantity.remedies(one, found)).settle[0].key == "patch"


@pytest.mark.parametrize(("typed", "assumed"), [({}, True), ({"surroundings": "18"}, True),
                                                ({"surroundings": "18 ± 3"}, False)])  # fmt: skip
def test_air_that_nobody_read_is_assumed(typed, assumed):
    quantity = QUANTITIES["contact_temperature"]
    found = quantity.estimate(given(quantity, "60.0 °C", **typed))
    assert next(row for row in found.rows if row.key.endswith("/surroundings")).assumed is assumed


@pytest.mark.parametrize(
    ("name", "read", "typed", "problems"),
    [
        ("surface_temperature", "60 °C", {"surface": "bare"},
         {"surface": "bare metal cannot be read by infrared: it mirrors what is around it. "
          "Stick a patch of tape or paint on it, wait a minute, and read the patch."}),
        ("surface_temperature", "60 °C", {"emissivity_set": "95"},
         {"emissivity_set": "an emissivity setting of 95; thermometers are set from 0.1 to 1. "
          "Look at the display or the manual; most are fixed at 0.95."}),
        ("surface_temperature", "10 °C", {"surface": "dull_aluminium"},
         {"surface": "a surface that mirrors this much is too near the temperature around it to be read. "
          "Stick a patch of tape or paint on it, wait a minute, and read the patch."}),
        ("contact_temperature", "60 °C", {"contact": "near"},
         {"contact": '"near" is none of the choices. Take held, fixed or immersed.'}),
    ],
)  # fmt: skip
def test_refused_at_the_field(name, read, typed, problems):
    assert refused(name, read, **typed) == problems
