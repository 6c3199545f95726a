"""A level check: the worked values of tilt and warmth, signs, rows, and what to level to."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.fluids.carried import stated
from knowngood.engine.fluids.expansion import oil, plain
from knowngood.engine.fluids.level import (
    Check,
    either_side,
    level_error,
    level_to,
    tilt_against_window,
    unlevelled,
)
from knowngood.engine.fluids.pan import Where, pan
from knowngood.engine.judgement import Band, Estimate, Row, Verdict, judge

OIL = oil(0.85)
# Free surface 0.06 m², read 100 mm from its middle.
FLAT = pan(length_mm=300.0, width_mm=200.0, along_mm=0.0, across_mm=100.0, free_share=1.0)
EIGHT = stated("total", 8.0, 0.4, unit="L")


def tilt(deg, key="tilt/across", half=0.0):
    return stated(key, deg, half, unit="deg")


def check(celsius=40.0, along=0.0, across=0.0, where=Where.OVERFLOW, **more):
    fluid_c = stated("fluid", celsius, 1.0, unit="°C")
    return Check(EIGHT, OIL, fluid_c, 40.0, tilt(along, "tilt/along"), tilt(across), where, **more)


@pytest.mark.published("the tangent of a tilt over 100 mm, worked by hand: .87, 1.75 and 5.24 mm")
@pytest.mark.parametrize(("deg", "mm"), [(0.5, 0.87), (1.0, 1.75), (3.0, 5.24)])
def test_tilt_in_mm(deg, mm):
    found = level_error(check(across=deg), FLAT)
    assert -found.tilt_l.value * 1e6 / FLAT.area_mm2.value == pytest.approx(mm, abs=0.005)


@pytest.mark.published("0.06 m2, 100 mm, 1 deg: 0.105 L; 8 L warming by 10 K at 7.4e-4: 0.059 L, 0.99 mm; by hand")
def test_tilt_and_warmth_in_litres():
    assert level_error(check(across=1.0), FLAT).tilt_l.value == pytest.approx(-0.105, abs=0.0005)
    grown = tilt_against_window(EIGHT, plain("oil", 7.4e-4, 0.0), Band(20.0, 30.0, "°C"), FLAT)
    assert grown.window_mm.value == pytest.approx(0.99, abs=0.005)
    assert grown.window_mm.value * 0.06 == pytest.approx(0.059, abs=0.0005)


@pytest.mark.published("one degree of tilt outweighs a whole window of 10 K; 1 deg is 17.5 mm over 1 m; by hand")
def test_one_degree_outweighs_the_window():
    found = tilt_against_window(EIGHT, OIL, Band(35.0, 45.0, "°C"), FLAT)
    assert judge(found.times, Band(1.0, None, "1")).verdict is Verdict.WITHIN
    assert found.degree_mm.value / found.window_mm.value == pytest.approx(found.times.value)
    assert level_to(Band(-1.0, 1.0, "mm"), FLAT).mm_per_m / level_to(Band(-1.0, 1.0, "mm"), FLAT).deg == pytest.approx(
        17.5, abs=0.05
    )


@pytest.mark.published("API MPMS 11.1, by hand: 8 L of 850 kg/m3, 10 K off 40 °C: .0607 L over or .0609 L short")
@pytest.mark.parametrize(("celsius", "litre"), [(30.0, 0.0607), (50.0, -0.0609)])
def test_cold_overfills_and_hot_underfills(celsius, litre):
    found = level_error(check(celsius), FLAT)
    assert found.temperature_l.value == pytest.approx(litre, abs=0.00005)
    assert found.litre.value == pytest.approx(found.temperature_l.value)


@pytest.mark.parametrize("celsius", [25.0, 55.0])
def test_refilled_to_the_level_it_holds_what_the_level_stands_for(celsius):
    """8 L at the check's temperature, brought to 40 °C, less 8 L."""
    brought = 8.0 * OIL.relative(40.0) / OIL.relative(celsius)
    assert level_error(check(celsius), FLAT).temperature_l.value == pytest.approx(brought - 8.0)


def test_higher_where_it_is_read_underfills():
    assert level_error(check(across=0.5), FLAT).litre.value < 0.0 < level_error(check(across=-0.5), FLAT).litre.value


def test_along_and_across_add():
    corner = pan(length_mm=300.0, width_mm=200.0, along_mm=60.0, across_mm=100.0)
    both, one, other = (
        level_error(check(along=along, across=across), corner).tilt_l.value
        for along, across in ((0.7, 0.4), (0.7, 0.0), (0.0, 0.4))
    )
    assert both == pytest.approx(one + other)


