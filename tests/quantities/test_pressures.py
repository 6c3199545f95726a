"""Pressures as typed: each example works as it stands, and what is refused at which field."""

import shlex

import pytest

from knowngood import units
from knowngood.engine.judgement import Band, judge
from knowngood.engine.measurement.instruments import Meter, typical
from knowngood.quantities.model import Given
from knowngood.quantities.pressures import QUANTITIES
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


def estimate(name, read, **typed):
    return BY_NAME[name].estimate(given_for(BY_NAME[name], read, **typed))


def test_the_worst_cylinder_counts():
    assert estimate("cylinder_compression", "12.1 11.6 12.0 bar").value == pytest.approx(1160.0)
    assert estimate("cylinder_spread", "150 105 149 psi").value == pytest.approx(70.0)
    assert estimate("leak_down", "8 12 9 %").value == 12.0
    assert estimate("leak_down_gauges", "98 90 psi", supply="100 psi").value == pytest.approx(10.0)


def test_a_vacuum_with_or_without_a_minus():
    assert estimate("vacuum", "-62 -63 kPa") == estimate("vacuum", "62 63 kPa")


def test_a_drop_in_the_time_of_the_limit():
    assert estimate("cooling_pressure_drop", "100 90 kPa").value == pytest.approx(10.0)
    assert estimate("cooling_pressure_drop", "100 90 kPa", held="10", over="5").value == pytest.approx(5.0)
    cooled = estimate("cooling_pressure_drop", "100 90 kPa", warmer="-4 ± 1")
    assert cooled.value == pytest.approx(10.0 - 191.325 * 4 / 289.15, rel=0.01)
    row = next(row for row in cooled.rows if row.key.endswith("/warmer"))
    assert not row.assumed


def test_what_cranking_again_and_a_finer_gauge_are_worth():
    quantity = BY_NAME["cylinder_spread"]
    given = given_for(quantity, "1000 780 kPa", Meter("dial", 0, 0, 10, offset=40))
    found = quantity.estimate(given)
    ways = {one.key: one for one in quantity.remedies(given, found)}
    assert set(ways) == {"repeat", "meter"}
    now = {row.key: abs(row.contribution) for row in found.rows}
    assert ways["meter"].after["meter:dial/offset"] == pytest.approx(0.25 * now["meter:dial/offset"])
    assert ways["repeat"].after["reading:7/2/repeatability"] == pytest.approx(0.7 * now["reading:7/2/repeatability"])


@pytest.mark.parametrize(
    ("name", "read", "typed", "problems"),
    [
        ("cylinder_spread", "1200 kPa", {},
         {"read": "one cylinder alone has nothing to be compared with. "
          "Read them all with the same gauge, one reading each."}),
        ("leak_down_gauges", "700 kPa", {},
         {"supply": "the cylinder's gauge shows 700 kPa and the supply is 690 kPa: no cylinder holds more than it is "
          "fed. Check which gauge is which, and write the supply down too."}),
        ("oil_pressure", "-20 kPa", {},
         {"read": "a pressure of -20 kPa is below the air's. Look whether the gauge stands at zero when it is off, "
          "or judge it as a vacuum."}),
        ("vacuum", "-60 62 kPa", {},
         {"read": "some readings have a minus and some have none. Write a vacuum the same way each time."}),
        ("cooling_pressure_drop", "100 95 kPa", {"over": "5"},
         {"held": "The limit holds for 5 min. Write how long you held the pressure, too."}),
        ("cooling_pressure_drop", "100 95 kPa", {"held": "0"},
         {"held": "0 min is no waiting. Write a time above zero, such as 5 min."}),
    ],
)  # fmt: skip
def test_refused_at_the_field(name, read, typed, problems):
    assert refused(name, read, **typed) == problems
