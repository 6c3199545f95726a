"""An instrument in the cold, at one reading, and after a check against a known value."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from knowngood.engine.measurement.checking import (
    allowed_error,
    at_temperature,
    checked,
    outside_class,
    resolved,
    zeroed,
)
from knowngood.engine.measurement.instruments import Meter, gain_input, reading_inputs
from knowngood.engine.measurement.plain import plain_quantity
from knowngood.engine.measurement.resistance import winding_resistance

BLUE = Meter("blue", 0.8, 3, 0.1)
FINE = Meter("fine", 1.0, 1, 0.01)
GUN = Meter("gun", 2.0, 0, 0.1, 2.0, greater=True)


# A tenth of the line more for each °C outside 23 ± 5 °C: common practice, no source.
@pytest.mark.parametrize(("ambient_c", "times"), [(23, 1), (18, 1), (28, 1), (8, 2), (-2, 3), (38, 2), (17, 1.1)])
def test_cold_and_heat_widen_the_line(ambient_c, times):
    found = at_temperature(Meter("m", 0.8, 3, 0.1, 0.2), ambient_c)
    assert (found.percent, found.digits, found.offset) == pytest.approx((0.8 * times, 3 * times, 0.2 * times))
    assert found.step == 0.1


@pytest.mark.parametrize("ambient_c", [-61.0, 81.0, math.nan])
def test_no_place_is_that_cold(ambient_c):
    with pytest.raises(ValueError, match="is none where a meter works") as refused:
        at_temperature(BLUE, ambient_c)
    assert str(refused.value) == (
        f"a place at {ambient_c:g} °C is none where a meter works; -60 to 80 °C is allowed. "
        "Write the temperature of the air around it."
    )


def test_the_greater_of_two_parts_never_counts_less_than_it_allows():
    for at in (-30.0, 0.0, 40.0, 99.0, 101.0, 300.0):
        assert allowed_error(GUN, at) == pytest.approx(max(2.0, 0.02 * abs(at)))
        assert allowed_error(resolved(GUN, at), at) == allowed_error(GUN, at)
    assert resolved(BLUE, 5.0) is BLUE
    # not resolved, both parts count: wider, never narrower
    assert plain_quantity([40.0], unit="°C", meter=GUN).standard_uncertainty > (
        plain_quantity([40.0], unit="°C", meter=resolved(GUN, 40.0)).standard_uncertainty
    )


def test_a_known_zero_error_is_taken_off_every_reading_and_the_class_stays():
    micrometer = Meter("micrometer", 0.0, 0, 0.01, 0.004)
    known = zeroed(micrometer, 0.02)
    found = plain_quantity([10.03, 10.04], unit="mm", meter=known)
    assert found.value == pytest.approx(10.015)
    assert known.absolute == pytest.approx(0.004 + 0.005)
    digits = reading_inputs([10.03], known, key="r", name="the disc")[1]
    assert (digits.value, digits.name) == (-0.02, "display, the disc, its known error taken off")


def test_a_known_zero_error_cancels_between_part_and_leads():
    wide = {"zero_ohm": [0.3], "conductor": "alloy", "seed": 1}
    plain, shifted = (winding_resistance([14.9], meter=one, **wide) for one in (BLUE, zeroed(BLUE, 0.2)))
    assert shifted.value == pytest.approx(plain.value)


def test_at_its_point_a_check_leaves_the_known_values_doubt_and_the_digits():
    near = checked(FINE, known=100.0, known_half_width=0.1, shown=100.6, at=100.6)
    found = plain_quantity([100.6, 100.6], unit="ohm", meter=near)
    assert found.value == pytest.approx(100.0)
    assert near.percent / 100.0 * 100.6 == pytest.approx(0.1 + 0.01)
    assert near.digits == FINE.digits
    assert gain_input(near).key == gain_input(FINE).key == "meter:fine/gain"
    assert gain_input(near).name == "percent of the meter, its known error taken off"


def test_far_from_its_point_the_class_is_all_that_is_known():
    far = checked(FINE, known=100.0, known_half_width=0.1, shown=100.6, at=10.0)
    assert (far.gain_error, far.percent) == pytest.approx((0.0, 1.0))
    above = checked(FINE, known=100.0, known_half_width=0.1, shown=100.6, at=1000.0)
    changed = 0.01 * (1000.0 - 100.6)
    ends = (0.6 - 0.11 - changed, 0.6 + 0.11 + changed)
    assert 1000.0 * above.gain_error == pytest.approx(sum(ends) / 2)
    assert 10.0 * above.percent == pytest.approx((ends[1] - ends[0]) / 2)


CALIPER = Meter("caliper", 0.0, 0, 0.01, 0.05)


def test_an_absolute_class_is_corrected_where_it_was_checked():
    at_point = checked(CALIPER, known=25.0, known_half_width=0.001, shown=25.03, at=25.03)
    assert (at_point.zero, at_point.offset) == pytest.approx((0.03, 0.006))
    far = checked(CALIPER, known=25.0, known_half_width=0.001, shown=25.03, at=60.0)
    assert (far.zero, far.offset) == pytest.approx((0.0, 0.05))


@settings(deadline=None, max_examples=200)
@given(
    st.floats(-1, 1), st.floats(-1, 1), st.floats(-1, 1), st.floats(5.0, 500.0), st.floats(5.0, 500.0),
    st.sampled_from([FINE, BLUE, Meter("m", 1.5, 2, 0.01, 0.3)]),
)  # fmt: skip
def test_a_check_never_excludes_what_the_line_allows(gain, offset, doubt, point, reading, meter):
    """Whatever the meter's true errors within its line, the corrected reading holds the true value."""

    def shows(true):
        return true * (1.0 + 0.99 * gain * meter.percent / 100.0) + 0.99 * offset * meter.offset

    known_half = 0.002 * point
    known = point + doubt * known_half
    at = shows(reading)
    found = checked(meter, known=known, known_half_width=known_half, shown=shows(point), at=at)
    corrected = at * (1.0 - found.gain_error) - found.zero
    reach = found.percent / 100.0 * at + found.absolute
    assert abs(corrected - reading) <= reach + 1e-3 * allowed_error(meter, at) + (0.01 * gain * reading) ** 2 / reading


