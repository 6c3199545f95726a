"""Highest minus lowest: what cancels, what noise adds, and what lies between the places read."""

import math

import numpy as np
import pytest
from tests.refusing import refused_by_engine

from knowngood.engine.measurement.meters.instruments import Meter, typical
from knowngood.engine.measurement.sizes.spans import (
    BEARING_PLAY_MM,
    DIAL_FEEL_MM,
    FEEL_MM,
    between_places,
    expected_range,
    runout,
    thickness_variation,
)

MICROMETER = Meter("micrometer", 0.0, 4, 0.001)
DIAL = Meter("dial", 0.0, 0, 0.01, offset=0.01)
ROUND = [22.305, 22.308, 22.311, 22.309, 22.306, 22.303, 22.301, 22.302]
D2 = {2: 1.128, 3: 1.693, 4: 2.059, 5: 2.326, 6: 2.534, 7: 2.704, 8: 2.847, 9: 2.970, 10: 3.078, 15: 3.472, 25: 3.931}


def rows(estimate):
    return {row.key: row.contribution for row in estimate.rows}


@pytest.mark.published(
    "Tippett 1925; d2 in Walpole and others, Probability and statistics for engineers, 9th ed., A.22, book from memory"
)
@pytest.mark.parametrize(("count", "printed"), D2.items())
def test_expected_range(count, printed):
    assert expected_range(count) == pytest.approx(printed, abs=0.0005)


def test_zero_and_limit_of_error_cancel_in_highest_minus_lowest():
    fine, coarse = (
        thickness_variation(ROUND, meter=Meter("m", 0.0, 0, 0.001, offset=mm)) for mm in (0.0, 1.0)
    )  # fmt: skip
    assert rows(fine) == rows(coarse)
    shifted = thickness_variation([mm + 0.5 for mm in ROUND], meter=MICROMETER)
    assert shifted.value == pytest.approx(thickness_variation(ROUND, meter=MICROMETER).value)


def test_variation_row_by_row():
    found = thickness_variation(ROUND, meter=Meter("m", 1.0, 0, 0.001), reading_id="7")
    half = 0.5 * min(0.010, expected_range(8) * math.hypot(FEEL_MM, 0.001 / math.sqrt(12)))
    between = 0.5 * (1 / math.cos(math.pi / 8) - 1)
    shown = 0.010 - half
    assert found.value == pytest.approx(shown * (1 + between))
    expected = {
        "reading:7/highest/feel": FEEL_MM * (1 + between), "reading:7/lowest/feel": -FEEL_MM * (1 + between),
        "reading:7/highest/step": 0.0005 / math.sqrt(3) * (1 + between),
        "reading:7/lowest/step": -0.0005 / math.sqrt(3) * (1 + between),
        "meter:m/gain": shown * (1 + between) * 0.01 / math.sqrt(3),
        "reading:7/excess": -half / math.sqrt(3) * (1 + between), "reading:7/between": shown * between / math.sqrt(3),
    }  # fmt: skip
    assert rows(found) == pytest.approx(expected)


def test_a_true_disc_read_with_noise_is_covered():
    """Discs with no variation at all: what is given for the range of noise alone reaches down to none."""
    generator = np.random.default_rng(4)
    covered = 0
    for _ in range(20):
        read = 22.3 + FEEL_MM * generator.standard_normal(8)
        low, high = thickness_variation(list(np.round(read, 3)), meter=MICROMETER).interval(0.95)
        covered += low <= 0.0 <= high
    assert covered >= 19


def test_places_miss_the_most_of_a_wave_by_the_stated_factor():
    turns = np.linspace(0.0, 2 * math.pi, 2001)
    for count in (3, 4, 5, 6, 7, 8):
        at = 2 * math.pi * np.arange(count) / count
        waves = np.sin(at[:, None] + turns[None, :])
        least = (waves.max(axis=0) - waves.min(axis=0)).min()
        assert between_places(count) == pytest.approx(2.0 / least, abs=1e-4)


def test_reading_one_place_again_is_pooled_with_the_usual_feel():
    """GUM, 4.2.4: four readings of variance 2/3, in units of 0.001 mm, beside a usual one of 9 worth two."""
    found = thickness_variation(ROUND, meter=MICROMETER, again_mm=[22.305, 22.306, 22.305, 22.304])
    row = next(row for row in found.rows if row.key.endswith("highest/feel"))
    assert not row.assumed
    assert row.degrees_of_freedom == 5
    assert row.input_uncertainty == pytest.approx(0.001 * math.sqrt((2 * 9 + 3 * 2 / 3) / 5))


