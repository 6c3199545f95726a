"""Tilt: turning round, the vial's sensitivity, water in a hose, and the size near level."""

import math

import pytest

from knowngood.engine.judgement import Band, Verdict, judge
from knowngood.engine.measurement.meters.instruments import Meter, typical
from knowngood.engine.measurement.sizes.tilt import inclinometer, spirit_level, water_tube

CUBE = Meter("cube", 0.0, 2, 0.1)
LEVEL = Meter("level", 0.0, 0, 0.5)
RULER = Meter("ruler", 0.0, 0, 1.0)


def rows(estimate):
    return {row.key: row.contribution for row in estimate.rows}


@pytest.mark.published(
    "sensitivity as rise over 1 m for 2 mm of the bubble: common practice, no source; 5 deg by hand: 87 mm"
)
def test_sensitivity_of_a_vial():
    found = spirit_level([2.0], meter=LEVEL, sensitivity_mm_m=87.0)
    assert found.value == pytest.approx(5.0, abs=0.5)
    assert 1000 * math.tan(math.radians(5.0)) == pytest.approx(87.0, abs=0.5)
    assert found.value == pytest.approx(math.degrees(math.atan(0.087)), abs=1e-12)


@pytest.mark.published(
    "sensitivity as rise over 1 m for 2 mm of the bubble: common practice, no source; 0.6 mm/m by hand"
)
def test_one_division_lifts_a_metre_by_the_sensitivity():
    found = spirit_level([2.0], meter=LEVEL, sensitivity_mm_m=0.6)
    assert found.value == pytest.approx(math.degrees(math.asin(0.0006)), rel=1e-6)


def test_turned_the_zero_cancels():
    straight = inclinometer([0.7], meter=CUBE)
    turned = inclinometer([0.7], meter=CUBE, turned_deg=[-0.3])
    assert (straight.value, turned.value) == (pytest.approx(0.7), pytest.approx(0.5))
    assert rows(straight)["meter:cube/zero"] == pytest.approx(0.2 / math.sqrt(3))
    half_a_step = 0.5 * 0.05 / math.sqrt(3)
    expected = {"reading:reading/step": half_a_step, "reading:reading/turned/step": -half_a_step}
    assert rows(turned) == pytest.approx(expected)
    other_zero = inclinometer([1.7], meter=CUBE, turned_deg=[0.7])
    assert other_zero.value == pytest.approx(turned.value)


def test_no_inclinometer_described_has_a_wide_zero():
    row = next(row for row in inclinometer([0.7], meter=typical("deg", 0.1)).rows if row.key.endswith("/zero"))
    assert (row.assumed, row.remedies) == (True, ("turn",))
    assert row.contribution == pytest.approx(1.0 / math.sqrt(3))


def test_camber_keeps_its_sign():
    assert inclinometer([-1.2], meter=CUBE, signed=True).value == pytest.approx(-1.2)
    assert inclinometer([-1.2], meter=CUBE).value == pytest.approx(1.2)


def test_a_size_near_level_is_judged_on_both_sides():
    """Read as 0 with a zero of ± 1 deg: half of what it may be lies within half a degree, either way."""
    meter = Meter("phone", 0.0, 0, 0.0, offset=1.0)
    judged = judge(inclinometer([0.0], meter=meter), Band(None, 0.5, "deg"))
    assert judged.probability_inside == pytest.approx(0.5, abs=0.01)
    assert judged.verdict is Verdict.CANT_TELL


@pytest.mark.parametrize("read", [0.4, -0.4])
def test_the_side_does_not_matter_to_a_size(read):
    band = Band(None, 0.5, "deg")
    here, there = (judge(inclinometer([one], meter=CUBE), band).probability_inside for one in (read, -read))
    assert here == pytest.approx(there, abs=0.005)


def test_bubble_row_by_row():
    found = spirit_level([1.0], meter=LEVEL, sensitivity_mm_m=1.0, reading_id="7")
    slope = math.degrees(1.0) / 1000 / (1 + 0.0005**2)
    expected = {
        "reading:7/eye": 0.5 * 0.5 * slope / math.sqrt(3), "meter:level/zero": slope / math.sqrt(3),
        "meter:level/sensitivity": 0.5 * 0.1 * slope / math.sqrt(3),
    }  # fmt: skip
    assert rows(found) == pytest.approx(expected)


