"""Instruments: what a data sheet's line allows."""

import math

import pytest
from GTC import type_a

from knowngood.engine.judgement import Shape
from knowngood.engine.measurement.meters.instruments import TYPICAL, Meter, finer, gain_input, reading_inputs, typical


def test_the_data_sheets_line_is_a_rectangle_each():
    meter = Meter("blue", 0.8, 3, 0.1)
    mean, digits, step = reading_inputs([100.9, 101.2, 101.1], meter, key="reading:7", name="the readings")
    assert mean.value == pytest.approx(101.0667, abs=5e-5)
    assert mean.u == pytest.approx(0.1527525 / math.sqrt(3), rel=1e-6)
    assert (mean.shape, mean.degrees_of_freedom) == (Shape.STUDENT_T, 2)
    assert (digits.shape, digits.half_width) == (Shape.RECTANGULAR, pytest.approx(0.3))
    assert step.half_width == 0.0
    assert (gain_input(meter).key, gain_input(meter).half_width) == ("meter:blue/gain", pytest.approx(0.008))


@pytest.mark.parametrize(
    ("values", "digits", "half_step"),
    [
        ([0.9], 3, 0.05),
        ([0.9], 0, 0.05),
        ([0.9, 1.0], 3, 0.0),
        ([0.9] * 5, 3, 0.05),
        ([0.9] * 5, 0, 0.05),
        ([0.9, 1.0], 0, 0.0),
    ],
)
def test_a_step_is_counted_once(values, digits, half_step):
    step = reading_inputs(values, Meter("m", 0.5, digits, 0.1), key="r", name="the readings")[2]
    assert step.half_width == half_step


@pytest.mark.parametrize("unit", [*TYPICAL, "min"])
def test_a_meter_that_nobody_described_is_wide_and_says_so(unit):
    meter = typical(unit, 0.01)
    assert meter.assumed
    assert meter.step == 0.01
    assert meter.percent + meter.absolute > 0.0
    assert all(row.assumed for row in (*reading_inputs([5.0], meter, key="r", name="it")[1:2], gain_input(meter)))


@pytest.mark.published("low-cost meters, 0.8 % + 5 digits of 0.1 ohm: common practice, no source")
def test_the_typical_ohmmeter_is_the_low_cost_one():
    meter = typical("ohm", 0.1)
    assert (meter.percent, meter.digits, meter.absolute) == (0.8, 5.0, pytest.approx(0.5))


def test_a_borrowed_meter_is_better_in_every_part():
    here = Meter("m", 0.8, 3, 0.1, 0.2, assumed=True)
    there = finer(here)
    assert (there.percent, there.absolute, there.step, there.assumed) == pytest.approx((0.2, 0.08, 0.01, False))


@pytest.mark.parametrize("values", [[], [math.nan], [1.0, math.inf]])
def test_no_reading_is_refused(values):
    with pytest.raises(ValueError, match="there is no reading") as refused:
        reading_inputs(values, typical("V", 0.01), key="r", name="the battery")
    assert str(refused.value) == (
        "the battery: there is no reading. Give one or more numbers, as the display showed them."
    )


def test_a_negative_part_of_the_line_is_refused():
    with pytest.raises(ValueError, match="zero or more") as refused:
        Meter("blue", -0.8, 3, 0.1)
    assert str(refused.value) == (
        "blue: ± (-0.8 % + 3 digits of 0.1 + 0); each part must be zero or more. "
        "Copy the line from the meter's data sheet."
    )


@pytest.mark.parametrize(
    ("values", "mean", "u"),
    [([0.9] * 5, 0.9, 0.0288675), ([0.9, 0.9, 1.0, 0.9, 0.9], 0.92, 0.02), ([0.9, 1.0] * 3, 0.95, 0.0223607)],
)
def test_digitised_readings_as_the_oracle_has_them(values, mean, u):
    expected = type_a.estimate_digitized(values, 0.1)
    found, _, step = reading_inputs(values, Meter("m", 0.0, 0, 0.1), key="r", name="the readings")
    assert (found.value, math.hypot(found.u, step.u)) == pytest.approx((mean, u), abs=5e-8)
    assert (found.value, math.hypot(found.u, step.u)) == pytest.approx((expected.x, expected.u), rel=1e-9)
    assert found.degrees_of_freedom == expected.df
