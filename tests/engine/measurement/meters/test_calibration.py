"""What checks of an instrument have shown: at zero, at one point, at several."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from knowngood.engine.measurement.meters.calibration import Calibration, Point, standing_points
from knowngood.engine.measurement.meters.checking import allowed_error
from knowngood.engine.measurement.meters.instruments import Meter, gain_input, reading_inputs

BLUE = Meter("blue", 0.8, 3, 0.1)
FINE = Meter("fine", 1.0, 1, 0.01)
CALIPER = Meter("caliper", 0.0, 0, 0.01, 0.05)


def at_100(meter, *, half=0.1, shown=100.6):
    return Calibration(meter, (Point(100.0, half, shown),))


def test_a_known_zero_error_is_taken_off_every_reading_and_the_class_stays():
    held = Calibration(Meter("micrometer", 0.0, 0, 0.01, 0.004), zero=0.02, zero_half_width=0.005)
    assert [held.error(one) for one in (0.0, 10.0, 25.0)] == [0.02, 0.02, 0.02]
    known = held.trusted(10.0)
    assert known.absolute == pytest.approx(0.004 + 0.005)
    one, other = (reading_inputs([10.03], known, key=key, name="the disc")[1] for key in ("r", "s"))
    assert (one.value, one.key) == (0.0, "meter:micrometer/digits")
    assert one.key == other.key  # what is left of it is one error of both


def test_nothing_is_taken_off_where_nobody_checked():
    assert Calibration(FINE).error(100.0) == 0.0
    assert Calibration(FINE).trusted(100.0) == FINE


def test_at_its_point_a_check_leaves_the_known_values_doubt_and_the_digits():
    held = at_100(FINE)
    near = held.trusted(100.6)
    assert held.error(100.6) == pytest.approx(0.6)
    assert near.percent / 100.0 * 100.6 == pytest.approx(0.1 + 0.01)
    assert near.digits == FINE.digits
    assert gain_input(near).key == gain_input(FINE).key == "meter:fine/gain"


def test_far_from_its_point_the_class_is_all_that_is_known():
    held = at_100(FINE)
    assert (held.error(10.0), held.trusted(10.0).percent) == pytest.approx((0.0, 1.0))
    changed = 0.01 * (1000.0 - 100.6)
    ends = (0.6 - 0.11 - changed, 0.6 + 0.11 + changed)
    assert held.error(1000.0) == pytest.approx(sum(ends) / 2)
    assert 10.0 * held.trusted(1000.0).percent == pytest.approx((ends[1] - ends[0]) / 2)


def test_an_absolute_class_is_corrected_where_it_was_checked():
    held = Calibration(CALIPER, (Point(25.0, 0.001, 25.03),))
    assert (held.error(25.03), held.trusted(25.03).offset) == pytest.approx((0.03, 0.006))
    assert (held.error(60.0), held.trusted(60.0).offset) == pytest.approx((0.0, 0.05))


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
    held = Calibration(meter, (Point(known, known_half, shows(point)),))
    found, corrected = held.trusted(at), at - held.error(at)
    reach = found.percent / 100.0 * at + found.absolute
    assert abs(corrected - reading) <= reach + 1e-3 * allowed_error(meter, at) + (0.01 * gain * reading) ** 2 / reading


@settings(deadline=None, max_examples=100)
@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(1.0, 300.0))
def test_more_doubt_of_the_known_value_never_makes_the_instrument_better(less, more, at):
    near, wide = (at_100(FINE, half=half, shown=100.5).trusted(at) for half in (less, less + more))
    assert allowed_error(near, at) <= allowed_error(wide, at) + 1e-12
    assert allowed_error(wide, at) <= allowed_error(FINE, at) + 1e-12


@pytest.mark.parametrize("factor", [0.001, 25.4])
def test_another_unit_changes_nothing(factor):
    here = at_100(FINE)
    small = Meter("fine", 1.0, 1, 0.01 * factor)
    there = Calibration(small, (Point(100.0 * factor, 0.1 * factor, 100.6 * factor),))
    assert there.trusted(90.0 * factor).percent == pytest.approx(here.trusted(90.0).percent)
    assert there.error(90.0 * factor) == pytest.approx(here.error(90.0) * factor)


@pytest.mark.parametrize("meter", [BLUE, CALIPER, Meter("digits only", 0.0, 2, 0.01)])
def test_a_broken_line_is_no_bound_any_more(meter):
    held = at_100(meter, shown=110.0)
    assert held.error(110.0) == pytest.approx(10.0)
    assert allowed_error(held.trusted(55.0), 55.0) > 2.0
    # an error of the same size, or of the same share: neither is excluded
    middle, reach = held.error(55.0), allowed_error(held.trusted(55.0), 55.0)
    assert middle - reach <= 5.0
    assert middle + reach >= 10.0


def test_a_thermometer_checked_in_ice_is_corrected_near_it_alone():
    held = Calibration(Meter("probe", 0.0, 10, 0.1, 2.5), (Point(0.0, 0.2, 1.5),))
    assert (held.error(1.5), held.trusted(1.5).offset) == pytest.approx((1.4, 1.1), abs=0.11)
    assert (held.error(80.0), held.trusted(80.0).offset) == pytest.approx((0.0, 2.5))


PROBE = Meter("probe", 0.0, 1, 0.1, 2.5)
ICE_AND_STEAM = Calibration(PROBE, (Point(100.0, 1.0, 97.2), Point(0.0, 0.2, -0.4)))


# By hand: from (-0.4, -0.4) to (97.2, -2.8) the error falls by 2.4 over 97.6.
@pytest.mark.parametrize(("at", "error"), [(-0.4, -0.4), (97.2, -2.8), (48.4, -1.6), (24.0, -1.0), (140.0, -2.8)])
def test_between_two_points_the_error_lies_on_the_line_and_beyond_them_the_nearest_counts(at, error):
    assert ICE_AND_STEAM.error(at) == pytest.approx(error)


def test_the_doubt_grows_away_from_points_and_never_beyond_what_the_class_leaves():
    offs = [ICE_AND_STEAM.trusted(at).offset for at in (97.2, 110.0, 130.0, 180.0, 400.0)]
    assert offs[0] == pytest.approx(1.1)
    assert offs == sorted(offs)
    assert offs[-1] == pytest.approx(2.8 + 2.5)
    assert ICE_AND_STEAM.trusted(48.4).offset > (1.1 + 0.3) / 2


@settings(deadline=None, max_examples=200)
@given(st.floats(-1, 1), st.floats(-1, 1), st.floats(1.0, 40.0), st.floats(60.0, 200.0), st.floats(0.5, 400.0))
def test_two_checks_never_exclude_a_straight_error(gain, offset, low, high, reading):
    def shows(true):
        return true * (1.0 + 0.05 * gain) + offset

    held = Calibration(FINE, tuple(Point(true, 0.0, shows(true)) for true in (low, high)))
    at = shows(reading)
    assert abs(at - held.error(at) - reading) <= allowed_error(held.trusted(at), at) + 1e-9
    if low <= reading <= high:
        assert at - held.error(at) == pytest.approx(reading)


def test_an_error_far_beyond_the_class_is_taken_off_between_two_points():
    held = Calibration(CALIPER, (Point(10.0, 0.0, 10.3), Point(40.0, 0.0, 40.3)))
    assert [held.error(at) for at in (10.3, 22.15, 40.3, 60.0)] == pytest.approx([0.3] * 4)
    assert held.trusted(22.15).offset < 2 * CALIPER.offset


def test_a_zero_that_is_set_anew_keeps_the_points_of_its_own_day():
    before = Point(25.0, 0.0, 25.32, zero=0.3)
    held = Calibration(CALIPER, (before,), zero=-0.1, zero_half_width=0.005)
    assert (held.error(25.0 + 0.02 - 0.1), held.error(-0.1)) == pytest.approx((-0.08, -0.1))
    assert held.difference_error(25.0 + 0.02 - 0.1) == pytest.approx(0.02, abs=1e-3)
    now = held.with_zero_now(0.5)
    assert now.error(25.52) == pytest.approx(0.02)
    unread = Calibration(CALIPER, (Point(25.0, 0.0, 25.32),)).with_zero_now(0.3)
    assert unread.error(25.32) == pytest.approx(0.02)


def test_of_checks_at_nearly_one_point_the_last_stands():
    assert standing_points(FINE, [100.0, 10.0, 99.0, 10.0]) == [2, 3]
    assert standing_points(PROBE, [100.0, 0.0]) == [0, 1]


@pytest.mark.parametrize(
    ("known", "half", "shown"), [(100.0, -0.1, 100.0), (math.nan, 0.1, 100.0), (100.0, 0.1, math.inf)]
)
def test_a_check_without_numbers_is_refused(known, half, shown):
    with pytest.raises(ValueError, match="must be a plain number") as refused:
        Point(known, half, shown)
    assert str(refused.value) == (
        f"a known value of {known:g} ± {half:g}, shown as {shown:g}: each must be a plain number, and "
        "what comes after ± zero or more. Write what it is known to be, such as 100 ± 0.1 ohm."
    )
