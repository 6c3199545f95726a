"""Straight lines between printed rows, against numpy's own, and their derivative by the complex step."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.fluids.between import on_grid, on_line

NODES = np.array([0.0, 1.0, 3.0, 4.0])
VALUES = np.array([2.0, 5.0, 4.0, 9.0])


@given(st.floats(0.0, 4.0))
def test_inside_it_is_numpys_own(x):
    assert on_line(x, NODES, VALUES) == pytest.approx(np.interp(x, NODES, VALUES))


def test_the_ends_go_on_straight():
    assert on_line(np.array([-1.0, 5.0]), NODES, VALUES) == pytest.approx([-1.0, 14.0])


def test_its_slope_by_the_complex_step():
    assert np.imag(on_line(2.0 + 1e-30j, NODES, VALUES)) / 1e-30 == pytest.approx(-0.5)


@given(st.floats(0.0, 4.0), st.floats(0.0, 4.0))
def test_a_grid_of_products_is_their_product(x, y):
    grid = np.outer(VALUES, VALUES)
    assert on_grid(x, y, NODES, NODES, grid) == pytest.approx(np.interp(x, NODES, VALUES) * np.interp(y, NODES, VALUES))


def test_a_grid_takes_arrays_beside_a_float():
    grid = np.outer(VALUES, VALUES)
    assert on_grid(np.array([0.0, 2.0]), 1.0, NODES, NODES, grid) == pytest.approx([10.0, 22.5])
