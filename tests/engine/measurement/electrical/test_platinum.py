"""Platinum sensors: the published curve both ways, leads, classes, and what must be refused."""

import math

import numpy as np
import pytest

from knowngood.engine.judgement import Band, Verdict, judge
from knowngood.engine.measurement.electrical.platinum import (
    CLASSES,
    platinum_celsius,
    platinum_ratio,
    platinum_resistance,
    platinum_temperature,
)
from knowngood.engine.measurement.electrical.resistance import Part
from knowngood.engine.measurement.meters.instruments import Meter, typical

PRINTED = {-40: 84.271, 0: 100.0, 25: 109.735, 50: 119.397, 100: 138.505, 150: 157.325}
# Half-widths in kelvin by class at some temperatures.
ALLOWED = {
    "A": {-200: 0.55, -100: 0.35, 0: 0.15, 100: 0.35, 400: 0.95, 650: 1.45},
    "B": {-200: 1.3, -100: 0.8, 0: 0.3, 100: 0.8, 400: 2.3, 850: 4.6},
}
FINE = Meter("fine", 0.05, 2, 0.01)


def rows(estimate):
    return {row.key.removeprefix("reading:reading/"): abs(row.contribution) for row in estimate.rows}


@pytest.mark.published("IEC 60751, Pt100")
@pytest.mark.parametrize(("celsius", "ohm"), PRINTED.items())
def test_printed_resistance_both_ways(celsius, ohm):
    cold = celsius < 0
    assert 100.0 * platinum_ratio(celsius, below_zero=cold) == pytest.approx(ohm, abs=0.0005)
    assert platinum_celsius(ohm / 100.0, below_zero=cold) == pytest.approx(celsius, abs=0.0015)
    found = platinum_temperature([ohm + 0.3], meter=FINE, zero_ohm=[0.3])
    assert found.value == pytest.approx(celsius, abs=0.0015)


@pytest.mark.published("IEC 60751, tolerance classes as reprinted")
@pytest.mark.parametrize(
    ("name", "celsius", "half"), [(name, at, half) for name, row in ALLOWED.items() for at, half in row.items()]
)
def test_printed_tolerance(name, celsius, half):
    first, second = CLASSES[name]
    assert first + second * abs(celsius) == pytest.approx(half, abs=0.051)
    ohm = 100.0 * platinum_ratio(celsius, below_zero=celsius < 0)
    if -200 < celsius < 850:
        found = platinum_temperature([ohm + 0.3], meter=FINE, zero_ohm=[0.3], tolerance_class=name)
        assert rows(found)["class"] == pytest.approx((first + second * abs(celsius)) / math.sqrt(3), rel=1e-3)


@pytest.mark.parametrize("celsius", [-199.0, -120.0, -40.0, -1.0])
def test_the_way_back_from_the_cold(celsius):
    assert platinum_celsius(platinum_ratio(celsius, below_zero=True), below_zero=True) == pytest.approx(
        celsius, abs=1e-6
    )


def test_cold_and_warm_meet_at_the_freezing_point():
    near = np.linspace(-1.0, 3.0, 9)
    ratios = platinum_ratio(near)
    assert platinum_celsius(ratios, below_zero=True) == pytest.approx(platinum_celsius(ratios), abs=1e-5)


def test_an_assumed_lead_is_half_a_degree_at_a_pt100_and_nothing_at_a_pt1000():
    hundred, thousand = (
        platinum_temperature([read], meter=FINE, nominal_ohm=nominal)
        for read, nominal in ((138.8, 100.0), (1385.35, 1000.0))
    )
    assert hundred.value == pytest.approx(100.0, abs=0.02)
    assert thousand.value == pytest.approx(100.0, abs=0.02)
    assert rows(hundred)["leads"] == pytest.approx(0.2 / math.sqrt(3) * 2.637, rel=0.01)
    assert rows(thousand)["leads"] == pytest.approx(0.1 * rows(hundred)["leads"], rel=0.01)


