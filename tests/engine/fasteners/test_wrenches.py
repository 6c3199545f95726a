import re

import pytest

from knowngood.engine.fasteners.wrenches import Suits, Wrench, applied_torque, best, suitability
from knowngood.engine.judgement import Band, combine, judge

ISO_6789 = "ISO 6789, tolerance and usable range, as reprinted"


@pytest.mark.published(ISO_6789)
@pytest.mark.parametrize(("upper_nm", "percent"), [(5.0, 6.0), (10.0, 6.0), (10.1, 4.0), (200.0, 4.0)])
def test_the_tolerance_follows_the_maximum_of_the_wrench(upper_nm, percent):
    assert Wrench("any", upper_nm).tolerance_percent == percent


@pytest.mark.published(ISO_6789)
def test_an_unknown_lowest_mark_is_a_fifth_of_full_scale():
    assert Wrench("any", 200.0).lowest_nm == 40.0


@pytest.mark.parametrize(
    ("torque_nm", "found"),
    [(4.99, Suits.TOO_LARGE), (5.0, Suits.FITS), (25.0, Suits.FITS), (25.01, Suits.TOO_SMALL)],
)
def test_both_marks_are_usable(torque_nm, found):
    assert suitability(Wrench("small", 25.0, 5.0), torque_nm) is found


def test_the_best_is_the_one_with_the_smallest_tolerance_then_the_smallest():
    coarse, large, middle = Wrench("a", 10.0), Wrench("b", 40.0, 5.0), Wrench("c", 30.0, 5.0)
    assert best((coarse, large, middle), 8.0) == middle
    assert best((coarse, large, middle), 4.0) == coarse
    assert best((coarse, large, middle), 80.0) is None


def test_what_arrives_has_the_wrench_and_the_hand_as_rows():
    arrived = applied_torque(8.0, Wrench("small", 10.0))
    assert [(row.key, row.assumed) for row in arrived.budget] == [("wrench:small/setting", False), ("hand", True)]
    assert arrived.standard_uncertainty == pytest.approx(8.0 * (0.06**2 + 0.03**2) ** 0.5 / 3**0.5)
    assert judge(arrived, Band(7.0, 9.0, "N·m")).probability_inside > 0.99


def test_two_bolts_by_one_wrench_share_its_error():
    one = applied_torque(8.0, Wrench("small", 10.0))
    assert combine([(1.0, one), (-1.0, one)]).standard_uncertainty == 0.0


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (
            lambda: Wrench("bent", 5.0, 25.0),
            "bent: marks from 25 to 5 N·m; the lowest is above zero and below the highest. "
            "Read both marks on the wrench.",
        ),
        (
            lambda: Wrench("bent", 25.0, 5.0, -1.0),
            "bent: ± -1 %; a tolerance is zero or more. Read it on its certificate.",
        ),
        (
            lambda: suitability(Wrench("any", 25.0), 0.0),
            "a torque of 0 N·m is not above zero. Look it up in the manual again.",
        ),
        (
            lambda: applied_torque(8.0, Wrench("large", 200.0)),
            "large cannot be set to 8 N·m; it goes from 40 to 200 N·m. Take another wrench.",
        ),
    ],
)
def test_what_has_no_meaning_is_refused(make, words):
    with pytest.raises(ValueError, match=f"^{re.escape(words)}$"):
        make()
