"""Two readings beside each other: what one meter cancels, and what warm copper should read."""

import math

import pytest
from GTC import reporting, ureal
from hypothesis import given, settings
from hypothesis import strategies as st

from knowngood.engine.judgement import Estimate, Row
from knowngood.engine.measurement.electrical.resistance import Part, winding_resistance
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.engine.measurement.readings.plain import plain_quantity
from knowngood.engine.measurement.readings.relations import (
    apart,
    copper_gap,
    difference,
    ratio,
    winding_c,
)

BLUE = Meter("blue", 0.8, 0, 0.1)


def known(celsius, half_width=0.0):
    return Part(celsius, half_width, assumed=False)


def ohm(value, u=0.0, key="own"):
    return Estimate(value, "ohm", (Row(key, u),) if u else ())


@pytest.mark.published("IEC 60034-1, temperature by resistance: (235 + 20) x 210/200 - 235 = 32.75 °C, by hand")
def test_a_winding_five_percent_up():
    """200 milliohm at 20 °C, 210 milliohm warm, in air of 25 °C: the winding is at 32.75 °C, 7.75 K above the air."""
    found = winding_c(ohm(0.200), ohm(0.210), cold_part=known(20.0))
    assert found.value == pytest.approx(32.75, abs=0.005)
    assert found.value - 25.0 == pytest.approx(7.75, abs=0.005)


def test_one_meter_s_gain_drops_out_of_a_winding_s_temperature():
    by_one = winding_c(ohm(0.200, 0.002, "gain"), ohm(0.210, 0.0021, "gain"), cold_part=known(20.0))
    by_two = winding_c(ohm(0.200, 0.002, "gain"), ohm(0.210, 0.0021, "another gain"), cold_part=known(20.0))
    assert by_one.standard_uncertainty < 0.05
    assert by_two.standard_uncertainty == pytest.approx(math.sqrt(2) * 0.01 * 1.05 * 255.0, rel=0.01)


def test_what_the_thermometer_is_off_counts_once_for_each_kelvin():
    found = winding_c(ohm(0.200), ohm(0.210), cold_part=known(20.0, 3.0))
    cold = next(row for row in found.rows if row.key == "winding/cold")
    assert cold.contribution == pytest.approx(1.05 * 3.0 / math.sqrt(3.0))


@pytest.mark.parametrize(("hot", "copper"), [(13.93, True), (16.5, False), (12.1, False)])
def test_one_coil_cold_and_hot(hot, copper):
    """12 ohm at 20 °C makes 14.4 at 71 °C, 13.93 at 61 °C by copper; a joint that opens reads more, an alloy less."""
    gap = copper_gap(ohm(12.0, 0.05, "a"), ohm(hot, 0.05, "b"), cold_part=known(20.0, 2.0), hot_part=known(61.0, 3.0))
    assert apart(gap) is not copper
    assert gap.unit == "K"
    if copper:
        assert gap.value == pytest.approx(0.0, abs=0.5)
    else:
        assert (gap.value > 0.0) is (hot > 14.0)


def test_copper_as_the_other_model_warms_it():
    """A coil that winding_resistance brings to the same 20 °C from both readings shows no gap."""
    cold, hot = 100.0, 100.0 * (1.0 + 0.00393 * 40.0)
    gap = copper_gap(ohm(cold), ohm(hot), cold_part=known(20.0), hot_part=known(60.0))
    assert gap.value == pytest.approx(0.0, abs=0.15)
    assert not apart(gap)


def read(value, meter=BLUE, reading_id="1"):
    return plain_quantity([value], unit="ohm", meter=meter, reading_id=reading_id)


def test_one_meter_cancels_its_gain_two_meters_do_not():
    other = Meter("grey", 0.8, 0, 0.1)
    one, two = (difference(read(100.0), read(99.0, meter, "2")) for meter in (BLUE, other))
    step = 0.05 / math.sqrt(3.0)
    assert one.value == two.value == pytest.approx(1.0)
    assert one.standard_uncertainty == pytest.approx(math.hypot(0.008 / math.sqrt(3.0), step, step))
    assert two.standard_uncertainty > 10 * one.standard_uncertainty
    assert apart(one)
    assert not apart(two)


