"""Volumes as typed: what counts, and what is refused at which field."""

import pytest
from tests.quantities.handed import estimate, given, refused

from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.quantities.known import QUANTITIES


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
    quantity = QUANTITIES["volume_out_weighed"]
    one = given(quantity, "3.48 kg")
    ways = {one.key: one for one in quantity.remedies(one, quantity.estimate(one))}
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
