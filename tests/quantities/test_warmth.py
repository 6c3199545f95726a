"""Temperatures as typed: each example works as it stands, and what is refused at which field."""

import shlex

import pytest

from knowngood import units
from knowngood.engine.judgement import Band, judge
from knowngood.engine.measurement.instruments import Meter, typical
from knowngood.quantities.model import Given
from knowngood.quantities.warmth import QUANTITIES
from knowngood.refusal import Refused

BY_NAME = {one.name: one for one in QUANTITIES}


def given_for(quantity, read, meter=None, **typed):
    found = units.readings(read, quantity.reads, unit=quantity.read_unit or None)
    return Given(found, meter or typical(found.kind.unit, found.step), typed, "7")


def from_example(quantity):
    words = shlex.split(quantity.example)
    options = list(zip(words[::2], words[1::2], strict=True))
    typed = dict(value.split("=", 1) for option, value in options if option == "--set")
    assert set(typed) <= {ask.name for ask in quantity.asks}
    plain = {option: value for option, value in options if option != "--set"}
    assert plain["--quantity"] == quantity.name
    return given_for(quantity, plain["--read"], **typed), units.span(plain["--limits"], quantity.judged)


@pytest.mark.parametrize("quantity", QUANTITIES, ids=BY_NAME)
def test_each_example_works_as_it_stands(quantity):
    given, allowed = from_example(quantity)
    found = quantity.estimate(given)
    assert found.unit == quantity.judged.unit
    ways = quantity.remedies(given, found)
    assert any(one.key == "meter" for one in ways)
    left = {row.key: abs(row.contribution) for row in found.rows}
    assert all(after <= left[key] for one in ways for key, after in one.after.items())
    band = Band(allowed.lower, allowed.upper, found.unit)
    assert judge(found, band, remedies=ways).probability_inside > 0.5
    assert quantity.trap.endswith(".")


def refused(name, read, **typed):
    with pytest.raises((ValueError, Refused)) as why:
        BY_NAME[name].estimate(given_for(BY_NAME[name], read, **typed))
    problems = getattr(why.value, "problems", None)
    if problems is not None:
        return problems
    text = str(why.value)
    return {next((at for begins, at in BY_NAME[name].refusals if text.startswith(begins)), "read"): text}


def test_what_was_picked_and_set_counts():
    quantity = BY_NAME["surface_temperature"]
    gun = Meter("gun", 0.0, 0, 0.1, offset=2.0)
    typed = {"surface": "rusty", "emissivity_set": "0.85", "surroundings": "30 ± 2"}
    found = quantity.estimate(given_for(quantity, "70 °C", gun, **typed))
    expected = (303.15**4 + 0.85 / 0.725 * (343.15**4 - 303.15**4)) ** 0.25 - 273.15
    assert found.value == pytest.approx(expected)
    assert not any(row.assumed for row in found.rows)


def test_a_patch_settles_more_than_anything_else():
    quantity = BY_NAME["surface_temperature"]
    given = given_for(quantity, "80.2 °C")
    found = quantity.estimate(given)
    band = Band(None, 95.0, "°C")
    assert judge(found, band, remedies=quantity.remedies(given, found)).settle[0].key == "patch"


@pytest.mark.parametrize(("typed", "assumed"), [({}, True), ({"surroundings": "18"}, True),
                                                ({"surroundings": "18 ± 3"}, False)])  # fmt: skip
def test_air_that_nobody_read_is_assumed(typed, assumed):
    quantity = BY_NAME["contact_temperature"]
    found = quantity.estimate(given_for(quantity, "60.0 °C", **typed))
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