def test_a_level_turned_round():
    found = spirit_level([1.0], meter=LEVEL, turned_mm=[-0.5], sensitivity_mm_m=5.0)
    assert found.value == pytest.approx(math.degrees(math.atan(0.75 / 2 * 0.005)))
    assert "meter:level/zero" not in rows(found)


def test_a_level_alone_assumes_what_stands_on_it():
    assert {row.key for row in spirit_level([1.0], meter=LEVEL).rows if row.assumed} == {
        "reading:reading/eye", "meter:level/sensitivity", "meter:level/zero",
    }  # fmt: skip


def test_water_row_by_row():
    found = water_tube([412.0, 389.0], meter=RULER, distance_mm=2600.0, reading_id="7")
    rise = 23.0 / 2600.0
    assert found.value == pytest.approx(math.degrees(math.atan(rise)))
    slope = math.degrees(1.0) / 2600.0 / (1 + rise**2)
    expected = {
        "reading:7/one/water": 2.0 * slope / math.sqrt(3), "reading:7/other/water": -2.0 * slope / math.sqrt(3),
        "reading:7/one/step": 0.5 * slope / math.sqrt(3), "reading:7/other/step": -0.5 * slope / math.sqrt(3),
        "reading:7/distance": -26.0 * rise * slope / math.sqrt(3),
    }  # fmt: skip
    assert rows(found) == pytest.approx(expected)
    assert water_tube([389.0, 412.0], meter=RULER, distance_mm=2600.0).value == pytest.approx(found.value)


def test_water_alone_assumes_a_cars_length():
    row = next(row for row in water_tube([412.0, 389.0], meter=RULER).rows if row.key.endswith("/distance"))
    assert row.assumed
    assert row.input_uncertainty == pytest.approx(500.0 / math.sqrt(3))


@pytest.mark.parametrize("factor", [0.1, 25.4])
def test_another_unit_of_length_changes_no_angle(factor):
    assert water_tube([412.0 * factor, 389.0 * factor], meter=RULER, distance_mm=2600.0 * factor).value == (
        pytest.approx(water_tube([412.0, 389.0], meter=RULER, distance_mm=2600.0).value)
    )


def test_more_doubt_is_never_clearer():
    band = Band(None, 0.5, "deg")
    inside = [
        judge(inclinometer([0.3], meter=Meter("m", 0.0, digits, 0.1)), band).probability_inside for digits in (1, 3, 8)
    ]
    assert inside == sorted(inside, reverse=True)
    assert inside[-1] < inside[0]


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: inclinometer([200.0], meter=CUBE),
         "a tilt of 200 deg is more than 90 deg, which stands upright. Check the point and the unit."),
        (lambda: inclinometer([], meter=CUBE),
         "the readings: there is no reading. Give one or more numbers, as the display showed them."),
        (lambda: spirit_level([1.0], meter=LEVEL, sensitivity_mm_m=0.0),
         "a level of 0 mm/m is not above zero. Write what stands on it for one division, such as 0.5."),
        (lambda: water_tube([412.0], meter=RULER),
         'two heights belong here, one at each end of the hose; found: 1. Write both, such as "412 389 mm".'),
        (lambda: water_tube([-412.0, 389.0], meter=RULER),
         "a height of -412 mm is below zero. Measure from a point of the vehicle to the water, at both ends to the "
         "same side, and write both without a sign."),
        (lambda: water_tube([412.0, 1789.0], meter=RULER),
         "heights 1377 mm apart over 2600 mm: nothing stands that steep. Check both units, and write the heights at "
         "which the water stands, not the length of the hose."),
        (lambda: water_tube([412.0, 389.0], meter=RULER, distance_mm=-1.0),
         "a distance of -1 mm is not above zero. Measure along the ground from one end of the hose to the other."),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(call, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        call()
    assert str(refused.value) == message
