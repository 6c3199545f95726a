"""Wear over dates: the GUM's line, what one gauge cancels, and honesty where no date can be given."""

import json
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from knowngood.engine.judgement import Estimate, Row, Shape, combine, covariance
from knowngood.engine.measurement.sizes.wear import RATE_DOUBT, STRETCHED, Course, Dated, wear_line

READ_C = (21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511)
OFF_C = (-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160)


@pytest.mark.published("JCGM 100:2008 H.3, calibration of a thermometer")
def test_the_guide_s_line():
    """Eleven readings that say nothing of their own doubt: all of it comes from how they lie about the line."""
    found = wear_line([Dated(at, Estimate(off, "°C")) for at, off in zip(READ_C, OFF_C, strict=True)], limit=-1.0)
    at_20, at_30 = (combine([(1.0, found.level), (at - READ_C[-1], found.rate)]) for at in (20.0, 30.0))
    assert (at_20.value, at_20.standard_uncertainty) == pytest.approx((-0.1712, 0.0029), abs=0.00005)
    assert (found.rate.value, found.rate.standard_uncertainty) == pytest.approx((0.00218, 0.00067), abs=0.000005)
    assert (at_30.value, at_30.standard_uncertainty) == pytest.approx((-0.1494, 0.0041), abs=0.00005)
    together = covariance(at_20, found.rate) / (at_20.standard_uncertainty * found.rate.standard_uncertainty)
    assert together == pytest.approx(-0.930, abs=0.0005)
    assert found.rate.degrees_of_freedom == 9


def pad(*readings, u=0.05, zero=0.0, gain=0.0):
    """Readings by one caliper: days and mm, with its zero and gain shared."""
    return [
        Dated(day, Estimate(mm, "mm", (Row("meter:caliper/zero", zero), Row("meter:caliper/gain", gain * mm),
                                       Row(f"reading:{number}/digits", u))))
        for number, (day, mm) in enumerate(readings)
    ]  # fmt: skip


def row(estimate, key):
    return next(one.contribution for one in estimate.rows if one.key == key)


def test_two_readings_by_hand():
    found = wear_line(pad((0, 8.0), (100, 6.0)), limit=2.0)
    assert found.rate.value == pytest.approx(-0.02)
    assert found.rate.standard_uncertainty == pytest.approx(math.sqrt(2) * 0.05 / 100)
    assert found.level.standard_uncertainty == pytest.approx(0.05)
    assert found.reached.value == pytest.approx(200.0)
    first, last = (2.0 / 0.02 + 100.0) / 100 * 0.05, 3.0 * 0.05
    from_rows = math.hypot(first * 1.0, last)
    assert found.reached.standard_uncertainty == pytest.approx(
        math.hypot(from_rows / 0.02, 200.0 * RATE_DOUBT), rel=1e-9
    )  # fmt: skip


def test_one_gauge_s_zero_drops_out_of_the_rate_and_stays_in_the_level():
    found = wear_line(pad((0, 8.0), (50, 7.1), (100, 6.0), zero=0.3), limit=2.0)
    assert row(found.rate, "meter:caliper/zero") == pytest.approx(0.0, abs=1e-15)
    assert row(found.level, "meter:caliper/zero") == pytest.approx(0.3)


def test_one_gauge_s_gain_leaves_its_share_of_the_rate():
    found = wear_line(pad((0, 8.0), (50, 7.1), (100, 6.0), gain=0.02), limit=2.0)
    assert row(found.rate, "meter:caliper/gain") == pytest.approx(0.02 * found.rate.value)
    assert row(found.level, "meter:caliper/gain") == pytest.approx(0.02 * found.level.value)


def test_two_gauges_do_not_cancel():
    one, two = pad((0, 8.0), (100, 6.0), zero=0.3)
    other = Estimate(6.0, "mm", (Row("meter:other/zero", 0.3), *two.estimate.rows[1:]))
    found = wear_line([one, Dated(100, other)], limit=2.0)
    assert found.rate.standard_uncertainty > 0.3 / 100


