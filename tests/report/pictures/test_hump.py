"""The hump has the shape of what is known."""

import math
import re

import numpy as np
import pytest

from knowngood.report.pictures.hump import Hump, curve, short

ONE = np.array([0.0, 1.0])


def ratio(dof: float) -> float:
    middle, side = Hump(0.0, 1.0, dof).heights(ONE)
    return float(side / middle)


def test_a_normal_hump():
    assert ratio(math.inf) == pytest.approx(math.exp(-0.5))


@pytest.mark.parametrize("dof", [1.0, 2.0, 4.5, 30.0])
def test_students_hump(dof):
    assert ratio(dof) == pytest.approx((1.0 + 1.0 / dof) ** (-(dof + 1.0) / 2.0))


def test_many_degrees_of_freedom_are_normal():
    assert ratio(1e9) == pytest.approx(math.exp(-0.5))
    assert Hump(0.0, 1.0, 1e9).ends() == pytest.approx(Hump(0.0, 1.0, math.inf).ends(), rel=1e-3)


def test_few_degrees_of_freedom_do_not_fill_the_picture():
    assert Hump(0.0, 1.0, 1.0).ends() == (-6.0, 6.0)


def test_kept_quantiles_make_the_shape_even_when_it_is_lopsided():
    levels = np.arange(1, 200) / 200.0
    hump = Hump(1.0, 1.0, math.inf, tuple((-np.log1p(-levels)).tolist()))
    left, middle, right = hump.heights(np.array([0.5, 1.0, 3.0]))
    assert left > middle > right
    assert middle / left == pytest.approx(math.exp(-0.5), rel=0.1)


def test_the_curve_goes_through_its_points():
    xs, ys = [10.0, 20.0, 30.0, 40.0], [92.0, 50.0, 60.0, 92.0]
    data = curve(xs, ys)
    start = re.match(r"M(\S+) ([^s]+)", data)
    x, y = float(start[1]), float(start[2])
    for piece, (px, py) in zip(data.split("s")[1:], list(zip(xs, ys, strict=True))[1:], strict=True):
        dx, dy = (float(one) for one in piece.split()[2:])
        x, y = x + dx, y + dy
        assert (x, y) == pytest.approx((px, py), abs=0.11)


@pytest.mark.parametrize(("length", "text"), [(0.0, "0"), (-0.26, "-.3"), (10.0, "10"), (0.96, "1"), (100.05, "100")])
def test_short_lengths(length, text):
    assert short(length) == text


def test_long_feet_neither_fill_the_picture_nor_ripple():
    # Student's t with 1 degree of freedom: its quantiles are those of the tangent.
    kept = tuple(math.tan(math.pi * (k / 200.0 - 0.5)) for k in range(1, 200))
    hump = Hump(0.0, 5.0, math.inf, kept)
    low, high = hump.ends()
    assert (low, high) == pytest.approx((-6.0 * 2.0 / 1.349, 6.0 * 2.0 / 1.349), rel=0.02)
    falling = hump.heights(np.linspace(0.0, high, 200))
    assert all(np.diff(falling) < 0.0)
    assert falling[-1] < 0.05 * falling[0]
