"""Thermistors: published points by beta and by three lines, doubts, and a sensor taken for a coil."""

import math

import numpy as np
import pytest

from knowngood.engine.judgement import Band, Verdict, judge
from knowngood.engine.measurement.electrical.resistance import Part
from knowngood.engine.measurement.electrical.sensors import (
    BETA_HALF_K,
    BETA_K,
    beta_between,
    beta_thermistor,
    refuse_another_part,
    table_thermistor,
    thermistor_resistance,
    thermistor_temperature,
)
from knowngood.engine.measurement.meters.instruments import Meter, typical

# 10 kilohm at 25 °C with a beta of 3435 K; computed with two libraries.
BY_BETA = {0: 28704.0, 40: 5758.8, 80: 1662.4, 100: 987.0}
TABLE = [(32128.0, 0.0), (9814.0, 25.0), (3542.0, 50.0)]
FINE = Meter("fine", 0.1, 2, 1.0)
SENSOR = beta_thermistor(10_000.0, 3435.0, sensor_share=0.01)


def rows(estimate):
    return {row.key.removeprefix("reading:reading/"): abs(row.contribution) for row in estimate.rows}


@pytest.mark.parametrize(("celsius", "ohm"), BY_BETA.items())
def test_by_beta_both_ways(celsius, ohm):
    """Ours, run with two libraries: half the last digit, in kelvin."""
    steep = ohm * 3435.0 / (celsius + 273.15) ** 2
    last = 0.5 if ohm > 1e4 else 0.05
    assert thermistor_temperature([ohm], meter=FINE, sensor=SENSOR).value == pytest.approx(celsius, abs=last / steep)
    part = Part(float(celsius), 0.0, assumed=False)
    there = thermistor_resistance([ohm], meter=FINE, sensor=SENSOR, reference_c=25.0, part=part)
    assert there.value == pytest.approx(10_000.0, rel=last / ohm)


@pytest.mark.published("Steinhart and Hart 1968: coefficients of three points, as NumPy solves them")
def test_three_lines_of_a_table():
    found = table_thermistor(TABLE)
    logs = np.log([ohm for ohm, _ in TABLE])
    solved = np.linalg.solve(np.vander(logs, 4)[:, [3, 2, 0]], [1.0 / (celsius + 273.15) for _, celsius in TABLE])
    assert (found.a, found.b, found.c) == pytest.approx(solved, rel=1e-9)
    assert (found.a, found.b, found.c) == (
        pytest.approx(1.10415912e-3, abs=5e-12),
        pytest.approx(2.38917947e-4, abs=5e-13),
        pytest.approx(6.93162653e-8, abs=5e-17),
    )
    for ohm, celsius in TABLE:
        assert found.celsius(ohm) == pytest.approx(celsius, abs=1e-9)


def test_two_lines_of_a_table_are_a_beta():
    pair = table_thermistor([(1662.4, 80.0), (28704.0, 0.0)])
    assert 1.0 / pair.b == pytest.approx(3435.0, rel=1e-4)
    assert pair.c == 0.0
    assert pair.celsius(10_000.0) == pytest.approx(25.0, abs=0.01)


@pytest.mark.parametrize("ends", [(0.0, 25.0), (25.0, 50.0), (50.0, 0.0)])
def test_beta_between_two_lines(ends):
    ohms = {celsius: ohm for ohm, celsius in TABLE}
    one, other = (1.0 / (celsius + 273.15) for celsius in ends)
    expected = math.log(ohms[ends[0]] / ohms[ends[1]]) / (one - other)
    assert beta_between(table_thermistor(TABLE), *ends) == pytest.approx(expected, rel=1e-9)


def test_beta_at_one_place_is_the_curves_slope():
    near = beta_between(table_thermistor(TABLE), 25.0, 25.001)
    assert beta_between(table_thermistor(TABLE), 25.0, 25.0) == pytest.approx(near, rel=1e-5)


