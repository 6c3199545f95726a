"""Volume out: pours added up, weighing, and what must be refused."""

import math

import pytest

from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.engine.measurement.sizes.vessels import DENSITIES, Density, jug, poured_volume, weighed_volume

JUG = jug("jug", marks_l=0.1)
SCALES = Meter("scales", 0.5, 1, 0.01)
OIL = Density(0.87, 0.02)


def rows(estimate):
    return {row.key: row for row in estimate.rows}


@pytest.mark.published("ASTM E1272-02, class B: 100 mL ± 1.0 mL, 500 mL ± 4.0 mL, as reprinted")
@pytest.mark.parametrize(("capacity_l", "tolerance_l"), [(0.1, 0.001), (0.5, 0.004)])
def test_a_measuring_cylinder_is_off_alike_each_time(capacity_l, tolerance_l):
    cylinder = Meter("cylinder", 0.0, 0, 0.0, offset=tolerance_l)
    found = poured_volume([capacity_l] * 3, meter=cylinder)
    assert found.value == pytest.approx(3 * capacity_l)
    assert rows(found)["meter:cylinder/offset"].contribution == pytest.approx(3 * tolerance_l / math.sqrt(3))


def test_pours_share_the_jug_and_not_the_eye():
    found = poured_volume([1.0, 1.0, 0.6], meter=JUG, reading_id="7")
    assert found.value == pytest.approx(2.6)
    gain, eye = 2.6 * 0.05, 0.05 * math.sqrt(3)
    assert found.standard_uncertainty == pytest.approx(math.hypot(gain, eye) / math.sqrt(3))
    assert {"meter:jug/gain", "reading:7/1/digits", "reading:7/3/digits"} <= set(rows(found))
    assert all(row.assumed for row in found.rows)


def test_one_large_pour_is_read_better_than_many_small_ones():
    one, many = poured_volume([3.0], meter=JUG), poured_volume([0.5] * 6, meter=JUG)
    assert one.value == pytest.approx(many.value)
    assert one.standard_uncertainty < many.standard_uncertainty


@pytest.mark.parametrize(("marks_l", "step_l", "taken"), [(None, 0.01, 0.1), (None, 0.5, 0.5), (0.05, 0.5, 0.05)])
def test_marks_of_a_jug(marks_l, step_l, taken):
    assert jug("jug", marks_l=marks_l, step_l=step_l).step == taken


def test_weighed():
    found = weighed_volume([4.19], meter=SCALES, density=OIL, tare_kg=0.71)
    assert found.value == pytest.approx(3.48 / 0.87)
    parts = (4.0 * 0.02 / 0.87, 4.0 * 0.005, 0.01 / 0.87, 0.01 / 0.87)
    assert found.standard_uncertainty == pytest.approx(math.hypot(*parts) / math.sqrt(3))


def test_the_scales_offset_cancels_against_the_empty_vessel_only():
    off = Meter("scales", 0.0, 1, 0.01, offset=0.05)
    assert "meter:scales/offset" not in rows(weighed_volume([4.0], meter=off, density=OIL, tare_kg=0.7))
    row = rows(weighed_volume([2.0, 2.0], meter=off, density=OIL))["meter:scales/offset"]
    assert row.contribution == pytest.approx(2 * 0.05 / 0.87 / math.sqrt(3))


def test_the_empty_vessel_counts_for_each_filling():
    assert weighed_volume([2.0, 1.5], meter=SCALES, density=OIL, tare_kg=0.5).value == pytest.approx(2.5 / 0.87)


def test_a_fluid_nobody_named_is_assumed_wide():
    found = weighed_volume([3.0], meter=SCALES)
    assert [row.name for row in found.rows if row.assumed] == ["density of the fluid"]
    assert found.standard_uncertainty > 3 * weighed_volume([3.0], meter=SCALES, density=OIL).standard_uncertainty
    wide = DENSITIES["unknown"]
    for kind in ("oil", "gear_oil", "coolant", "brake_fluid", "water"):
        assert abs(DENSITIES[kind].kg_per_l - wide.kg_per_l) <= wide.half_width


@pytest.mark.parametrize("factor", [0.001, 1000.0])
def test_another_unit_changes_nothing(factor):
    there = poured_volume([1.0 * factor, 0.6 * factor], meter=Meter("jug", 5.0, 0.5, 0.1 * factor))
    here = poured_volume([1.0, 0.6], meter=Meter("jug", 5.0, 0.5, 0.1))
    assert there.value == pytest.approx(factor * here.value)
    assert there.standard_uncertainty == pytest.approx(factor * here.standard_uncertainty)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: poured_volume([], meter=JUG),
         "there is no reading. Give one number for each time that the vessel was filled."),
        (lambda: poured_volume([1.0, 0.0], meter=JUG),
         "a reading of 0 L is not above zero. Leave out what was empty, and read at eye level."),
        (lambda: jug("jug", marks_l=0.0), "marks 0 L apart; write how far one mark is from the next, such as 0.1 L."),
        (lambda: weighed_volume([0.7], meter=SCALES, tare_kg=0.71),
         "the empty vessel weighs 0.71 kg and the full one 0.7 kg: nothing is left for the fluid. "
         "Write the weight of vessel and fluid together, and the empty vessel apart from it."),
        (lambda: weighed_volume([3.0], meter=SCALES, density=Density(870.0, 10.0)),
         "a density of 870 ± 10 kg/L; fluids of a vehicle lie from 0.6 to 2 kg/L. Write it in kg/L, such as 0.87."),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(call, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        call()
    assert str(refused.value) == message