@pytest.mark.parametrize("meter", [MICROMETER, typical("mm", 0.001)])
def test_none_two_and_three_readings_at_one_place_follow_on_from_each_other(meter):
    again = (None, [22.305, 22.308], [22.305, 22.308, 22.306])
    found = [thickness_variation(ROUND, meter=meter, again_mm=each).interval() for each in again]
    widths = [high - low for low, high in found]
    assert widths[0] > 0.98 * widths[1]
    assert widths[1] > 0.98 * widths[2]


def test_a_gauge_that_nobody_described_may_be_a_caliper():
    wide = thickness_variation(ROUND, meter=typical("mm", 0.001))
    assert wide.standard_uncertainty > 2.5 * thickness_variation(ROUND, meter=MICROMETER).standard_uncertainty


def test_runout_row_by_row():
    found = runout([-0.02, 0.00, 0.03, 0.01], meter=DIAL, bearing_play_mm=0.01, reading_id="7")
    excess = 0.5 * expected_range(4) * math.hypot(DIAL_FEEL_MM, 0.01 / math.sqrt(12))
    assert found.value == pytest.approx(0.05 - 0.005 - excess)
    expected = {
        "reading:7/feel": math.sqrt(2) * DIAL_FEEL_MM, "reading:7/highest/step": 0.005 / math.sqrt(3),
        "reading:7/lowest/step": -0.005 / math.sqrt(3), "meter:dial/digits": 0.01 / math.sqrt(3),
        "reading:7/excess": -excess / math.sqrt(3), "reading:7/play": -0.005 / math.sqrt(3),
    }  # fmt: skip
    assert rows(found) == pytest.approx(expected)


def test_a_total_is_taken_as_it_stands():
    one, several = runout([0.05], meter=DIAL), runout([0.05, 0.06, 0.04], meter=DIAL, total=True)
    assert one.value == pytest.approx(0.05 - 0.5 * BEARING_PLAY_MM)
    assert several.value == pytest.approx(one.value)
    play = next(row for row in one.rows if row.key.endswith("/play"))
    assert (play.assumed, play.name) == (True, "play of the bearing")


@pytest.mark.parametrize("shown", [0.0, 0.004, 0.015])
def test_play_and_noise_never_take_off_more_than_was_read(shown):
    found = runout([0.0, shown], meter=DIAL, bearing_play_mm=1.0)
    assert found.value == pytest.approx(0.5 * shown)


def test_no_indicator_described_is_a_dial_and_no_caliper():
    found = rows(runout([0.05], meter=typical("mm", 0.01)))
    assert found["meter:not described/digits"] == pytest.approx(0.02 / math.sqrt(3))


@pytest.mark.parametrize("factor", [0.5, 25.4])
def test_scaling_step_and_readings_scales_what_they_make(factor):
    here, there = (
        rows(runout([0.0, 0.5 * k], meter=Meter("d", 2.0, 1, 0.01 * k), bearing_play_mm=0.1 * k)) for k in (1.0, factor)
    )
    for key in ("meter:d/digits", "reading:reading/play", "reading:reading/highest/step"):
        assert there[key] == pytest.approx(factor * here[key])


@pytest.mark.parametrize(
    ("places", "again", "message"),
    [
        ([22.3], None,
         "one reading says nothing about how the thickness varies. Measure at 4 to 8 places, evenly spaced once "
         "round, and write all of them."),
        ([22.3, 22.31, 22.32], None,
         "3 places do not show how the thickness goes round; at least 4 are needed. "
         "Measure at 4 to 8 places, evenly spaced once round, and write all of them."),
        ([22.3, 22.31, 22.32, 0.0], None,
         "a disc of 0 mm is not above zero. Read that place again, and write what the gauge's zero is off apart "
         "from it."),
        (ROUND, [22.3],
         "the same place was read once; that shows no feel of the hand. Read one place 3 to 5 times, lifting the "
         "gauge each time, or leave it empty."),
    ],
)  # fmt: skip
def test_variation_refuses(places, again, message):
    assert refused_by_engine(lambda: thickness_variation(places, meter=MICROMETER, again_mm=again)) == message


@pytest.mark.parametrize(
    ("read", "play", "message"),
    [
        ([], None, "there is no reading of the dial. Give the total, or the needle at several places of one turn."),
        ([-0.05], None,
         "a total of -0.05 mm is below zero. Write highest minus lowest, or both as the needle showed them, such as "
         '"-0.02 0.03 mm".'),
        ([0.05], -0.01,
         "a bearing play of -0.01 mm is below zero. Write how far the needle moves when the part is pushed and "
         "pulled, or 0."),
    ],
)  # fmt: skip
def test_runout_refuses(read, play, message):
    assert refused_by_engine(lambda: runout(read, meter=DIAL, bearing_play_mm=play)) == message
