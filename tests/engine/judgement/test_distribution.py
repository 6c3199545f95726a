"""Normal and Student's t without SciPy, beside SciPy."""

import math

import pytest
from scipy import stats

from knowngood.engine.judgement.distribution import bisect, normal_cdf, t_cdf, t_quantile

# Degrees of freedom to coverage factor at 95.45 %.
COVERAGE = {1: 13.97, 2: 4.53, 3: 3.31, 4: 2.87, 5: 2.65, 6: 2.52, 8: 2.37, 10: 2.28, 20: 2.13, 50: 2.05}


@pytest.mark.published("GUM (JCGM 100:2008), table G.2, coverage factors at 95.45 %")
@pytest.mark.parametrize(("dof", "factor"), COVERAGE.items())
def test_coverage_factor(dof, factor):
    assert t_quantile(0.5 + 0.9545 / 2, dof) == pytest.approx(factor, abs=0.005)


@pytest.mark.parametrize("dof", [1, 2, 3, 4, 5, 7, 10, 16, 31, 100, 999, 5000])
@pytest.mark.parametrize("x", [-60.0, -4.3, -1.0, -0.01, 0.0, 0.3, 1.96, 12.7])
def test_t_is_scipys(dof, x):
    assert t_cdf(x, dof) == pytest.approx(stats.t.cdf(x, dof), abs=1e-12)


@pytest.mark.parametrize("dof", [1, 2, 3, 8, 16, 250])
@pytest.mark.parametrize("probability", [1e-4, 0.025, 0.5, 0.8, 0.95, 0.9995])
def test_t_quantile_is_scipys(dof, probability):
    assert t_quantile(probability, dof) == pytest.approx(stats.t.ppf(probability, dof), rel=1e-9, abs=1e-12)


def test_a_fraction_of_a_degree_is_cut_off():
    assert t_cdf(1.0, 16.9) == t_cdf(1.0, 16)


def test_many_degrees_of_freedom_are_normal():
    assert t_quantile(0.975, math.inf) == pytest.approx(stats.norm.ppf(0.975), rel=1e-12)
    assert t_cdf(1.3, 20_000) == pytest.approx(stats.t.cdf(1.3, 20_000), abs=1e-5)
    assert normal_cdf(-7.0) == pytest.approx(stats.norm.cdf(-7.0), rel=1e-12)


def test_refuses_what_has_no_distribution():
    with pytest.raises(ValueError, match="Student's t needs at least 1") as refused:
        t_cdf(0.0, 0.5)
    assert str(refused.value) == ("0.5 degrees of freedom; Student's t needs at least 1. Take two readings or more.")
    with pytest.raises(ValueError, match="has no quantile") as refused:
        t_quantile(1.0, 4)
    assert str(refused.value) == "a probability of 1 has no quantile; it lies between 0 and 1."


def test_bisect_finds_a_root_to_the_last_digits():
    assert bisect(lambda x: x**3 - 2.0, 0.0, 2.0) == pytest.approx(2.0 ** (1 / 3), rel=1e-15)
