"""Gaps between two blades, and lengths whose end is found by hand."""

import math
from dataclasses import replace

import pytest

from knowngood.engine.judgement import Band, Verdict, combine, judge
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.engine.measurement.sizes.feelers import (
    BELT_BY_SCALE,
    BELT_BY_THUMB,
    BLADE_HALF_MM,
    DRAG_HALF_MM,
    FREE_PLAY,
    SPRING,
    feeler_gap,
    length_by_hand,
)

RULER = Meter("ruler", 0.0, 0, 1.0)


def rows(estimate):
    return {row.key: row.contribution for row in estimate.rows}


@pytest.mark.published("GUM, 4.3.7: half-width over the root of 3, between two bounds")
def test_a_gap_row_by_row():
    found = feeler_gap(0.25, 0.30, blades="mine", reading_id="7")
    assert found.value == pytest.approx(0.275)
    expected = {
        "reading:7/between": 0.025 / math.sqrt(3), "meter:mine/blade": BLADE_HALF_MM / math.sqrt(3),
        "reading:7/drag": DRAG_HALF_MM / math.sqrt(3),
    }  # fmt: skip
    assert rows(found) == pytest.approx(expected)


def test_a_blade_alone_assumes_the_next_of_a_usual_set():
    alone, pair = feeler_gap(0.25), feeler_gap(0.25, 0.30)
    assert (alone.value, rows(alone)) == (pair.value, rows(pair))
    assert [next(row.assumed for row in one.rows if row.key.endswith("/between")) for one in (alone, pair)] == [
        True, False,
    ]  # fmt: skip


def test_none_goes():
    assert feeler_gap(0.0, 0.05).value == pytest.approx(0.025)


def test_blades_that_were_measured():
    row = next(row for row in feeler_gap(0.25, 0.30, blade_half_mm=0.002).rows if row.key.endswith("/blade"))
    assert (row.assumed, row.contribution) == (False, pytest.approx(0.002 / math.sqrt(3)))


def test_two_gaps_by_one_set_share_its_error():
    gaps = [feeler_gap(mm, blades="mine", reading_id=name) for mm, name in ((0.25, "a"), (0.4, "b"))]
    assert rows(combine([(1.0, gaps[0]), (-1.0, gaps[1])]))["meter:mine/blade"] == pytest.approx(0.0, abs=1e-15)


def test_a_finer_pair_makes_it_clear():
    band = Band(None, 0.30, "mm")
    assert judge(feeler_gap(0.25, 0.35), band).verdict is Verdict.CANT_TELL
    assert judge(feeler_gap(0.25, 0.26), band).verdict is Verdict.WITHIN


@pytest.mark.parametrize("wider", [0.31, 0.4, 0.6])
def test_a_wider_pair_about_the_same_middle_is_never_clearer(wider):
    band, middle = Band(None, 0.30, "mm"), 0.27
    near = judge(feeler_gap(middle - 0.02, middle + 0.02), band).probability_inside
    half = wider - 0.28
    assert judge(feeler_gap(middle - min(half, middle), middle + min(half, middle)), band).probability_inside <= near


@pytest.mark.parametrize(
    ("goes", "not_mm", "message"),
    [
        (-0.25, 0.3, "a blade of -0.25 mm is below zero. Write the thickest blade that goes, or 0 when none does."),
        (0.30, 0.25,
         "0.3 mm goes and 0.25 mm does not: the one that goes must be the thinner. "
         'Write it first, such as "0.25 0.30 mm".'),
        (0.25, 0.25,
         "0.25 mm goes and 0.25 mm does not: the one that goes must be the thinner. "
         'Write it first, such as "0.25 0.30 mm".'),
        (25.0, None,
         "a blade of 25.05 mm is thicker than any set has; up to 5 mm is taken. Check the point and the unit."),
    ],
)  # fmt: skip
def test_blades_refused_in_the_mechanics_words(goes, not_mm, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        feeler_gap(goes, not_mm)
    assert str(refused.value) == message


def test_play_is_no_better_than_its_end():
    found = length_by_hand([14.0, 15.0, 14.0], meter=RULER, by_hand=FREE_PLAY, reading_id="7")
    assert found.value == pytest.approx(43 / 3)
    end = next(row for row in found.rows if row.key == "reading:7/end")
    assert (end.assumed, end.contribution) == (True, pytest.approx(2.0 / math.sqrt(3)))
    better = length_by_hand([14.0, 15.0, 14.0], meter=RULER, by_hand=replace(FREE_PLAY, half_mm=0.5))
    assert better.standard_uncertainty < 0.5 * found.standard_uncertainty


def test_a_thumb_is_wider_than_a_scale():
    thumb, scale = (
        next(row for row in length_by_hand([10.0], meter=RULER, by_hand=by).rows if row.key.endswith("/push"))
        for by in (BELT_BY_THUMB, BELT_BY_SCALE)
    )
    assert (thumb.contribution, thumb.assumed) == (pytest.approx(3.0 / math.sqrt(3)), True)
    assert (scale.contribution, scale.assumed) == (pytest.approx(0.5 / math.sqrt(3)), False)


@pytest.mark.parametrize(
    ("read", "by_hand", "message"),
    [
        ([-3.0], FREE_PLAY,
         "a free play of -3 mm is below zero. Read again, and write how far it moved without a sign."),
        ([-3.0], BELT_BY_THUMB,
         "a deflection of -3 mm is below zero. Read again, and write how far it moved without a sign."),
        ([0.0], SPRING, "a spring of 0 mm is not above zero. Read again, and write its length from end to end."),
        ([], SPRING, "the readings: there is no reading. Give one or more numbers, as the display showed them."),
    ],
)  # fmt: skip
def test_lengths_refused_in_the_mechanics_words(read, by_hand, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        length_by_hand(read, meter=RULER, by_hand=by_hand)
    assert str(refused.value) == message
