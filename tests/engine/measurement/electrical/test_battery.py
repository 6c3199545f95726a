"""A rested battery's charge: the published table, and the doubts that it is read with."""

import math

import numpy as np
import pytest

from knowngood.engine.judgement import Band, Verdict, judge
from knowngood.engine.measurement.electrical.battery import (
    BATTERY_WAYS,
    DISPUTED_V_PER_K,
    RESTED_H,
    SURFACE_V,
    battery_charge,
    charge_percent,
)
from knowngood.engine.measurement.meters.instruments import Meter, typical
from knowngood.engine.measurement.readings.remedies import by_ways

BLUE = Meter("blue", 0.05, 2, 0.01)
SURE = {"battery_c": (26.7, 1.0), "rested_h": 12.0, "battery": "flooded"}
PRINTED = {12.65: 100, 12.45: 75, 12.24: 50, 12.06: 25, 11.89: 0}


def rows(estimate):
    return {row.key.rpartition("/")[2]: abs(row.contribution) for row in estimate.rows}


def slope(volts):
    return (charge_percent(volts + 1e-6) - charge_percent(volts - 1e-6)) / 2e-6


@pytest.mark.published("voltage and charge of a rested lead-acid battery at 26.7 °C: common practice, no source")
@pytest.mark.parametrize(("volts", "percent"), PRINTED.items())
def test_printed_charge(volts, percent):
    assert charge_percent(volts) == pytest.approx(percent, abs=1e-9)
    assert battery_charge([volts], meter=BLUE, **SURE).value == pytest.approx(percent, abs=1e-9)


def test_between_the_points_it_rises_and_keeps_near_the_straight_lines():
    volts = np.linspace(10.5, 13.2, 500)
    assert np.all(np.diff(charge_percent(volts)) > 0.0)
    inside = np.linspace(11.89, 12.65, 200)
    straight = np.interp(inside, sorted(PRINTED), sorted(PRINTED.values()))
    assert charge_percent(inside) == pytest.approx(straight, abs=0.2)


def test_each_doubt_is_its_volts_times_the_slope():
    found = battery_charge([12.35], meter=BLUE, battery_c=(16.7, 2.0), rested_h=12.0, battery="flooded")
    steep = slope(12.35)
    assert rows(found) == pytest.approx({
        "digits": 0.02 * steep / math.sqrt(3), "step": 0.005 * steep / math.sqrt(3),
        "gain": 12.35 * 0.0005 * steep / math.sqrt(3), "temperature": 12.0 * DISPUTED_V_PER_K * steep / math.sqrt(3),
        "table": 0.03 * steep / math.sqrt(3),
    }, rel=1e-5)  # fmt: skip


def test_temperature_is_a_doubt_and_no_correction():
    cold, warm = (battery_charge([12.45], meter=BLUE, **{**SURE, "battery_c": at}) for at in ((-10, 1.0), (26.7, 1.0)))
    assert cold.value == pytest.approx(warm.value)
    assert rows(cold)["temperature"] > 10.0 * rows(warm)["temperature"]


@pytest.mark.parametrize("hours", [0.0, 2.0, 6.0])
def test_a_short_rest_shows_too_much_never_too_little(hours):
    rested, short = (battery_charge([12.5], meter=BLUE, **{**SURE, "rested_h": h}) for h in (RESTED_H, hours))
    most_v = SURFACE_V * (1.0 - hours / RESTED_H)
    assert short.value == pytest.approx(charge_percent(12.5 - 0.5 * most_v))
    assert short.value < rested.value
    assert f"charge on the surface of the plates, up to {most_v:.2g} V" in {row.says for row in short.rows}


def test_a_reading_alone_assumes_the_rest_aloud_and_resting_settles_most():
    found = battery_charge([12.6], meter=typical("V", 0.01))
    assert {row.says for row in found.rows if row.assumed} == {
        "charge on the surface of the plates, up to 0.3 V", "the battery at 15 ± 15 °C",
        "which table fits this battery, ± 0.1 V", "display, the readings", "percent of the meter",
    }  # fmt: skip
    ways = by_ways(found, BATTERY_WAYS)
    assert [one.key for one in ways] == ["rest", "temperature", "table"]
    assert judge(found, Band(75.0, None, "%"), remedies=ways).verdict is Verdict.CANT_TELL


@pytest.mark.parametrize(
    ("volts", "percent", "says", "verdict"),
    [
        (12.9, 100.0, "the table ends at 12.65 V: counted as full", Verdict.WITHIN),
        (11.0, 0.0, "the table ends at 11.89 V: counted as empty", Verdict.OUT),
    ],
)
def test_beyond_the_table_it_counts_as_full_or_empty_and_says_so(volts, percent, says, verdict):
    found = battery_charge([volts], meter=BLUE, **SURE)
    assert found.value == pytest.approx(percent)
    assert says in {row.says for row in found.rows if row.assumed}
    assert judge(found, Band(75.0, None, "%")).verdict is verdict


def test_just_beyond_the_end_nothing_jumps():
    at, beyond = (battery_charge([volts], meter=BLUE, **SURE) for volts in (12.65, 12.651))
    assert beyond.value == pytest.approx(at.value)
    assert beyond.standard_uncertainty == pytest.approx(at.standard_uncertainty, rel=0.01)


@pytest.mark.parametrize(
    ("volts", "arguments", "message"),
    [
        (25.2, {},
         "25.2 V is more than one battery of 12 V: a system of 24 V, or a charger alone. "
         "Read each battery of 12 V by itself, at its own posts."),
        (13.9, {},
         "13.9 V is a battery being charged, or just charged, or one that is not lead and acid; a rested one "
         "shows 13.2 V at most. Switch everything off, wait some hours and read again."),
        (6.3, {},
         "6.3 V is too low for a rested battery of 12 V, which is empty at 11.89 V: a dead cell, a load that is still "
         "on, or a battery of 6 V. Switch everything off, charge it, let it rest, read again."),
        (-12.6, {},
         "a reading of -12.6 V is below zero: the probes are the other way round. Swap them and read again."),
        (0.0, {},
         "a reading of 0 V is not above zero: a battery that is connected shows more; look for the probes' contact, "
         "and read again."),
        (12.6, {"rested_h": -1.0}, "rested -1 h is below zero. Write the hours since it was charged or driven."),
        (12.6, {"battery_c": (77.0, None)},
         "a battery at 77 °C is outside -40 to 60 °C, where a battery lives. Check the temperature and its unit."),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(volts, arguments, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        battery_charge([volts], meter=BLUE, **arguments)
    assert str(refused.value) == message


@pytest.mark.parametrize("volts", [12.1, 12.55])
def test_more_doubt_makes_no_verdict_clearer(volts):
    sure, less = (
        judge(battery_charge([volts], meter=BLUE, **{**SURE, "battery_c": (26.7, off)}), Band(75.0, None, "%"))
        for off in (1.0, 20.0)
    )
    assert abs(less.probability_inside - 0.5) <= abs(sure.probability_inside - 0.5)