def test_a_reading_that_is_known_better_counts_for_more():
    """Weighted least squares beside its normal equations."""
    sizes, days, values = np.array([0.02, 0.2, 0.1]), np.array([0.0, 60.0, 100.0]), np.array([8.0, 6.9, 6.0])
    weight, away = np.diag(sizes**-2.0), np.stack([np.ones(3), days - 100.0], axis=1)
    wanted = np.linalg.solve(away.T @ weight @ away, away.T @ weight @ values)
    readings = [Dated(d, Estimate(v, "mm", (Row(f"{d}", u),))) for d, v, u in zip(days, values, sizes, strict=True)]
    found = wear_line(readings, limit=2.0)
    assert (found.level.value, found.rate.value) == pytest.approx(tuple(wanted))
    known = np.sqrt(np.diag(np.linalg.inv(away.T @ weight @ away)))
    assert (found.level.standard_uncertainty, found.rate.standard_uncertainty) == pytest.approx(tuple(known))


def test_three_readings_off_the_line_have_one_degree_of_freedom():
    straight, bent = (wear_line(pad((0, 8.0), (50, mm), (100, 6.0)), limit=2.0) for mm in (7.0, 7.6))
    assert math.isinf(straight.rate.degrees_of_freedom)
    assert bent.rate.degrees_of_freedom < 1.5
    assert {one.name for one in bent.rate.rows if one.shape is Shape.STUDENT_T} == {"scatter about the line"}
    assert width(bent) > 1.5 * width(straight)


def width(found):
    return found.reached.quantile(0.9) - found.reached.quantile(0.1)


def test_chances_beside_drawing_the_line_anew():
    """The same model drawn by hand: two readings, one shared zero, a coming rate a quarter off."""
    found = wear_line(pad((0, 8.0), (100, 6.5), u=0.2, zero=0.2), limit=2.0)
    generator, draws = np.random.Generator(np.random.PCG64(3)), 400_000
    zero, first, last, coming = generator.standard_normal((4, draws))
    rate = (1.5 + 0.2 * first - 0.2 * last) / 100 + RATE_DOUBT * 0.015 * coming
    days = np.where(rate > 0.0, (6.5 + 0.2 * last + 0.2 * zero - 2.0) / rate, np.inf)
    for by in (150.0, 200.0, 300.0, 500.0, 1500.0):
        assert found.chance_reached(by) == pytest.approx(float(np.mean(days <= by)), abs=0.006)
    for level in (0.1, 0.5, 0.9):
        assert found.reached.quantile(level) == pytest.approx(float(np.quantile(days, level)), rel=0.01)


COURSES = {
    "reaches its limit": (pad((0, 8.0), (100, 6.0)), True, Course.DATED),
    "a play that grows": (pad((0, 0.5), (100, 2.5)), False, Course.DATED),
    "past": (pad((0, 3.0), (100, 1.9)), True, Course.PAST),
    "a play past its limit": (pad((0, 4.0), (100, 4.5)), False, Course.PAST),
    "the same": (pad((0, 8.0), (100, 8.0)), True, Course.AGREE),
    "a hair thinner": (pad((0, 8.0), (100, 7.96)), True, Course.AGREE),
    "a hair thicker": (pad((0, 8.0), (100, 8.04)), True, Course.AGREE),
    "thicker": (pad((0, 8.0), (100, 8.4)), True, Course.AWAY),
    "slow": (pad((0, 8.0), (100, 7.8)), True, Course.SLOW),
}


@pytest.mark.parametrize(("readings", "lowest", "course"), COURSES.values(), ids=COURSES)
def test_course(readings, lowest, course):
    limit = 2.0 if lowest else 4.0
    assert wear_line(readings, limit=limit, lowest=lowest).course is course


def test_where_no_date_can_be_given_the_chance_still_can():
    """Two readings that agree: it wears or not, with half a chance each, and hardly soon."""
    found = wear_line(pad((0, 8.0), (100, 8.0)), limit=2.0)
    assert found.toward == pytest.approx(0.5)
    assert found.chance_reached(1000.0) < 0.01
    assert found.reached.quantile(0.9) == found.furthest == STRETCHED * 100
    assert found.chance_reached(1e9) == pytest.approx(0.5, abs=0.01)


def test_past_already_is_reached_now():
    found = wear_line(pad((0, 3.0), (100, 1.5)), limit=2.0)
    assert found.chance_reached(0.0) > 0.99
    assert found.reached.quantile(0.9) == 0.0