@settings(deadline=None, max_examples=100)
@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(1.0, 300.0))
def test_more_doubt_of_the_known_value_never_makes_the_instrument_better(less, more, at):
    near, wide = (checked(FINE, known=100.0, known_half_width=half, shown=100.5, at=at) for half in (less, less + more))
    assert allowed_error(near, at) <= allowed_error(wide, at) + 1e-12
    assert allowed_error(wide, at) <= allowed_error(FINE, at) + 1e-12


@pytest.mark.parametrize("factor", [0.001, 25.4])
def test_another_unit_changes_nothing(factor):
    here = checked(FINE, known=100.0, known_half_width=0.1, shown=100.6, at=90.0)
    small = Meter("fine", 1.0, 1, 0.01 * factor)
    there = checked(small, known=100.0 * factor, known_half_width=0.1 * factor, shown=100.6 * factor, at=90.0 * factor)
    assert (there.percent, there.gain_error) == pytest.approx((here.percent, here.gain_error))


@pytest.mark.parametrize(("shown", "outside"), [(101.1, False), (101.3, True), (98.9, False), (98.7, True)])
def test_outside_its_class(shown, outside):
    assert outside_class(BLUE, known=100.0, known_half_width=0.1, shown=shown) is outside


@pytest.mark.parametrize("meter", [BLUE, CALIPER, Meter("digits only", 0.0, 2, 0.01)])
def test_a_broken_line_is_no_bound_any_more(meter):
    at_point = checked(meter, known=100.0, known_half_width=0.1, shown=110.0, at=110.0)
    assert 110.0 * (1.0 - at_point.gain_error) - at_point.zero == pytest.approx(100.0)
    far = checked(meter, known=100.0, known_half_width=0.1, shown=110.0, at=55.0)
    assert allowed_error(far, 55.0) > 2.0
    # an error of the same size, or of the same share: neither is excluded
    middle, reach = 55.0 * far.gain_error + far.zero, allowed_error(far, 55.0)
    assert middle - reach <= 5.0
    assert middle + reach >= 10.0


def test_a_thermometer_checked_in_ice_is_corrected_near_it_alone():
    probe = Meter("probe", 0.0, 10, 0.1, 2.5)
    ice, warm = (checked(probe, known=0.0, known_half_width=0.2, shown=1.5, at=at) for at in (1.5, 80.0))
    assert (ice.zero, ice.offset) == pytest.approx((1.4, 1.1), abs=0.11)
    assert (warm.zero, warm.offset) == pytest.approx((0.0, 2.5))


@pytest.mark.parametrize(
    ("known", "half", "shown"), [(100.0, -0.1, 100.0), (math.nan, 0.1, 100.0), (100.0, 0.1, math.inf)]
)
def test_a_check_without_numbers_is_refused(known, half, shown):
    with pytest.raises(ValueError, match="must be a plain number") as refused:
        checked(BLUE, known=known, known_half_width=half, shown=shown, at=1.0)
    assert str(refused.value) == (
        f"a known value of {known:g} ± {half:g}, shown as {shown:g}: each must be a plain number, and "
        "what comes after ± zero or more. Write what it is known to be, such as 100 ± 0.1 ohm."
    )


def test_a_known_error_that_is_no_number_is_refused():
    with pytest.raises(ValueError, match="a known error of") as refused:
        Meter("blue", 0.8, 3, 0.1, zero=math.nan)
    assert str(refused.value) == (
        "blue: a known error of nan and a share of 0; both must be plain numbers. Check it again against a known value."
    )
