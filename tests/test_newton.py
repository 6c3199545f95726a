"""The plain fit: certified values, and curves that give themselves back."""

import math

import numpy as np
import pytest
from benchmarks.newton import Fit, fit

MISRA1A = (
    [77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0],
    [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78],
)
BOX_BOD = ([1, 2, 3, 5, 7, 10], [109, 149, 149, 191, 213, 224])


# The two printed starts of each problem make no difference: the fit takes none.
@pytest.mark.published("NIST StRD, nonlinear regression, Misra1a: certified b1, b2 and sum of squares, to six figures")
def test_misra1a():
    found = fit(*MISRA1A, start=0.0)
    assert found.rise == pytest.approx(2.3894212918e2, rel=5e-7)
    assert found.rate == pytest.approx(5.5015643181e-4, rel=5e-7)
    assert found.squares == pytest.approx(1.2455138894e-1, rel=5e-7)


@pytest.mark.published("NIST StRD, nonlinear regression, BoxBOD: certified b1 and b2, to six figures")
def test_box_bod():
    found = fit(*BOX_BOD, start=0.0)
    assert found.rise == pytest.approx(2.1380940889e2, rel=5e-7)
    assert found.rate == pytest.approx(5.4723748542e-1, rel=5e-7)


@pytest.mark.parametrize("data", [MISRA1A, BOX_BOD])
def test_three_unknowns_as_another_library_fits_them(data):
    optimize = pytest.importorskip("scipy.optimize")

    found = fit(*data)

    def law(x, start, rise, rate):
        return start - rise * np.expm1(-rate * (np.asarray(x) - found.origin))

    theirs, _ = optimize.curve_fit(law, *data, p0=[found.start * 1.1 + 1.0, found.rise * 0.9, found.rate * 1.2])
    assert [found.start, found.rise, found.rate] == pytest.approx(theirs, rel=1e-4)


def test_equal_steps_give_the_end_by_hand():
    # Three readings a step apart: the end is (T1² - T0 T2) / (2 T1 - T0 - T2).
    read = [20.0, 34.50154, 46.37440]
    end = (read[1] ** 2 - read[0] * read[2]) / (2 * read[1] - read[0] - read[2])
    found = fit([0.0, 120.0, 240.0], read)
    assert found.end == pytest.approx(end, rel=1e-6)
    assert end == pytest.approx(100.0, abs=1e-3)
    assert 1.0 / found.rate == pytest.approx(600.0, rel=1e-5)


@pytest.mark.parametrize(("celsius", "seconds"), [(35.0, 124.58), (45.0, 224.82), (70.0, 588.50), (80.0, 831.78)])
def test_when_an_exact_curve_is_at(celsius, seconds):
    times = [0.0, 40.0, 100.0, 190.0]
    found = fit(times, [100.0 - 80.0 * math.exp(-one / 600.0) for one in times])
    assert found.reaches(celsius) == pytest.approx(seconds, abs=0.005)


@pytest.mark.parametrize("celsius", [100.0, 120.0])
def test_never_at_its_end_nor_beyond(celsius):
    assert Fit(20.0, 80.0, 1 / 600, 0.0).reaches(celsius) is None


def test_a_flat_curve_reaches_nothing():
    assert Fit(20.0, 0.0, 1 / 600, 0.0).reaches(30.0) is None


@pytest.mark.parametrize(
    ("x", "y", "message"),
    [
        ([0.0, 1.0], [1.0, 2.0], "2 points at 1 apart; a curve needs 3, at different times."),
        ([3.0, 3.0, 3.0], [1.0, 2.0, 3.0], "3 points at 0 apart; a curve needs 3, at different times."),
    ],
)
def test_refused(x, y, message):
    with pytest.raises(ValueError, match="a curve needs") as refused:
        fit(x, y)
    assert str(refused.value) == message