def test_each_doubt_of_a_temperature():
    found = thermistor_temperature([1662.4], meter=FINE, sensor=SENSOR)
    per_share = 353.15**2 / 3435.0
    turned = (1.0 / 298.15 - 1.0 / 353.15) * 353.15**2
    assert rows(found) == pytest.approx({
        "digits": per_share * 2.0 / 1662.4 / math.sqrt(3), "step": per_share * 0.5 / 1662.4 / math.sqrt(3),
        "meter:fine/gain": per_share * 0.001 / math.sqrt(3), "own": per_share * 0.01 / math.sqrt(3),
        "slope": turned * 0.01 / math.sqrt(3),
    }, rel=1e-4)  # fmt: skip
    assert not any(row.assumed for row in found.rows)


def test_at_its_middle_the_slope_does_not_matter():
    found = thermistor_temperature([10_000.0], meter=FINE, sensor=beta_thermistor(10_000.0))
    assert found.value == pytest.approx(25.0)
    assert rows(found)["slope"] == pytest.approx(0.0, abs=1e-9)


def test_what_nobody_stated_is_said():
    found = thermistor_temperature([1662.0], meter=typical("ohm", 1.0), sensor=beta_thermistor(10_000.0))
    assert {row.says for row in found.rows if row.assumed} == {
        "tolerance of the sensor, ± 5 %", "how steep the sensor is, beta 3000 to 4400 K", "display, the readings",
        "percent of the meter",
    }  # fmt: skip
    assert (BETA_K - BETA_HALF_K, BETA_K + BETA_HALF_K) == (3000.0, 4400.0)


def test_a_sensor_twenty_degrees_off_is_out_and_a_right_one_within():
    right, wrong = (thermistor_temperature([ohm], meter=FINE, sensor=SENSOR) for ohm in (1662.0, 3081.0))
    assert judge(right, Band(77.0, 83.0, "°C")).verdict is Verdict.WITHIN
    assert judge(wrong, Band(77.0, 83.0, "°C")).verdict is Verdict.OUT


def test_each_doubt_of_a_resistance():
    part = Part(15.0, 1.0, assumed=False)
    found = thermistor_resistance([3284.0], meter=FINE, sensor=SENSOR, reference_c=25.0, part=part)
    apart = 1.0 / 298.15 - 1.0 / 288.15
    assert found.value == pytest.approx(3284.0 * math.exp(3435.0 * apart))
    assert rows(found) == pytest.approx({
        "digits": found.value / 3284.0 * 2.0 / math.sqrt(3), "step": found.value / 3284.0 * 0.5 / math.sqrt(3),
        "meter:fine/gain": found.value * 0.001 / math.sqrt(3),
        "part": found.value * 3435.0 / 288.15**2 / math.sqrt(3),
        "slope": found.value * abs(apart) * 34.35 / math.sqrt(3),
    })  # fmt: skip


def test_a_sensor_of_unknown_temperature_is_very_wide_and_keeps_its_shape():
    found = thermistor_resistance([3284.0], meter=FINE, sensor=SENSOR, reference_c=25.0)
    assert found.quantiles is not None
    low, high = found.interval(0.95)
    assert high / low > 5.0
    assert judge(found, Band(2000.0, 2400.0, "ohm")).verdict is Verdict.CANT_TELL


def test_a_curve_takes_arrays_and_complex_steps():
    ohms = np.array([ohm for ohm, _ in TABLE])
    assert table_thermistor(TABLE).celsius(ohms) == pytest.approx([celsius for _, celsius in TABLE])
    slope = SENSOR.celsius(1662.4 + 1e-30j).imag / 1e-30
    assert slope == pytest.approx(-(353.15**2) / 3435.0 / 1662.4, rel=1e-4)