def test_what_nobody_stated_is_said():
    found = platinum_temperature([138.8], meter=typical("ohm", 0.1), class_assumed=True)
    assert {row.says for row in found.rows if row.assumed} == {
        "test leads of 0.1 to 0.5 ohm", "tolerance of the sensor, class B", "display, the readings",
        "percent of the meter",
    }  # fmt: skip


def test_a_class_that_the_limits_contain_is_no_doubt():
    assert "class" not in rows(platinum_temperature([138.8], meter=FINE, tolerance_class="none"))


def test_a_resistance_is_brought_to_the_limits_temperature():
    warm = Part(100.0, 1.0, assumed=False)
    found = platinum_resistance([138.805], meter=FINE, reference_c=0.0, zero_ohm=[0.3], part=warm)
    assert found.value == pytest.approx(100.0, abs=0.001)
    assert rows(found)["part"] == pytest.approx(100.0 / 138.505 * 0.3793 / math.sqrt(3), rel=0.001)
    back = platinum_resistance([84.571], meter=FINE, reference_c=25.0, zero_ohm=[0.3], part=Part(-40.0, 1.0))
    assert back.value == pytest.approx(109.735, abs=0.001)


def test_a_part_of_unknown_temperature_is_not_clear():
    found = platinum_resistance([110.0], meter=FINE, reference_c=0.0)
    assert "the part at 50 ± 40 °C" in {row.says for row in found.rows if row.assumed}
    assert judge(found, Band(99.0, 101.0, "ohm")).verdict is Verdict.CANT_TELL


def test_the_meters_gain_is_that_of_both_readings():
    found = platinum_resistance([100.3], meter=FINE, reference_c=0.0, zero_ohm=[0.3], part=Part(0.0, 0.0))
    assert found.value == pytest.approx(100.0)
    gain = next(row.contribution for row in found.rows if row.key == "meter:fine/gain")
    assert gain == pytest.approx(100.0 * 0.0005 / math.sqrt(3))


@pytest.mark.parametrize(
    ("read", "arguments", "message"),
    [
        ([-3.0], {}, "a reading of -3 ohm is below zero: the sensor still gets a voltage. Unplug it and read again."),
        ([0.0], {},
         "a reading of 0 ohm is below one step of the display: the sensor is shorted or the probes touch. "
         "Take a smaller range and read again."),
        ([1100.0], {},
         "a reading of 1100 ohm is not that of a Pt100, which has 19 to 390 ohm from -200 to 850 °C. "
         "Check which sensor it is; if it is this one, it is open or shorted."),
        ([0.5], {"nominal_ohm": 1000.0},
         "a reading of 0.5 ohm is not that of a Pt1000, which has 185 to 3905 ohm from -200 to 850 °C. "
         "Check which sensor it is; if it is this one, it is open or shorted."),
        ([100.0], {"zero_ohm": [-0.1]},
         "the probes cannot read below zero when they touch. Write what the display showed, such as 0.3 ohm."),
        ([100.0], {"zero_ohm": [100.0]},
         "the probes read 100 ohm touching and 100 ohm at the sensor: nothing is left for it. "
         "Clean the probes, press them together and read the leads again."),
        ([], {}, "the readings: there is no reading. Give one or more numbers, as the display showed them."),
    ],
)  # fmt: skip
def test_temperature_refused(read, arguments, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        platinum_temperature(read, meter=FINE, **arguments)
    assert str(refused.value) == message


@pytest.mark.parametrize(
    ("part", "reference_c", "message"),
    [
        (Part(900.0, 5.0), 0.0,
         "a part at 900 ± 5 °C reaches outside -200 to 850 °C, where the sensor's curve holds. "
         "Check the temperature and its unit."),
        (Part(20.0, 5.0), 1000.0,
         "limits stated for 1000 °C; the sensor's curve holds from -200 to 850 °C. "
         "Check the temperature and its unit."),
    ],
)  # fmt: skip
def test_resistance_refused(part, reference_c, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        platinum_resistance([110.0], meter=FINE, reference_c=reference_c, part=part)
    assert str(refused.value) == message
