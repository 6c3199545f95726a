"""Infrared and contact temperature: what is shown of a warm surface, and what cannot be read at all."""

import math

import pytest

from knowngood.engine.judgement import Band, Verdict, judge
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.engine.measurement.warmth.infrared import (
    SURFACES,
    Surroundings,
    contact_temperature,
    infrared_temperature,
    shown_temperature,
    surface_from_shown,
)

GUN = Meter("gun", 0.0, 0, 0.1, offset=2.0)
# Emissivity to what a thermometer set to .95 shows of 80 °C in surroundings of 20 °C.
SHOWN = {0.9: 77.53, 0.8: 72.44, 0.6: 61.52, 0.3: 42.80}


@pytest.mark.parametrize(("emissivity", "shown"), SHOWN.items())
def test_table_by_another_implementation(emissivity, shown):
    """Ours, run apart from this code."""
    assert shown_temperature(80.0, emissivity=emissivity) == pytest.approx(shown, abs=0.005)
    assert surface_from_shown(shown, emissivity=emissivity) == pytest.approx(80.0, abs=0.02)


@pytest.mark.published(
    "McAdams, Heat transmission, 1954, Hottel's table of emissivities, book from memory, values as reprinted"
)
@pytest.mark.parametrize(
    ("surface", "least", "most"),
    [("coated", 0.92, 0.96), ("rusty", 0.61, 0.94), ("dull_aluminium", 0.20, 0.31), ("unknown", 0.61, 0.96)],
)
def test_surfaces_hold_the_printed_ranges(surface, least, most):
    kind = SURFACES[surface]
    assert kind.emissivity - kind.half_width <= least + 1e-9
    assert kind.emissivity + kind.half_width >= most - 1e-9


def test_nothing_is_corrected_when_the_setting_is_right_or_all_is_equally_warm():
    assert surface_from_shown(63.0, emissivity=0.95) == pytest.approx(63.0, abs=1e-9)
    assert surface_from_shown(20.0, emissivity=0.3, surroundings_c=20.0) == pytest.approx(20.0, abs=1e-9)


def test_a_patch_of_tape():
    found = infrared_temperature([80.0], meter=GUN, surface="coated")
    emissivity = 0.03 / 0.95 * (353.15**4 - 293.15**4) / (4 * 353.15**3)
    expected = math.hypot(2.0, emissivity, 0.05) / math.sqrt(3)
    assert found.value == pytest.approx(80.0)
    assert found.standard_uncertainty == pytest.approx(expected, rel=1e-6)
    assert found.quantiles is None or max(found.quantiles) < 90.0


def test_a_surface_nobody_described_is_wide_and_says_so():
    found = infrared_temperature([80.0], meter=GUN)
    assert {row.name for row in found.rows if row.assumed} == {"what the surface is like", "temperature around it"}
    assert judge(found, Band(None, 95.0, "°C")).verdict is Verdict.CANT_TELL
    tape = infrared_temperature([80.0], meter=GUN, surface="coated")
    assert judge(tape, Band(None, 95.0, "°C")).verdict is Verdict.WITHIN


def test_dull_aluminium_is_very_wide_and_leans_to_hot():
    found = infrared_temperature([50.0], meter=GUN, surface="dull_aluminium")
    assert found.standard_uncertainty > 20.0
    assert found.quantiles is not None
    assert found.quantiles[-1] - found.value > found.value - found.quantiles[0]


def test_two_readings_scatter_without_bounds_and_still_count():
    found = infrared_temperature([75.0, 85.0], meter=GUN, surface="coated")
    assert found.value == pytest.approx(80.0)
    assert found.quantiles is not None
    assert all(math.isfinite(one) for one in found.quantiles)


def test_warmer_surroundings_pull_the_true_temperature_down():
    warm = Surroundings(60.0, 1.0, assumed=False)
    assert infrared_temperature([70.0], meter=GUN, surface="rusty", surroundings=warm).value < (
        infrared_temperature([70.0], meter=GUN, surface="rusty").value
    )


def test_a_probe_stays_behind_towards_the_air():
    held = contact_temperature([60.0], meter=GUN)
    assert held.value == pytest.approx(60.0 + 0.05 * 40.0)
    dipped = contact_temperature([60.0], meter=GUN, contact="immersed")
    assert dipped.value == pytest.approx(60.2)
    assert dipped.standard_uncertainty < held.standard_uncertainty
    assert contact_temperature([20.0], meter=GUN).value == pytest.approx(20.0)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ({"surface": "bare"},
         "bare metal cannot be read by infrared: it mirrors what is around it. "
         "Stick a patch of tape or paint on it, wait a minute, and read the patch."),
        ({"surface": "glass"},
         '"glass" is no surface known here. Take one of coated, rusty, dull_aluminium, unknown.'),
        ({"emissivity_set": 95.0},
         "an emissivity setting of 95; thermometers are set from 0.1 to 1. "
         "Look at the display or the manual; most are fixed at 0.95."),
        ({"shown_c": [-300.0]},
         "a temperature of -300 °C is outside -60 to 800 °C. Check the number and its unit."),
        ({"shown_c": [12.0], "surface": "dull_aluminium"},
         "a surface that mirrors this much is too near the temperature around it to be read. "
         "Stick a patch of tape or paint on it, wait a minute, and read the patch."),
        ({"shown_c": []}, "the readings: there is no reading. Give one or more numbers, as the display showed them."),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(arguments, message):
    given = {"shown_c": [60.0], "meter": GUN} | arguments
    with pytest.raises(ValueError, match=r"\.$") as refused:
        infrared_temperature(given.pop("shown_c"), **given)
    assert str(refused.value) == message


def test_an_unknown_contact_is_refused():
    with pytest.raises(ValueError, match=r"\.$") as refused:
        contact_temperature([60.0], meter=GUN, contact="near")
    assert str(refused.value) == '"near" is no way to hold a probe known here. Take one of held, fixed, immersed.'
