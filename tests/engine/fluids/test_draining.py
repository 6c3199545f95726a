"""Warm, not hot: the range for draining."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.fluids.draining import GLOVES_ABOVE_C, NO_TOUCH_ABOVE_C, drain_range
from knowngood.engine.fluids.viscosity import beside, through

GEARBOX = through((40.0, 36.0), (100.0, 7.2))


@pytest.mark.published(
    "Moritz and Henriques 1947, as lists of hot tap water cite it: 49 °C > 5 min, 60 °C < 5 s, 66 °C 1.5 s"
)
def test_the_levels_are_no_laxer_than_the_list():
    assert GLOVES_ABOVE_C < 49.0
    assert NO_TOUCH_ABOVE_C <= 60.0


def test_the_range_ends_at_the_film_and_at_the_hands():
    found = drain_range(GEARBOX)
    assert beside(GEARBOX, found.from_c, found.to_c).film.value == pytest.approx(1.5)
    assert 20.0 < found.from_c < found.to_c == GLOVES_ABOVE_C == 48.0
    assert found.wait_at_20.value == pytest.approx(found.film_at_20.value**2)


@given(st.floats(15.0, 300.0), st.floats(3.0, 12.0))
def test_every_oil_has_a_range(at_40, times):
    found = drain_range(through((40.0, at_40), (100.0, max(2.0, at_40 / times))))
    assert found.from_c < found.to_c
