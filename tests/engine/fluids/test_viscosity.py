"""Viscosity: the line of D341, and the film on a wall."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.fluids.viscosity import (
    Viscosity,
    beside,
    film_left,
    film_mm,
    through,
    viscosity_at,
)

GEARBOX = through((40.0, 36.0), (100.0, 7.2))


@pytest.mark.published("ASTM D341, a worked example as reprinted, with T = C + 273: A 9.5259, B 3.7449, 8.5 at 80 °C")
def test_a_worked_example():
    theirs = through((40.0 - 0.15, 32.0), (100.0 - 0.15, 5.4))
    assert (theirs.a, theirs.b) == (pytest.approx(9.5259, abs=0.5e-4), pytest.approx(3.7449, abs=0.5e-4))
    assert through((40.0, 32.0), (100.0, 5.4)).at(80.0) == pytest.approx(8.5, abs=0.05)


@pytest.mark.published("ASTM D341, the formula worked by hand")
@pytest.mark.parametrize(
    ("at_40", "at_100", "celsius", "mm2_s", "half_a_digit"),
    [(30, 5.23, 60, 14.447, 0.0005), (70, 11.1, 60, 32.82, 0.005), (70, 11.1, 0, 674.6, 0.05),
     (36, 7.2, -20, 1176, 0.5), (36, 7.2, 0, 258, 0.5), (36, 7.2, 20, 84.2, 0.05), (36, 7.2, 60, 18.6, 0.05),
     (36, 7.2, 80, 11.0, 0.05)],
)  # fmt: skip
def test_by_hand(at_40, at_100, celsius, mm2_s, half_a_digit):
    found = through((40.0, at_40), (100.0, at_100)).at(float(celsius))
    assert found == pytest.approx(mm2_s, abs=half_a_digit)


@pytest.mark.published("Jeffreys 1930, the film's law, worked by hand: after the same wait 20 °C leaves 2.1 of 60 °C")
def test_cold_beside_warm():
    found = beside(GEARBOX, 20.0, 60.0)
    assert (found.film.value, found.wait.value) == (pytest.approx(2.1, abs=0.05), pytest.approx(4.5, abs=0.05))


@given(st.floats(2.0, 1000.0), st.floats(10.0, 500.0), st.floats(0.5, 500.0))
def test_the_film_drains_as_fast_as_it_flows(mm2_s, below_mm, minutes):
    """Jeffreys' law solves dh/dt = -(g / nu) h² dh/dx."""
    t, dt, dx = minutes * 60.0, 1e-3, 1e-3
    by_time = (film_mm(mm2_s, below_mm, (t + dt) / 60.0) - film_mm(mm2_s, below_mm, (t - dt) / 60.0)) / (2.0 * dt)
    by_depth = (film_mm(mm2_s, below_mm + dx, minutes) - film_mm(mm2_s, below_mm - dx, minutes)) / (2.0 * dx)
    flows = -9806.65 / mm2_s * film_mm(mm2_s, below_mm, minutes) ** 2 * by_depth
    assert by_time == pytest.approx(flows, rel=1e-3)


def test_the_mean_film_over_a_wall_is_two_thirds_of_the_lowest():
    depth = (np.arange(100_000) + 0.5) / 100_000 * 200.0
    mean = film_mm(84.2, depth, 10.0).mean()
    wetted = film_left(GEARBOX, 20.0, 10.0).value
    assert wetted == pytest.approx(mean * 0.30, rel=2e-3)


def test_one_temperature_beside_another_is_wide_and_all_assumed():
    found = beside(GEARBOX, 20.0, 60.0)
    assert {row.key: row.assumed for row in found.film.rows} == {
        "viscosity/20 °C": True, "viscosity/60 °C": True, "film/law": True,
    }  # fmt: skip
    assert found.film.standard_uncertainty > 0.12 * found.film.value
    assert beside(GEARBOX, 40.0, 40.0).film.value == 1.0


def test_what_stays_behind_is_wide_and_all_assumed():
    found = film_left(GEARBOX, 20.0, 10.0)
    assert all(row.assumed for row in found.rows)
    assert found.standard_uncertainty > 0.4 * found.value


@given(st.floats(10.0, 400.0), st.floats(1.3, 30.0), st.floats(-30.0, 100.0), st.floats(0.1, 20.0))
def test_hotter_is_thinner(at_40, times, celsius, warmer_k):
    at_100 = max(2.0, at_40 / times)
    if at_100 >= at_40:
        return
    line = through((40.0, at_40), (100.0, at_100))
    assert line.at(celsius + warmer_k) < line.at(celsius)


@given(st.floats(-30.0, 100.0))
def test_where_turns_at_round(celsius):
    assert GEARBOX.where(float(GEARBOX.at(celsius))) == pytest.approx(celsius, abs=1e-7)


def test_the_order_of_the_points_does_not_matter():
    assert through((100.0, 7.2), (40.0, 36.0)) == GEARBOX


def test_many_temperatures_at_once():
    assert GEARBOX.at(np.array([20.0, 60.0])) == pytest.approx([GEARBOX.at(20.0), GEARBOX.at(60.0)])
    assert isinstance(GEARBOX, Viscosity)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: through((40.0, 8.0), (100.0, 1.5)),
         "1.5 mm²/s; the line between two points holds from 2 mm²/s up. Check the viscosity and its unit: 1 cSt is "
         "1 mm²/s."),
        (lambda: through((40.0, 7.2), (100.0, 36.0)),
         "7.2 mm²/s at 40 °C and 36 mm²/s at 100 °C; an oil is thinner when it is hotter. Take the viscosities at 40 "
         "and at 100 °C from the data sheet."),
        (lambda: through((40.0, 36.0), (40.0, 7.2)),
         "7.2 mm²/s at 40 °C and 36 mm²/s at 40 °C; an oil is thinner when it is hotter. Take the viscosities at 40 "
         "and at 100 °C from the data sheet."),
        (lambda: viscosity_at(through((40.0, 10.0), (100.0, 2.7)), 140.0),
         "1.6 mm²/s; the line between two points holds from 2 mm²/s up. Check the viscosity and its unit: 1 cSt is "
         "1 mm²/s."),
        (lambda: viscosity_at(GEARBOX, 200.0),
         "oil at 200 °C; its viscosity is followed from -40 to 150 °C. Check the temperature and its unit."),
        (lambda: film_left(GEARBOX, 20.0, 0.0), "a wait of 0 min; write how long it drains, such as 10 min."),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(call, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        call()
    assert str(refused.value) == message
