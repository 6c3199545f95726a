"""The picture in plain characters: the same parts in the same places, never wider than a terminal."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from knowngood.report.pictures.picture import Picture
from knowngood.report.terminal.text import picture

COIL = Picture(90.7, 0.89, "coil", "", lower=80.0, upper=95.0, raw=101.1)


def test_hump_strip_and_numbers():
    hump, strip, numbers = picture(COIL)
    assert len(strip) == 72
    assert set(strip) == {"·", "▒", "▽"}
    top = hump.index("█")
    assert strip[top] == "▒"
    assert strip.index("▒") < top < strip.rindex("▒") < strip.index("▽")
    assert numbers.split() == ["80", "95", "as", "read", "101.1"]


def test_numbers_stand_under_their_places():
    _, strip, numbers = picture(COIL)
    assert abs(numbers.index("80") + 1 - strip.index("▒")) <= 1
    assert abs(numbers.index("95") + 1 - strip.rindex("▒")) <= 1


@pytest.mark.parametrize(
    ("changes", "left", "right"), [({"upper": 13.3}, "▒", "·"), ({"lower": 13.3}, "·", "▒"), ({}, "▒", "▒")]
)
def test_an_open_end_goes_on(changes, left, right):
    strip = picture(Picture(12.9, 0.2, "a", "", **changes))[1]
    assert (strip[0], strip[-1]) == (left, right)


def test_limits_that_would_touch_are_one_range():
    assert picture(Picture(8.05, 0.02, "a", "", lower=8.0, upper=8.01))[2].strip() == "8–8.01"


def test_what_is_known_well_is_one_column():
    assert picture(Picture(90.0, 1e-6, "a", "", lower=80.0, upper=95.0))[0].strip() == "█"


def test_a_reading_off_the_ruler_says_so():
    lines = picture(Picture(90.0, 1.0, "a", "", lower=80.0, upper=95.0, raw=-5200.0))
    assert lines[1].startswith("▽")
    assert "as read −5200.0, off the ruler" in "\n".join(lines[2:])


sizes = st.floats(-1e6, 1e6, allow_nan=False)


@settings(deadline=None)
@given(
    value=sizes,
    u=st.just(0.0) | st.floats(1e-7, 1e6),
    lower=st.none() | sizes,
    upper=st.none() | sizes,
    raw=st.none() | sizes,
    columns=st.integers(40, 76),
)
def test_any_numbers_fit_a_terminal(value, u, lower, upper, raw, columns):
    if lower is not None and upper is not None:
        lower, upper = min(lower, upper), max(lower, upper)
    lines = picture(Picture(value, u, "a", "", lower, upper, math.inf, None, raw), columns=columns)
    assert all(len(line) <= columns for line in lines)
    assert len(lines) <= 5
    assert "nan" not in "".join(lines)
