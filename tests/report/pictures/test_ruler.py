"""The ruler: round numbers, far enough apart, on a stretch that shows what must be seen."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.report.pictures.ruler import Ruler, number_words, stretch, ticks, words_px

numbers = st.floats(-1e9, 1e9, allow_nan=False)


@given(low=numbers, span=st.floats(1e-6, 1e9), width=st.sampled_from([324.0, 604.0]))
def test_numbers_stand_apart_at_round_places_inside(low, span, width):
    ruler = Ruler(low, low + max(span, 1e-6 * abs(low)), 18.0, 18.0 + width)
    marks = ticks(ruler)
    assert all(ruler.left - 1e-6 <= tick.x <= ruler.right + 1e-6 for tick in marks)
    numbered = [tick for tick in marks if tick.number is not None]
    for one, other in itertools.pairwise(numbered):
        between = other.x - one.x
        assert between > 0.5 * (words_px(one.number) + words_px(other.number))
    assert len({tick.number for tick in numbered}) == len(numbered)
    assert len(marks) < 200


@pytest.mark.parametrize(
    ("low", "high", "shown"),
    [
        (77.5, 103.5, ["80", "85", "90", "95", "100"]),
        (-1.3, 1.3, ["−1.0", "−0.5", "0.0", "0.5", "1.0"]),
        (0.011, 0.029, ["0.015", "0.020", "0.025"]),
    ],
)
def test_numbers_have_the_places_of_their_step(low, high, shown):
    found = [tick.number for tick in ticks(Ruler(low, high, 18.0, 342.0)) if tick.number]
    assert found == shown


def test_zero_is_never_minus_zero():
    assert number_words(-0.0, 0.5) == "0.0"
    assert number_words(-1e-17, 0.5) == "0.0"


@given(required=st.lists(numbers, min_size=1, max_size=5), wanted=st.none() | numbers)
def test_all_that_is_required_is_on_the_ruler(required, wanted):
    low, high = stretch(required, wanted=wanted)
    assert math.isfinite(low)
    assert low < min(required) <= max(required) < high


def test_a_far_reading_does_not_make_the_rest_small():
    assert stretch([80.0, 95.0], wanted=1e6) == stretch([80.0, 95.0], wanted=None)
    assert stretch([80.0, 95.0], wanted=110.0)[1] > 110.0
