"""Warm, not hot: the two levels for hands, and the range for draining."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.fluids.draining import Caution, drain_range, touch
from knowngood.engine.fluids.viscosity import beside, through

GEARBOX = through((40.0, 36.0), (100.0, 7.2))


@pytest.mark.published(
    "Moritz and Henriques 1947, as lists of hot tap water cite it: 49 °C > 5 min, 60 °C < 5 s, 66 °C 1.5 s"
)
def test_the_levels_are_no_laxer_than_the_list():
    assert touch(49.0).caution is Caution.GLOVES_OR_WAIT
    assert touch(66.0).caution is Caution.DO_NOT_TOUCH
    assert touch(60.1).caution is Caution.DO_NOT_TOUCH


@pytest.mark.parametrize(
    ("celsius", "caution", "cooler_by_k"),
    [(20.0, Caution.NONE, 0.0), (48.0, Caution.NONE, 0.0), (55.0, Caution.GLOVES_OR_WAIT, 7.0),
     (60.0, Caution.GLOVES_OR_WAIT, 12.0), (95.0, Caution.DO_NOT_TOUCH, 35.0)],
)  # fmt: skip
def test_touch(celsius, caution, cooler_by_k):
    found = touch(celsius)
    assert (found.caution, found.cooler_by_k, found.liquid_covered) == (caution, cooler_by_k, False)


@given(st.floats(-60.0, 1200.0), st.floats(0.0, 100.0))
def test_hotter_is_never_milder(celsius, hotter_k):
    order = list(Caution)
    hotter = min(1200.0, celsius + hotter_k)
    assert order.index(touch(hotter).caution) >= order.index(touch(celsius).caution)


def test_the_range_ends_at_the_film_and_at_the_hands():
    found = drain_range(GEARBOX)
    assert beside(GEARBOX, found.from_c, found.to_c).film.value == pytest.approx(1.5)
    assert touch(found.to_c).caution is Caution.NONE
    assert 20.0 < found.from_c < found.to_c == 48.0
    assert found.wait_at_20.value == pytest.approx(found.film_at_20.value**2)


@given(st.floats(15.0, 300.0), st.floats(3.0, 12.0))
def test_every_oil_has_a_range(at_40, times):
    found = drain_range(through((40.0, at_40), (100.0, max(2.0, at_40 / times))))
    assert found.from_c < found.to_c


def test_a_temperature_no_vehicle_has_is_refused():
    with pytest.raises(ValueError, match=r"^2000 °C; parts of a vehicle lie from -60 to 1200 °C\. Check the reading"):
        touch(2000.0)