@pytest.mark.parametrize(
    ("build", "message"),
    [
        (lambda: beta_thermistor(0.0, 3435.0),
         "a sensor of 0 ohm is not above zero. Copy it from the manual, such as 2.2 kΩ."),
        (lambda: beta_thermistor(2200.0, 25.0),
         "a beta of 25 K is outside 500 to 10000 K. Copy it from the data sheet, such as 3435."),
        (lambda: table_thermistor(TABLE[:1]),
         "the table has 1 lines here; two or three are needed. Copy two, or better three."),
        (lambda: table_thermistor([(2500.0, 20.0), (-300.0, 80.0)]),
         "the table holds a resistance or a temperature that cannot be. Copy its lines again."),
        (lambda: table_thermistor([(300.0, 20.0), (2500.0, 80.0)]),
         "the table does not fall: each warmer line needs less resistance, as with every sensor of this kind. "
         "Copy resistances and temperatures in the same order."),
        (lambda: thermistor_temperature([-5.0], meter=FINE, sensor=SENSOR),
         "a reading of -5 ohm is below zero: the sensor still gets a voltage. Unplug it and read again."),
        (lambda: thermistor_temperature([0.0], meter=FINE, sensor=SENSOR),
         "a reading of 0 ohm is below one step of the display: the sensor is shorted or the probes touch. "
         "Take a smaller range and read again."),
        (lambda: thermistor_temperature([1e7], meter=FINE, sensor=SENSOR),
         "1e+07 ohm stands for a temperature outside -60 to 250 °C by this sensor's table. "
         "Check the display's kΩ and the table; a sensor like that is open or shorted."),
        (lambda: thermistor_temperature([0.3], meter=FINE, sensor=SENSOR),
         "0.3 ohm stands for a temperature outside -60 to 250 °C by this sensor's table. "
         "Check the display's kΩ and the table; a sensor like that is open or shorted."),
        (lambda: thermistor_temperature([2500.0, 0.3], meter=FINE, sensor=SENSOR),
         "0.3 ohm stands for a temperature outside -60 to 250 °C by this sensor's table. "
         "Check the display's kΩ and the table; a sensor like that is open or shorted."),
        (lambda: thermistor_temperature([], meter=FINE, sensor=SENSOR),
         "the readings: there is no reading. Give one or more numbers, as the display showed them."),
        (lambda: thermistor_resistance([2500.0], meter=FINE, sensor=SENSOR, reference_c=680.0),
         "limits stated for 680 °C; the sensor's curve holds from -60 to 250 °C. Check the temperature and its unit."),
        (lambda: refuse_another_part([4700.0], 15.0),
         "a reading of 4700 ohm where 15 ohm is the most allowed is not this part: it looks like a temperature "
         "sensor, a plug beside it, or a display in kΩ. Check the pins and the unit; if it is the right part, it is "
         "open."),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(build, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        build()
    assert str(refused.value) == message


@pytest.mark.parametrize(("read", "upper"), [([140.0], 15.0), ([4700.0, 14.0], 15.0), ([4700.0], None), ([], 15.0)])
def test_what_may_be_the_part_is_not_refused(read, upper):
    refuse_another_part(read, upper)


@pytest.mark.parametrize("factor", [1e-3, 10.0])
def test_another_unit_changes_no_verdict(factor):
    part = Part(15.0, 1.0, assumed=False)
    here, there = (
        judge(
            thermistor_resistance(
                [3284.0 * k], meter=Meter("m", 0.5, 2, k), sensor=SENSOR, reference_c=25.0, part=part
            ),
            Band(None, 2250.0 * k, "ohm"),
        )
        for k in (1.0, factor)
    )
    assert there.probability_inside == pytest.approx(here.probability_inside, abs=1e-9)


@pytest.mark.parametrize("shares", [(0.01, 0.03), (0.03, 0.10)])
def test_more_doubt_makes_no_verdict_clearer(shares):
    sure, less = (
        judge(
            thermistor_temperature([1600.0], meter=FINE, sensor=beta_thermistor(1e4, 3435.0, sensor_share=share)),
            Band(None, 83.0, "°C"),
        ).probability_inside
        for share in shares
    )
    assert abs(less - 0.5) <= abs(sure - 0.5)