def test_left_and_right_coil_through_the_same_leads():
    """The leads are one error of both, whatever they are."""
    warm = known(35.0, 0.0)
    left, right = (
        winding_resistance([value], meter=BLUE, part=warm, conductor="copper", reading_id=str(value))
        for value in (14.9, 14.1)
    )
    found = difference(left, right)
    rows = {row.key: row.contribution for row in found.rows}
    assert rows["leads"] == pytest.approx(0.0, abs=1e-12)
    assert found.value == pytest.approx(0.8 / (1.0 + 0.00393 * 15.0))


def test_two_temperatures_are_apart_in_kelvin():
    assert difference(Estimate(90.0, "°C"), Estimate(82.0, "°C")) == Estimate(8.0, "K")


def test_ratio_beside_another_library():
    gain, one, other = ureal(0, 0.02), ureal(0, 0.3), ureal(0, 0.4)
    theirs = 100 * (11 * (1 + gain) + one) / (10 * (1 + gain) + other)
    ours = ratio(
        Estimate(11.0, "ohm", (Row("gain", 0.22), Row("one", 0.3))),
        Estimate(10.0, "ohm", (Row("gain", 0.2), Row("other", 0.4))),
    )
    assert (ours.value, ours.standard_uncertainty) == pytest.approx((theirs.x, theirs.u), rel=1e-9)
    budget = {round(row.u, 9) for row in reporting.budget(theirs, trim=0) if row.u > 1e-9}
    assert {round(abs(row.contribution), 9) for row in ours.rows if abs(row.contribution) > 1e-9} == budget


@settings(max_examples=25)
@given(value=st.floats(1.0, 50.0), u=st.floats(0.01, 0.2), more=st.floats(1.0, 4.0))
def test_more_doubt_never_sets_two_readings_apart(value, u, more):
    less, worse = (apart(difference(ohm(value, size, "a"), ohm(10.0, size, "b"))) for size in (u, more * u))
    assert less or not worse


@settings(max_examples=25)
@given(value=st.floats(5.0, 50.0), scale=st.sampled_from([1e-3, 1e3]))
def test_the_unit_changes_no_ratio(value, scale):
    here = ratio(ohm(value, 0.3, "a"), ohm(10.0, 0.2, "b"))
    there = ratio(ohm(scale * value, scale * 0.3, "a"), ohm(scale * 10.0, scale * 0.2, "b"))
    assert (there.value, there.standard_uncertainty) == pytest.approx((here.value, here.standard_uncertainty))


@settings(max_examples=25)
@given(one=st.floats(-50.0, 50.0), other=st.floats(-50.0, 50.0))
def test_the_other_way_round_is_the_same_with_the_sign_turned(one, other):
    there, back = (
        difference(ohm(one, 0.1, "a"), ohm(other, 0.2, "b")),
        difference(ohm(other, 0.2, "b"), ohm(one, 0.1, "a")),
    )
    assert there.value == -back.value
    assert there.standard_uncertainty == pytest.approx(back.standard_uncertainty)


REFUSED = {
    "ohm and V cannot be compared. Take readings of one kind.": lambda: difference(ohm(1.0), Estimate(1.0, "V")),
    "0.2 ± 0.2 ohm may as well be zero, and nothing can be a share of that. Take the difference.": lambda: ratio(
        ohm(1.0, 0.1), ohm(0.2, 0.1, "other")
    ),
    "V and ohm are not two resistances. Read the winding in ohm, cold and hot.": lambda: winding_c(
        Estimate(1.0, "V"), ohm(1.0), cold_part=known(20.0)
    ),
}


@pytest.mark.parametrize("words", REFUSED)
def test_refused(words):
    with pytest.raises(ValueError, match=r"\w") as refused:
        REFUSED[words]()
    assert str(refused.value) == words