@pytest.mark.parametrize(
    ("where", "fineness_mm", "half_mm"),
    [(Where.OVERFLOW, None, 1.0), (Where.DIPSTICK, None, 1.5), (Where.DIPSTICK, 10.0, 5.0),
     (Where.SIGHT_GLASS, None, 3.0), (Where.SIGHT_GLASS, 20.0, 5.0)],
)  # fmt: skip
def test_the_eye(where, fineness_mm, half_mm):
    found = level_error(check(where=where, fineness_mm=fineness_mm), FLAT).reading_l
    (row,) = (row for row in found.rows if row.contribution != 0.0)
    assert row.contribution == pytest.approx(half_mm * 0.06 / 3**0.5)
    assert (row.assumed, row.name) == (True, f"reading the {where.value}")


def test_litres_and_mm_are_one_error():
    found = level_error(check(30.0, across=0.5), FLAT)
    assert found.mm.value == pytest.approx(found.litre.value * 1e6 / FLAT.area_mm2.value)
    assert {row.key for row in found.litre.rows} <= {row.key for row in found.mm.rows}
    assert {"fluid", "liquid:oil/of", "level/eye", "pan/across"} <= {row.key for row in found.litre.rows}


def test_the_doubt_by_drawing_at_random():
    generator = np.random.default_rng(3)

    def around(value, half):
        return value + half * generator.uniform(-1.0, 1.0, 200_000)

    one = Check(
        EIGHT, OIL, stated("fluid", 33.0, 3.0, unit="°C"), 40.0, tilt(0.3, "tilt/along", 0.5), tilt(0.2, half=0.5)
    )
    corner = pan(length_mm=300.0, width_mm=200.0, along_mm=60.0, across_mm=100.0)
    litre, celsius = around(8.0, 0.4), around(33.0, 3.0)
    density, off = around(0.85, 0.005), around(0.0, 0.05)
    area = around(300.0, 10.0) * around(200.0, 10.0) * around(0.85, 0.15)
    rise = sum(
        around(mm, 10.0) * np.tan(np.radians(around(deg, 0.5))) for mm, deg in ((60.0, 0.3), (100.0, 0.2))
    ) + around(0.0, 1.0)
    grown = OIL.relative(40.0, density, off) / OIL.relative(celsius, density, off) - 1.0
    drawn = litre * grown - rise * area / 1e6
    found = level_error(one, corner).litre
    assert found.value == pytest.approx(drawn.mean(), abs=5e-4)
    assert found.standard_uncertainty == pytest.approx(drawn.std(), rel=0.03)


def test_nobody_levelled_it():
    found = level_error(Check(EIGHT, OIL, stated("fluid", 40.0, 1.0, unit="°C"), 40.0, unlevelled("along"),
                              unlevelled("across")), pan())  # fmt: skip
    assert found.litre.budget[0].key == "tilt/across"
    assert found.litre.budget[0].assumed
    assert judge(found.litre, Band(-0.1, 0.1, "L")).verdict is Verdict.CANT_TELL


def test_only_the_size_of_a_tilt():
    found = either_side(Estimate(1.0, "deg", (Row("phone", 0.0),)), "along")
    assert (found.value, found.standard_uncertainty, found.rows[0].remedies) == (0.0, 1.0, ("level",))


@given(st.floats(0.2, 20.0), st.floats(30.0, 150.0))
def test_levelled_to_it_the_error_is_within(tolerance_mm, across_mm):
    where = pan(length_mm=400.0, width_mm=300.0, along_mm=0.0, across_mm=across_mm)
    found = level_to(Band(-tolerance_mm, tolerance_mm, "mm"), where)
    assert across_mm * math.tan(math.radians(found.deg)) < tolerance_mm
    assert found.mm_per_m == pytest.approx(1000.0 * math.tan(math.radians(found.deg)))


def test_other_errors_take_their_part_first():
    band = Band(-0.3, 0.3, "L")
    alone = level_to(band, FLAT)
    beside = level_to(band, FLAT, others=level_error(check(36.0), FLAT).litre)
    assert 0.0 < beside.deg < alone.deg


def test_the_nearer_end_of_a_tolerance_counts():
    assert level_to(Band(-0.1, 0.5, "L"), FLAT) == level_to(Band(-0.1, None, "L"), FLAT)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: level_to(Band(-0.05, 0.05, "L"), FLAT, others=level_error(check(30.0), FLAT).litre),
         "temperature and reading alone may be off by 0.12 L, and 0.05 is allowed: nothing is left for tilt. Check "
         "nearer to the middle of the window, or read more finely."),
        (lambda: level_to(Band(0.1, 0.2, "L"), FLAT),
         "a tolerance that does not hold 0; write how much too little and too much is allowed."),
        (lambda: tilt_against_window(EIGHT, OIL, Band(35.0, None, "°C"), FLAT),
         "a temperature window with one end; write both, such as 35 to 45 °C."),
        (lambda: level_error(check(where=Where.SIGHT_GLASS, fineness_mm=0.0), FLAT),
         "a sight glass of 0 mm; measure it, above zero."),
        (lambda: level_error(check(400.0), FLAT),
         "oil at 400 °C: how it grows is known from -50 to 150 °C. Check the reading and its unit."),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(call, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        call()
    assert str(refused.value) == message
