"""At what temperature to drain, in words; the film's law is checked with the engine."""

import pytest

from knowngood.acts.fluids.warm_not_hot import USUAL, warmth
from knowngood.engine.fluids.viscosity import through
from knowngood.sheet.circuits import Circuit, Fluid


def of(fluid):
    return warmth(Circuit(name="One", fluid=fluid, holds="5 L", refill="fill"))


@pytest.mark.parametrize("fluid", list(USUAL))
def test_an_oil_is_drained_warm_not_hot(fluid):
    found = of(fluid.value)
    assert 20.0 < found.from_c < found.to_c == 48.0
    assert found.advice == f"Drain it warm, not hot: at about {found.from_c:.0f} to 48 °C."
    assert "times as much stays on the walls" in found.behind
    assert "our guess, wide" in found.behind


def test_the_thicker_the_oil_the_warmer_it_is_drained():
    assert of("gearbox oil").from_c <= of("engine oil").from_c <= of("gear oil").from_c


@pytest.mark.published(
    "Jeffreys 1930: the film goes with the root of the viscosity, worked by hand from two data sheets"
)
def test_what_stays_behind_cold_holds_the_root_of_the_viscosities():
    ratios = [
        (float(line.at(20.0)) / float(line.at(48.0))) ** 0.5
        for line in (through(*one) for one in USUAL[Fluid.ENGINE_OIL])
    ]
    low, high = (float(word) for word in of("engine oil").behind.split("At 20 °C ")[1].split(" times")[0].split(" to "))
    assert low <= min(ratios) <= max(ratios) <= high


def test_the_burn_caution_is_one_plain_sentence():
    assert of("gearbox oil").caution.startswith("Above 48 °C wear gloves or wait, above 60 °C do not touch bare metal;")


def test_coolant_is_let_cool_and_never_opened_hot():
    found = of("coolant")
    assert (found.from_c, found.behind) == (None, "")
    assert found.caution.startswith("Never open it hot: it stands under pressure and scalds.")


@pytest.mark.parametrize("fluid", ["brake fluid", "fuel", "refrigerant"])
def test_what_no_plug_lets_out_has_no_range(fluid):
    assert of(fluid) is None


def test_the_usual_oils_are_oils():
    assert all(thin[0][1] < thick[0][1] for thin, thick in USUAL.values())
