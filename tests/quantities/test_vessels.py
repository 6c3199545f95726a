"""Volumes as typed: each example works as it stands, and what is refused at which field."""

import shlex

import pytest

from knowngood import units
from knowngood.engine.judgement import Band, judge
from knowngood.engine.measurement.instruments import Meter, typical
from knowngood.quantities.model import Given
from knowngood.quantities.vessels import QUANTITIES
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


def estimate(name, read, meter=None, **typed):
    return BY_NAME[name].estimate(given_for(BY_NAME[name], read, meter, **typed))


def test_pours_are_added_up():
    assert estimate("volume_out", "1.0 1.0 0.5 qt").value == pytest.approx(2.5 * 0.946352946)


def test_a_vessel_that_was_described_counts_instead_of_its_marks():
    bottle = Meter("bottle", 1.0, 0.5, 0.05)
    described = estimate("volume_out", "1.0 1.0 L", bottle, marks="0.5")
    assert described == estimate("volume_out", "1.0 1.0 L", bottle)
    assert described.standard_uncertainty < estimate("volume_out", "1.0 1.0 L").standard_uncertainty


def test_coarser_marks_are_less_sure():
    fine, coarse = (estimate("volume_out", "1.0 1.0 L", marks=marks) for marks in ("0.05", "0.5"))
    assert fine.standard_uncertainty < coarse.standard_uncertainty


def test_a_density_counts_before_the_fluid():
    assert estimate("volume_out_weighed", "3.48 kg", density="0.87", fluid="water").value == pytest.approx(4.0)
    assert estimate("volume_out_weighed", "3.98 kg", fluid="water").value == pytest.approx(4.0)


def test_the_density_is_worth_looking_up():
    quantity = BY_NAME["volume_out_weighed"]
    given = given_for(quantity, "3.48 kg")
    ways = {one.key: one for one in quantity.remedies(given, quantity.estimate(given))}
    assert list(ways["density"].after) == ["reading:7/density"]


@pytest.mark.parametrize(
    ("name", "read", "typed", "problems"),
    [
        ("volume_out", "1.0 L", {"marks": "0"},
         {"marks": "marks 0 L apart; write how far one mark is from the next, such as 0.1 L."}),
        ("volume_out", "1.0 0 L", {},
         {"read": "a reading of 0 L is not above zero. Leave out what was empty, and read at eye level."}),
        ("volume_out_weighed", "0.7 kg", {"tare": "0.71"},
         {"tare": "the empty vessel weighs 0.71 kg and the full one 0.7 kg: nothing is left for the fluid. "
          "Write the weight of vessel and fluid together, and the empty vessel apart from it."}),
        ("volume_out_weighed", "3 kg", {"density": "870"},
         {"density": "a density of 870 ± 0.01 kg/L; fluids of a vehicle lie from 0.6 to 2 kg/L. "
          "Write it in kg/L, such as 0.87."}),
    ],
)  # fmt: skip
def test_refused_at_the_field(name, read, typed, problems):
    assert refused(name, read, **typed) == problems
