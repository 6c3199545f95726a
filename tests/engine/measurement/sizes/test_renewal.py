"""Where a new part was fitted: a clear jump back from the limit, and large enough to be no other place."""

import pytest

from knowngood.engine.judgement import Estimate, Row
from knowngood.engine.measurement.sizes.renewal import RENEWED_SHARE, newest_part
from knowngood.engine.measurement.sizes.wear import Dated


def read(*values, off=0.1):
    return [Dated(90.0 * n, Estimate(value, "mm", (Row(f"{n}", off),))) for n, value in enumerate(values)]


@pytest.mark.parametrize(
    ("values", "place"),
    [
        ((), 0),
        ((9.0,), 0),
        ((9.0, 7.0, 5.0), 0),
        ((9.0, 5.0, 9.0), 2),
        ((9.0, 3.0, 9.0, 3.0, 9.0, 7.0), 4),
        ((9.0, 5.0, 5.2), 0),
    ],
)
def test_the_newest_jump_back_counts(values, place):
    assert newest_part(read(*values), limit=2.0) == place
    # A play that grows is the same the other way round.
    assert newest_part(read(*(-value for value in values)), limit=-2.0, lowest=False) == place


@pytest.mark.parametrize(("off", "place"), [(0.5, 1), (2.0, 0)])
def test_what_the_doubt_may_explain_is_no_renewal(off, place):
    assert newest_part(read(5.0, 8.0, off=off), limit=2.0) == place


def test_a_small_jump_is_another_place_however_sure():
    least = RENEWED_SHARE * 6.0
    assert newest_part(read(8.0 - least - 0.1, 8.0, off=0.001), limit=2.0) == 1
    assert newest_part(read(8.0 - least + 0.1, 8.0, off=0.001), limit=2.0) == 0


def test_what_both_share_drops_out():
    zero = Row("meter:caliper/zero", 2.0)
    two = [Dated(day, Estimate(mm, "mm", (zero, Row(f"{day}", 0.1)))) for day, mm in ((0.0, 4.0), (90.0, 8.0))]
    assert newest_part(two, limit=2.0) == 1


def test_two_readings_of_one_day_are_no_renewal():
    two = [Dated(5.0, Estimate(mm, "mm", (Row(f"{mm}", 0.1),))) for mm in (4.0, 8.0)]
    assert newest_part(two, limit=2.0) == 0
