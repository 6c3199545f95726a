"""How far off a level check is: by hand, with and without tilt, window, pan and tolerance."""

import math

import pytest
from tests.acts.fluid_jobs import with_circuit

from knowngood.acts.fluids.level import level_told

LEVEL = 'by: overflow_plug, window: "35..45 °C", tilt: {{along: along, across: across}}{more}'
PAN = ', pan: {length: "300 mm", width: "200 mm"}, plug_to_middle: {along: "100 mm", across: "0 mm"}'


def circuit(more="", fluid="gearbox oil", level=LEVEL):
    return (
        f'{{name: "Gearbox", fluid: {fluid}, holds: "8 L ± 0.2", refill: fill, level: {{{level.format(more=more)}}}}}'
    )


@pytest.fixture
def job(tmp_path):
    """job(circuit, tilts=…): opened, with both tilts read or not."""

    def make(text, tilts=(), **temperature):
        kept = with_circuit(tmp_path, text)
        for limit, read in zip(("along", "across"), tilts, strict=False):
            kept.add("reading_judged", limit=limit, read=f"{read} deg", turned=f"{-read}")
        if temperature:
            kept.add("temperature_read", circuit="c", **temperature)
        return kept.job

    return make


def verdict(told):
    return told.data["judgement"]["verdict"]


def test_nothing_is_said_of_a_circuit_whose_level_nobody_reads(job):
    assert level_told(job('{name: "G", fluid: gear oil, holds: "2 L", refill: fill}'), "c") is None


def test_nothing_is_said_of_a_narrow_tank_that_nobody_measured(job):
    assert level_told(job(circuit(fluid="coolant", level="by: sight_glass")), "c") is None


@pytest.mark.published(
    "one degree over 100 mm against 8 L warming by 10 K at 7.4e-4 over 0.06 m2, worked by hand: 1.77"
)
def test_one_degree_of_tilt_beside_the_window(job):
    # The free part of the surface is taken as 0.85: .051 m². The window then raises the level by 1.16 mm.
    times = 100.0 * math.tan(math.radians(1.0)) / (8.0 * 10.0 * 7.4e-4 / 0.051)
    sentence = level_told(job(circuit(PAN)), "c").data["sentence"]
    assert f"One degree of tilt outweighs the whole 35–45 °C window {times:.1f} times: level it to within" in sentence
    assert "mm over 1 m)" in sentence


def test_an_unknown_driveway_cannot_be_told_and_levelling_settles_it(job):
    told = level_told(job(circuit(PAN)), "c")
    assert verdict(told) == "can't tell"
    best = told.data["judgement"]["settle"][0]
    assert best["remedy"].startswith("Level it to within")
    assert best["probability"] > 0.95
    assert any(row.startswith("Nobody has read the tilt") for row in told.data["further"])
    assert {"tilt along the vehicle", "fluid anywhere in the window"} <= set(told.data["assumed"])


def test_tilts_that_were_read_count_instead(job):
    told = level_told(job(circuit(PAN), tilts=(0.1, 0.1)), "c")
    assert verdict(told) == "within limits"
    assert "is level enough, and as read it is." in told.data["sentence"]
    assert not any("tilt" in row for row in told.data["assumed"])


def test_which_end_is_low_is_not_known_so_a_tilt_is_doubt_not_a_value(job):
    told = level_told(job(circuit(PAN), tilts=(1.5, 0.0)), "c")
    assert told.error.litre.value == pytest.approx(0.0, abs=1e-9)
    # 1.5 deg, 100 mm, .051 m²: .13 L either way.
    assert told.error.tilt_l.standard_uncertainty == pytest.approx(0.1 * math.tan(math.radians(1.5)) * 51.0, rel=0.1)


@pytest.mark.published("API MPMS 11.1, by hand: 8 L of 850 kg/m3 read at 35 °C for 40 °C end .0304 L over")
def test_a_fluid_read_at_the_cold_edge_is_overfilled(job):
    told = level_told(job(circuit(PAN), tilts=(0.1, 0.1), celsius="35.0"), "c")
    assert told.error.litre.value == pytest.approx(0.0304, abs=0.00005)


def test_a_temperature_outside_the_window_says_nothing_of_the_check(job):
    told = level_told(job(circuit(PAN), celsius="24.0"), "c")
    assert told.error.temperature_l.value == 0.0


def test_a_level_that_counts_at_any_temperature_has_no_error_from_it(job):
    told = level_told(job(circuit(level="by: dipstick", fluid="engine oil")), "c")
    assert told.error.temperature_l.standard_uncertainty == 0.0
    assert "When the dipstick says it is right" in told.data["sentence"]
    assert "window" not in told.data["sentence"]


def test_the_sheets_tolerance_counts_in_its_own_unit(job):
    told = level_told(job(circuit(PAN + ', tolerance: "5 mm"')), "c")
    assert told.data["band"]["upper"] == 5.0
    assert told.data["estimate"]["unit"] == "mm"
    assert not any("until your manual says" in row for row in told.data["assumed"])


def test_without_a_tolerance_ours_is_named_as_ours(job):
    told = level_told(job(circuit(PAN)), "c")
    assert told.data["band"]["upper"] == 0.2
    assert (
        "± 0.2 L counts as near enough until your manual says otherwise; the marks of most sticks lie further apart"
        in told.data["assumed"]
    )


def test_a_pan_that_nobody_measured_is_wide_and_a_tape_would_help(job):
    told = level_told(job(circuit()), "c")
    assert any(row.startswith("Pan and plug are taken wide. Measured by tape") for row in told.data["further"])
    assert any(row.startswith("a pan of about 350 × 250 mm") for row in told.data["assumed"])


def test_when_temperature_and_eye_use_it_all_up_it_says_so(job):
    told = level_told(job(circuit(PAN + ', tolerance: "0.5 mm"')), "c")
    assert told.to is None
    assert any("nothing is left for tilt" in row for row in told.data["further"])


def test_the_middle_of_a_wide_window_is_worth_waiting_for(job):
    wide = LEVEL.replace("35..45 °C", "20..80 °C")
    told = level_told(job(circuit(PAN, level=wide), tilts=(0.1, 0.1)), "c")
    assert [one["key"] for one in told.data["judgement"]["settle"]] == ["middle"]
    assert "wait for its middle" in told.data["sentence"]
