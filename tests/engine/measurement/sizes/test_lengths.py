"""The lowest of several places: which one counts, and what a gauge in the hand does to it."""

import math
from itertools import pairwise

import pytest
from tests.refusing import refused_by_engine

from knowngood.engine.judgement import Band, Verdict, combine, judge
from knowngood.engine.measurement.meters.instruments import Meter, typical
from knowngood.engine.measurement.sizes.lengths import DISC, PAD, ZERO_HALF_MM, lowest_place

MICROMETER = Meter("micrometer", 0.0, 4, 0.001)
CALIPER = Meter("caliper", 0.0, 2, 0.01)


def rows(estimate):
    return {row.key: row.contribution for row in estimate.rows}


@pytest.mark.published("DIN 863-1, micrometer 0 to 50 mm: 4 µm; DIN 862, caliper with digital steps: 20 µm")
@pytest.mark.parametrize(("gauge", "limit"), [(MICROMETER, 0.004), (CALIPER, 0.02)])
def test_a_class_of_gauge_is_one_row(gauge, limit):
    found = rows(lowest_place([22.31] * 4, meter=gauge, zero_error_mm=0.0))
    assert found[f"{gauge.key}/digits"] == pytest.approx(limit / math.sqrt(3))


@pytest.mark.published("DIN 862, caliper with steps of 0.05 mm: 50 µm, taken for a gauge that nobody described")
def test_a_gauge_that_nobody_described():
    found = rows(lowest_place([22.31] * 4, meter=typical("mm", 0.01)))
    assert found["meter:not described/digits"] == pytest.approx(0.05 / math.sqrt(3))
    assert found["meter:not described/zero"] == pytest.approx(-ZERO_HALF_MM / math.sqrt(3))


def test_the_lowest_place_counts_and_the_others_are_no_scatter():
    near = lowest_place([22.31, 22.29, 22.33, 22.30], meter=MICROMETER, zero_error_mm=0.01)
    far = lowest_place([25.0, 22.29, 28.0, 24.0], meter=MICROMETER, zero_error_mm=0.01)
    assert near.value == pytest.approx(22.28)
    assert rows(near) == pytest.approx(rows(far))
    assert not any(key.endswith("/scatter") for key in rows(near))


def test_another_place_may_be_thinner_the_more_the_fewer_were_read():
    found = [lowest_place([10.0] * count, meter=MICROMETER, worn=PAD, zero_error_mm=0.0) for count in (1, 2, 3, 4, 5)]
    assert [one.value for one in found] == pytest.approx([9.5, 10 - 1 / 3, 10 - 1 / 6, 10.0, 10.0])
    assert all(more.standard_uncertainty >= less.standard_uncertainty for more, less in pairwise(found))
    row = next(row for row in found[0].rows if row.key == "reading:reading/unseen")
    assert (row.assumed, row.remedies) == (True, ("places",))
    assert row.contribution == pytest.approx(-0.5 / math.sqrt(3))


def test_one_gauge_off_by_the_same_at_two_discs():
    left, right = (
        lowest_place([mm] * 4, meter=MICROMETER, reading_id=name) for mm, name in ((22.31, "a"), (22.25, "b"))
    )
    difference = rows(combine([(1.0, left), (-1.0, right)]))
    assert difference["meter:micrometer/digits"] == pytest.approx(0.0, abs=1e-12)
    assert difference["meter:micrometer/zero"] == pytest.approx(0.0, abs=1e-12)


def test_more_doubt_never_makes_it_clearer():
    band = Band(22.0, None, "mm")
    sides = [
        judge(lowest_place([22.05] * 4, meter=Meter("m", 0.0, digits, 0.001), zero_error_mm=0.0), band)
        for digits in (4, 30, 100)
    ]
    inside = [one.probability_inside for one in sides]
    assert inside == sorted(inside, reverse=True)
    assert (sides[0].verdict, sides[-1].verdict) == (Verdict.WITHIN, Verdict.CANT_TELL)


@pytest.mark.parametrize(
    ("places", "zero", "message"),
    [
        ([], None, "there is no reading of the disc. Give one for each place that was measured."),
        ([22.3, -22.1], None,
         "a disc of -22.1 mm is not above zero. Read that place again, and write what the gauge's zero is off "
         "apart from it."),
        ([22.3], 22.3,
         "closed, the gauge shows 22.3 mm, as much as the disc's 22.3 mm. "
         "Write what it shows with nothing between its jaws, such as 0.01 mm."),
    ],
)  # fmt: skip
def test_lowest_place_refuses(places, zero, message):
    assert refused_by_engine(lambda: lowest_place(places, meter=MICROMETER, worn=DISC, zero_error_mm=zero)) == message
