"""A test that holds a pressure: what leaks, what only cools, and what must be refused."""

import pytest

from knowngood.engine.judgement import Band, Verdict, judge
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.engine.measurement.pressures.gauges import pressure_drop

DIAL = Meter("dial", 2.0, 1, 1)


def test_cooling_alone_is_no_leak():
    """200 kPa absolute at 293.15 K falls by 0.6823 kPa for each K, by the gas law."""
    still = pressure_drop([98.675, 98.675 - 0.6823 * 3], meter=Meter("d", 0, 0, 0.01), warmer_k=(-3.0, 0.0))
    assert still.value == pytest.approx(0.0, abs=0.0015)


def test_a_slow_leak_in_proportion_to_the_time():
    ten = pressure_drop([100, 92], meter=DIAL)
    five = pressure_drop([100, 92], meter=DIAL, times=0.5)
    assert (ten.value, five.value) == (pytest.approx(8.0), pytest.approx(4.0))
    assert five.standard_uncertainty == pytest.approx(0.5 * ten.standard_uncertainty)


def test_the_offset_of_one_gauge_cancels():
    assert pressure_drop([100, 92], meter=Meter("dial", 2.0, 1, 1, offset=9.0)) == pressure_drop([100, 92], meter=DIAL)


def test_air_that_nobody_read_is_assumed_wide():
    assumed = pressure_drop([100, 94], meter=DIAL)
    known = pressure_drop([100, 94], meter=DIAL, warmer_k=(0.0, 0.5))
    assert [row.name for row in assumed.rows if row.assumed] == ["change of temperature during the test"]
    band = Band(None, 7.5, "kPa")
    assert judge(assumed, band).verdict is Verdict.CANT_TELL
    assert judge(known, band).verdict is Verdict.WITHIN


@pytest.mark.parametrize(
    ("read", "times", "message"),
    [
        ([100], 1.0, "a drop takes two readings, 1 stand here. "
         "Write what the gauge showed at the start, then what it showed at the end."),
        ([0, 5], 1.0, "a test from 0 to 5 kPa; it starts above zero and ends at zero or more. "
         "Write first what the gauge showed at the start, then what it showed at the end."),
        ([100, 95], 0.0, "a time of zero or less is no waiting. Write how long the pressure was held, such as 10 min."),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(read, times, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        pressure_drop(read, meter=DIAL, times=times)
    assert str(refused.value) == message