def readings_from(least):
    """Two to six dates with a thickness and its own doubt."""
    one = st.tuples(st.integers(0, 900), st.floats(0.5, 12.0), st.floats(least, 1.0))
    return st.lists(one, min_size=2, max_size=6, unique_by=lambda one: one[0])


def drawn(readings, scale=1.0, days=1.0):
    return [
        Dated(days * day, Estimate(scale * mm, "mm", (Row("gauge", 0.1 * scale), Row(f"own {day}", u * scale))))
        for day, mm, u in readings
    ]


@settings(max_examples=25)
@given(readings=readings_from(0.0), limit=st.floats(0.0, 5.0), lowest=st.booleans())
def test_nothing_is_ever_infinite_and_the_chance_never_falls(readings, limit, lowest):
    found = wear_line(drawn(readings), limit=limit, lowest=lowest)
    json.dumps([found.reached.to_json(), found.level.to_json(), found.rate.to_json()], allow_nan=False)
    json.dumps([vars(point) for point in found.points], allow_nan=False)
    assert found.reached.quantiles == tuple(sorted(found.reached.quantiles))
    assert 0.0 <= found.reached.quantile(0.5) <= found.furthest
    chances = [found.chance_reached(by) for by in (0.0, 0.1, 10.0, 100.0, 1e3, 1e5, 1e9)]
    assert chances == sorted(chances)
    assert 0.0 <= chances[0] <= chances[-1] <= 1.0


@settings(max_examples=25)
@given(
    readings=readings_from(0.001), scale=st.sampled_from([1.0 / 25.4, 1000.0]), days=st.sampled_from([1.0 / 7.0, 40.0])
)
def test_the_units_change_nothing(readings, scale, days):
    here = wear_line(drawn(readings), limit=1.6)
    there = wear_line(drawn(readings, scale, days), limit=1.6 * scale)
    assert there.toward == pytest.approx(here.toward, abs=1e-6)
    for by in (30.0, 300.0, 3000.0):
        assert there.chance_reached(days * by) == pytest.approx(here.chance_reached(by), abs=1e-3)


@settings(max_examples=25)
@given(u=st.floats(0.01, 0.2), more=st.floats(1.0, 3.0))
def test_more_doubt_never_narrows_the_date(u, more):
    less, worse = (wear_line(pad((0, 8.0), (100, 6.0), u=size), limit=2.0) for size in (u, more * u))
    assert width(worse) >= width(less) - 0.5


def test_points_to_draw():
    found = wear_line(pad((0, 8.0), (100, 6.0)), limit=2.0)
    first, last = found.points[0], found.points[-1]
    assert (first.at, first.value) == (-100.0, pytest.approx(8.0))
    assert last.at == pytest.approx(found.reached.quantile(0.9))
    assert last.high - last.low > 3 * (first.high - first.low)
    assert last.low < 2.0
    assert last.high == pytest.approx(2.0, abs=0.3)


def test_the_order_of_the_readings_does_not_matter():
    readings = pad((0, 8.0), (50, 7.1), (100, 6.0))
    assert wear_line(readings[::-1], limit=2.0) == wear_line(readings, limit=2.0)


def test_the_bend_is_assumed_and_says_so():
    found = wear_line(pad((0, 8.0), (100, 6.0)), limit=2.0)
    assert [one.says for one in found.reached.rows if one.assumed] == ["wear is not a straight line"]


@pytest.mark.parametrize(
    ("readings", "words"),
    [([], "there is no reading; wear shows between two days. Read it again later."),
     (pad((5, 8.0)), "there is one reading; wear shows between two days. Read it again later."),
     (pad((5, 8.0), (5, 7.9)), "all 2 readings are of one day; wear shows between two days. Read it again later."),
     ([Dated(0, Estimate(8.0, "mm")), Dated(9, Estimate(7.0, "V"))],
      "readings in mm and V make no line; give all of them in one unit.")],
)  # fmt: skip
def test_refused(readings, words):
    with pytest.raises(ValueError, match=r"in one unit|wear shows between") as refused:
        wear_line(readings, limit=2.0)
    assert str(refused.value) == words


def test_a_time_before_the_last_reading_is_refused():
    with pytest.raises(ValueError, match="after") as refused:
        wear_line(pad((0, 8.0), (100, 6.0)), limit=2.0).chance_reached(-1.0)
    assert str(refused.value) == "-1 is not after the last reading. Ask for a time after it, such as 90."
