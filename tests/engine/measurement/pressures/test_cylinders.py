"""Cylinders: a gauge's class, what one gauge has wrong alike with all, and what must be refused."""

import math

import pytest

from knowngood.engine.judgement import Band, Shape, Verdict, judge
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.engine.measurement.pressures.cylinders import (
    JET,
    REPEATABILITY,
    compression_spread,
    lowest_compression,
    worst_leakage,
    worst_leakage_by_gauges,
)

DIAL = Meter("dial", 2.0, 1, 10)


def rows(estimate):
    return {row.key: row for row in estimate.rows}


@pytest.mark.published("EN 837-1:1996, class as a share of the span: 0 to 10 bar, class 1.6: ± 0.16 bar, by hand")
def test_a_class_is_the_half_width_wherever_the_needle_stands():
    gauge = Meter("dial", 0.0, 0, 10, offset=0.016 * 1000.0)
    for read in (200.0, 900.0):
        row = rows(lowest_compression([read], meter=gauge))["meter:dial/offset"]
        assert (row.shape, row.contribution) == (Shape.RECTANGULAR, pytest.approx(16.0 / math.sqrt(3), abs=1e-9))


@pytest.mark.published("the lowest cylinder within 75 % of the highest: common practice, no source")
@pytest.mark.parametrize(("low", "verdict"), [(600, Verdict.OUT), (760, Verdict.CANT_TELL), (950, Verdict.WITHIN)])
def test_three_quarters_of_the_highest(low, verdict):
    found = compression_spread([1000, low, 980, 990], meter=DIAL)
    assert found.value == pytest.approx(low / 10.0)
    assert judge(found, Band(75.0, None, "%")).verdict is verdict


@pytest.mark.published("the lowest cylinder as a share of the highest, by hand: 105 of 150 psi is 70 %")
def test_seventy_percent():
    assert compression_spread([1035, 724.5], meter=DIAL).value == pytest.approx(70.0, abs=1e-9)
    assert compression_spread([150, 105], meter=DIAL).value == pytest.approx(70.0, abs=1e-12)


def test_the_lowest_counts():
    found = lowest_compression([1230, 1190, 1210], meter=DIAL, reading_id="7")
    assert found.value == 1190.0
    assert set(rows(found)) == {"reading:7/2/digits", "reading:7/2/repeatability", "meter:dial/gain"}
    parts = (10.0, 1190 * REPEATABILITY, 1190 * 0.02)
    assert found.standard_uncertainty == pytest.approx(math.hypot(*parts) / math.sqrt(3), rel=1e-9)
    assert [row.name for row in found.rows if row.assumed] == ["cranking again, cylinder 2"]


def test_one_gauges_gain_cancels_and_its_offset_only_in_part():
    cranked = [1200, 900]
    plain, steep = (compression_spread(cranked, meter=Meter("dial", percent, 1, 10)) for percent in (0.0, 10.0))
    assert plain == steep
    offset = rows(compression_spread(cranked, meter=Meter("dial", 0, 1, 10, offset=30)))["meter:dial/offset"]
    assert offset.contribution == pytest.approx(100 * (1 - 0.75) / 1200 * 30 / math.sqrt(3))
    alike = rows(compression_spread([1000, 1000], meter=Meter("dial", 0, 1, 10, offset=30)))
    assert alike["meter:dial/offset"].contribution == pytest.approx(0.0, abs=1e-12)


def test_cranking_again_does_not_cancel():
    found = rows(compression_spread([1000, 1000], meter=DIAL, reading_id="7"))
    assert {"reading:7/1/repeatability", "reading:7/2/repeatability"} <= set(found)
    assert abs(found["reading:7/1/repeatability"].contribution) == pytest.approx(100 * REPEATABILITY / math.sqrt(3))


def test_leakage_as_the_dial_shows_it():
    found = worst_leakage([8, 12, 9], meter=Meter("tester", 0.0, 1, 1))
    assert found.value == 12.0
    assert rows(found)["tester/jet"].contribution == pytest.approx(12 * JET / math.sqrt(3))


def test_leakage_by_two_gauges_is_the_same_leakage():
    found = worst_leakage_by_gauges([630, 560], meter=Meter("dials", 1.0, 1, 1), supply_kpa=700)
    assert found.value == pytest.approx(20.0)
    assert {"meter:dials/gain", "meter:dials, supply/gain"} <= set(rows(found))
    assert worst_leakage_by_gauges([690], meter=DIAL, supply_kpa=690).value == 0.0


def test_a_supply_that_nobody_read_is_assumed_wide():
    known = worst_leakage_by_gauges([600], meter=DIAL, supply_kpa=690)
    guessed = worst_leakage_by_gauges([600], meter=DIAL)
    assert guessed.value == pytest.approx(known.value)
    assert guessed.standard_uncertainty > 1.5 * known.standard_uncertainty
    assert rows(guessed)["supply"].assumed


@pytest.mark.parametrize("factor", [0.145038, 100.0])
def test_another_unit_changes_nothing(factor):
    here = compression_spread([1200, 900], meter=Meter("dial", 2.0, 1, 10, offset=5))
    there = compression_spread([1200 * factor, 900 * factor], meter=Meter("dial", 2.0, 1, 10 * factor, 5 * factor))
    assert there.standard_uncertainty == pytest.approx(here.standard_uncertainty)
    assert there.value == pytest.approx(here.value)


def test_more_doubt_makes_no_verdict_clearer():
    band = Band(1000.0, None, "kPa")
    chances = [
        judge(lowest_compression([1060, 1100], meter=Meter("dial", percent, 1, 10)), band).probability_inside
        for percent in (0.0, 2.0, 5.0, 10.0)
    ]
    assert chances == sorted(chances, reverse=True)
    assert chances[0] > chances[-1] > 0.5


NOTHING = "there is no reading. Give one number for each cylinder, in their order."


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: lowest_compression([], meter=DIAL), NOTHING),
        (lambda: worst_leakage([], meter=DIAL), NOTHING),
        (lambda: lowest_compression([1200, 0], meter=DIAL),
         "cylinder 2 reads 0 kPa, which is not above zero. Seat the hose, crank until the needle stops rising, "
         "and read again."),
        (lambda: compression_spread([1200], meter=DIAL),
         "one cylinder alone has nothing to be compared with. Read them all with the same gauge, one reading each."),
        (lambda: worst_leakage([8, 112], meter=DIAL),
         "a leakage of 112 % cannot be: it lies between 0 % (nothing gets out) and 100 % (nothing stays). "
         "Read the tester's percent scale."),
        (lambda: worst_leakage_by_gauges([700], meter=DIAL, supply_kpa=690),
         "the cylinder's gauge shows 700 kPa and the supply is 690 kPa: no cylinder holds more than it is fed. "
         "Check which gauge is which, and write the supply down too."),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(call, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        call()
    assert str(refused.value) == message
