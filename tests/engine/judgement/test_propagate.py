"""Propagation beside worked examples of the standards, and beside a second implementation on random models."""

import math
import random
from dataclasses import replace
from statistics import fmean, stdev

import numpy as np
import pytest
from GTC import get_covariance, tb, ureal
from scipy import stats

from knowngood.engine.judgement import Estimate, Input, Shape, covariance, propagate
from knowngood.engine.judgement.distribution import t_quantile
from knowngood.engine.judgement.estimate import LEVELS

DRAWS = 200_000


def normal(key, value, u, dof=math.inf):
    shape = Shape.NORMAL if math.isinf(dof) else Shape.STUDENT_T
    return Input(key, value, shape, standard_uncertainty=u, degrees_of_freedom=dof)


def bounded(key, value, half_width, shape=Shape.RECTANGULAR, dof=math.inf):
    return Input(key, value, shape, half_width, degrees_of_freedom=dof)


def read(key, values):
    return normal(key, fmean(values), stdev(values) / math.sqrt(len(values)), len(values) - 1)


def total(*parts):
    return sum(parts)


def quantile_noise(probability, density):
    """Four standard errors of a Monte Carlo quantile."""
    return 4 * math.sqrt(probability * (1 - probability) / DRAWS) / density


@pytest.mark.published("GUM (JCGM 100:2008), H.1, end gauge")
def test_end_gauge():
    def length(standard, repeated, random_part, systematic, expansion, difference, gradient, *thetas):
        theta = sum(thetas)
        apart = 215.0 + repeated + random_part + systematic
        return standard + apart - standard * (difference * theta + expansion * gradient)

    inputs = [
        normal("standard", 50_000_623.0, 25.0, 18), normal("repeated", 0.0, 5.8, 24),
        normal("comparator random", 0.0, 3.9, 5),
        normal("comparator systematic", 0.0, 6.7, 8),
        bounded("expansion", 11.5e-6, 2e-6), bounded("difference in expansion", 0.0, 1e-6, dof=50),
        bounded("difference in temperature", 0.0, 0.05, dof=2), normal("mean temperature", -0.1, 0.2),
        bounded("cyclic temperature", 0.0, 0.5, Shape.ARCSINE),
    ]  # fmt: skip
    found = propagate(length, inputs, unit="nm", seed=1)
    assert found.value == pytest.approx(50_000_838, abs=0.5)
    assert found.standard_uncertainty == pytest.approx(32, abs=0.5)
    assert math.floor(found.degrees_of_freedom) == 16
    factor = t_quantile(0.995, found.degrees_of_freedom)
    assert factor == pytest.approx(2.92, abs=0.005)
    # The annex multiplies the rounded uncertainty: 2.92 x 32 nm.
    assert factor * round(found.standard_uncertainty) == pytest.approx(93, abs=0.5)


@pytest.mark.published("JCGM 101:2008, 9.2.2, four normal inputs")
def test_four_normal_inputs():
    found = propagate(total, [normal(k, 0.0, 1.0) for k in "abcd"], unit="1", seed=1)
    assert found.quantiles is None
    assert found.standard_uncertainty == pytest.approx(2.0, abs=0.005)
    assert found.interval(0.95) == pytest.approx((-3.92, 3.92), abs=0.005)


@pytest.mark.published("JCGM 101:2008, 9.2.3, four rectangular inputs")
def test_four_rectangular_inputs():
    found = propagate(total, [bounded(k, 0.0, math.sqrt(3)) for k in "abcd"], unit="1", seed=1)
    assert found.standard_uncertainty == pytest.approx(2.0, abs=0.005)
    noise = quantile_noise(0.025, stats.norm.pdf(1.96) / 2)
    assert found.interval(0.95) == pytest.approx((-3.88, 3.88), abs=0.005 + noise)


@pytest.mark.published("JCGM 101:2008, 9.3, mass calibration; from memory")
def test_mass_calibration():
    def deviation(reference, small, air, density, reference_density):
        return (reference + small) * (1 + (air - 1.2) * (1 / density - 1 / reference_density)) - 1e5

    inputs = [
        normal("reference", 1e5, 0.05), normal("small", 1.234, 0.020), bounded("air", 1.2, 0.1),
        bounded("density", 8000.0, 1000.0), bounded("reference density", 8000.0, 50.0),
    ]  # fmt: skip
    found = propagate(deviation, inputs, unit="mg", seed=1)
    assert found.value == pytest.approx(1.2340, abs=0.00005)
    assert found.standard_uncertainty == pytest.approx(0.0539, abs=0.00005)
    assert found.quantiles is not None
    noise = quantile_noise(0.025, stats.norm.pdf(1.96) / 0.0754)
    assert found.interval(0.95) == pytest.approx((1.083, 1.383), abs=0.0005 + noise)


def squares(one, other):
    return one**2 + other**2


@pytest.mark.published("JCGM 101:2008, 9.4, comparison loss at zero; from memory")
def test_comparison_loss_at_zero():
    found = propagate(squares, [normal("re", 0.0, 0.005), normal("im", 0.0, 0.005)], unit="1", seed=1)
    assert found.standard_uncertainty == 0.0
    assert found.quantiles is not None
    upper = found.quantiles[LEVELS.index(0.95)]
    noise = quantile_noise(0.95, 0.05 / 50)
    assert 1e6 * upper == pytest.approx(150, abs=0.5 + noise)
    assert 0.0 < found.quantiles[0] < 1e-6
    assert found.below(150e-6) == pytest.approx(0.95, abs=0.005)


@pytest.mark.published("JCGM 101:2008, 9.4, comparison loss at .050; from memory")
def test_comparison_loss_away_from_zero():
    found = propagate(squares, [normal("re", 0.050, 0.005), normal("im", 0.0, 0.005)], unit="1", seed=1)
    assert found.standard_uncertainty == pytest.approx(500e-6, rel=1e-9)
    assert found.quantiles is not None
    # 95 % lie in the printed interval; half its last digit at either end, and four standard errors.
    slack = 5e-6 * 2 * stats.norm.pdf(1.96) / 502e-6 + 4 * math.sqrt(0.95 * 0.05 / DRAWS)
    assert found.below(3550e-6) - found.below(1590e-6) == pytest.approx(0.95, abs=slack)
    exact = stats.ncx2(2, 100)
    ends = [exact.ppf(0.025), exact.ppf(0.975)]
    noise = 25e-6 * quantile_noise(0.025, min(exact.pdf(ends)))
    assert found.interval(0.95) == pytest.approx((25e-6 * ends[0], 25e-6 * ends[1]), abs=noise)


@pytest.mark.published("EA-4/02, S3, 10 kohm resistor")
def test_standard_resistor():
    def resistance(standard, drift, at_standard, at_unknown, leakage, ratio):
        return (standard + drift + at_standard) * leakage * ratio - at_unknown

    inputs = [
        normal("standard", 10000.053, 0.0025), bounded("drift", 0.020, 0.010), bounded("standard's bath", 0.0, 2.75e-3),
        bounded("unknown's bath", 0.0, 5.5e-3), bounded("leakage", 1.0, 1e-6, Shape.TRIANGULAR),
        read("ratio", [1.0000104, 1.0000107, 1.0000106, 1.0000103, 1.0000105]),
    ]  # fmt: skip
    found = propagate(resistance, inputs, unit="ohm", seed=1)
    assert found.value == pytest.approx(10000.178, abs=0.0005)
    assert found.standard_uncertainty == pytest.approx(0.00833, abs=0.000005)


@pytest.mark.published("EA-4/02, S9, hand-held multimeter: one dominant rectangle makes k 1.65")
def test_multimeter_with_one_dominant_rectangle():
    def error(shown, source, display, drift):
        return shown - source + display - drift

    inputs = [
        normal("shown", 100.1, 0.0), normal("source", 100.0, 0.001), bounded("display", 0.0, 0.05),
        bounded("drift", 0.0, 0.011),
    ]  # fmt: skip
    found = propagate(error, inputs, unit="V", seed=1)
    assert found.value == pytest.approx(0.10, abs=0.005)
    assert found.standard_uncertainty == pytest.approx(0.030, abs=0.0005)
    low, high = found.interval(0.95)
    assert (high - low) / 2 == pytest.approx(0.05, abs=0.005)
    # The example takes its factor from the dominant rectangle alone.
    alone = propagate(lambda display: display, inputs[2:3], unit="V", seed=1)
    noise = quantile_noise(0.025, 0.5 / 0.05) / alone.standard_uncertainty
    assert alone.interval(0.95)[1] / alone.standard_uncertainty == pytest.approx(1.65, abs=0.005 + noise)


@pytest.mark.published("EA-4/02, S2, weight of 10 kg")
def test_nominal_weight():
    parts = [("standard", 0.0225, math.inf), ("drift", 0.00895, math.inf), ("difference", 0.0144, 2),
             ("eccentricity", 0.00577, math.inf), ("air", 0.00577, math.inf)]  # fmt: skip
    found = propagate(total, [normal(key, 0.0, u, dof) for key, u, dof in parts], unit="g", seed=1)
    assert found.standard_uncertainty == pytest.approx(0.0293, abs=0.00005)
    assert found.degrees_of_freedom == pytest.approx(34, abs=0.5)
    assert t_quantile(0.5 + 0.9545 / 2, found.degrees_of_freedom) == pytest.approx(2.08, abs=0.005)


@pytest.mark.published("NIST TN 1900, E2, surface temperature; from memory")
def test_surface_temperature():
    values = [18.75, 28.25, 25.75, 28.00, 28.50, 20.75, 21.00, 22.75, 18.50, 27.25, 20.75, 26.50, 28.00, 23.25, 28.00,
              21.75, 26.00, 26.50, 28.00, 33.25, 32.00, 29.50]  # fmt: skip
    found = propagate(total, [read("scatter", values)], unit="°C", seed=1)
    assert found.value == pytest.approx(25.6, abs=0.05)
    assert found.standard_uncertainty == pytest.approx(0.872, abs=0.0005)
    assert found.interval(0.95) == pytest.approx((23.8, 27.4), abs=0.05)


@pytest.mark.published("NIST TN 1900, E13, thermal expansion coefficient")
def test_thermal_expansion():
    def coefficient(cold_m, hot_m, cold_k, hot_k):
        return (hot_m - cold_m) / (cold_m * (hot_k - cold_k))

    inputs = [normal("l0", 1.4999, 0.0001, 3), normal("l1", 1.5021, 0.0002, 3), normal("t0", 288.15, 0.02, 3),
              normal("t1", 373.10, 0.05, 3)]  # fmt: skip
    found = propagate(coefficient, inputs, unit="1/K", seed=1)
    assert found.value == pytest.approx(1.7266e-5, abs=5e-10)
    assert found.standard_uncertainty == pytest.approx(1.76e-6, abs=5e-9)


@pytest.mark.published("EURACHEM/CITAC QUAM, A1, cadmium standard")
def test_cadmium_standard():
    def concentration(mass, purity, volume, repeat, temperature):
        return 1000 * mass * purity / (volume + repeat + temperature)

    inputs = [normal("mass", 100.28, 0.05), bounded("purity", 0.9999, 0.0001),
              bounded("volume", 100.0, 0.1, Shape.TRIANGULAR), normal("repeat", 0.0, 0.02),
              bounded("temperature", 0.0, 0.084)]  # fmt: skip
    found = propagate(concentration, inputs, unit="mg/L", seed=1)
    assert found.value == pytest.approx(1002.7, abs=0.05)
    assert found.standard_uncertainty == pytest.approx(0.835, abs=0.0005)


def test_six_input_model_to_the_last_digits():
    """Ours: four implementations gave these digits."""

    def coil(coil_ohm, lead_ohm, gain, offset, per_c, part_c):
        return (coil_ohm * (1 + gain) + offset - lead_ohm * (1 + gain)) / (1 + per_c * (part_c - 20))

    inputs = [read("r", [0.91, 0.92, 0.91, 0.90, 0.92, 0.91]), read("l", [0.21, 0.20, 0.21]), bounded("g", 0.0, 0.008),
              bounded("d", 0.0, 0.03), bounded("a", 0.00393, 0.00004), bounded("t", 35.0, 2.0)]  # fmt: skip
    found = propagate(coil, inputs, unit="ohm", seed=1)
    assert found.value == pytest.approx(0.665753812739034, rel=1e-12)
    assert found.standard_uncertainty == pytest.approx(0.0174213047547902, rel=1e-12)
    assert found.degrees_of_freedom == pytest.approx(1455.7494277867, rel=1e-12)


@pytest.mark.parametrize("seed", range(40))
def test_random_models_agree_with_a_second_implementation(seed):
    """GTC as oracle: value, uncertainty, degrees of freedom, and the covariance of two results."""
    choose = random.Random(seed)
    values = [choose.uniform(0.5, 3.0) for _ in range(5)]
    dofs = [choose.choice([2, 3, 7, 20, math.inf]) for _ in range(5)]
    shares = [choose.uniform(0.001, 0.03) for _ in range(5)]
    powers = [choose.choice([-2, -1, 1, 2, 3]) for _ in range(5)]

    def one(a, b, c, d, e):
        return a ** powers[0] * b ** powers[1] / (1 + c * d) - e ** powers[2]

    def other(a, b, c, d, e):
        return a * c ** powers[3] + b / (d + e ** powers[4])

    inputs = [normal(f"x{k}", v, v * s, n) for k, (v, s, n) in enumerate(zip(values, shares, dofs, strict=True))]
    theirs = [ureal(v, v * s, n) for v, s, n in zip(values, shares, dofs, strict=True)]
    ours = [propagate(model, inputs, unit="1", seed=seed, draws=1000) for model in (one, other)]
    for found, expected in zip(ours, (one(*theirs), other(*theirs)), strict=True):
        assert found.value == pytest.approx(expected.x, rel=1e-9)
        assert found.standard_uncertainty == pytest.approx(expected.u, rel=1e-9)
        assert found.degrees_of_freedom == pytest.approx(expected.df, rel=1e-9)
    assert covariance(*ours) == pytest.approx(get_covariance(one(*theirs), other(*theirs)), rel=1e-9, abs=1e-18)


@pytest.mark.parametrize(
    ("shape", "expected"),
    [(Shape.RECTANGULAR, tb.uniform(0.7)), (Shape.TRIANGULAR, tb.triangular(0.7)), (Shape.ARCSINE, tb.arcsine(0.7))],
)
def test_half_width_to_standard_uncertainty(shape, expected):
    assert bounded("x", 0.0, 0.7, shape).u == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("shape", list(Shape))
def test_drawn_errors_follow_their_shape(shape):
    few = 5 if shape is Shape.STUDENT_T else math.inf
    halved = shape in (Shape.RECTANGULAR, Shape.TRIANGULAR, Shape.ARCSINE)
    one = Input("x", 0.0, shape, 1.0 if halved else None, None if halved else 1.0, degrees_of_freedom=few)
    laws = {
        Shape.NORMAL: stats.norm(), Shape.STUDENT_T: stats.t(5), Shape.RECTANGULAR: stats.uniform(-1, 2),
        Shape.TRIANGULAR: stats.triang(0.5, -1, 2), Shape.ARCSINE: stats.arcsine(-1, 2),
    }  # fmt: skip
    drawn = one.scale * one.unit_errors(np.random.Generator(np.random.PCG64(5)), 20_000, {})
    assert stats.kstest(drawn, laws[shape].cdf).pvalue > 1e-4


def test_few_readings_and_a_linear_formula_are_near_the_linear_law():
    found = propagate(total, [read("scatter", [13.1, 13.3, 13.2])], unit="ohm", seed=3)
    assert found.quantiles is None
    assert found.interval(0.95)[1] == pytest.approx(13.2 + stats.t.ppf(0.975, 2) * 0.1 / math.sqrt(3), rel=1e-9)


def test_errors_of_one_series_are_drawn_with_one_scatter():
    """However many are added, a scatter that came out too small is too small for all: Student's t stays, SciPy's."""
    dof, parts = 3, 8
    inputs = [
        Input(f"x{k}", 0.0, Shape.STUDENT_T, standard_uncertainty=1.0, degrees_of_freedom=dof, group="series")
        for k in range(parts)
    ]
    together = propagate(total, inputs, unit="1", seed=4)
    apart = propagate(total, [replace(one, group="") for one in inputs], unit="1", seed=4)
    assert together.degrees_of_freedom == pytest.approx(dof, rel=1e-12)
    assert apart.degrees_of_freedom == pytest.approx(dof * parts, rel=1e-12)
    assert together.quantiles is None  # Monte Carlo found the t with three degrees of freedom that the linear law says
    assert together.interval(0.95)[1] == pytest.approx(stats.t.ppf(0.975, dof) * math.sqrt(parts), rel=1e-9)


def test_the_seed_decides_the_quantiles():
    def once(seed):
        return propagate(squares, [normal("re", 0.0, 0.005), normal("im", 0.0, 0.005)], unit="1", seed=seed)

    assert once(7) == once(7)
    assert once(7).quantiles != once(8).quantiles


def test_equal_keys_are_one_error():
    pair = [bounded("gain", 0.0, 0.01), bounded("gain", 0.0, 0.01)]
    found = propagate(lambda one, other: 50 * (1 + one) - 50 * (1 + other), pair, unit="ohm", seed=1)
    assert found.standard_uncertainty == 0.0
    assert [row.key for row in found.rows] == ["gain"]


def test_one_error_of_two_sizes_is_scaled():
    pair = [bounded("gain", 0.0, 0.01), bounded("gain", 0.0, 0.02)]
    found = propagate(lambda one, other: one + other, pair, unit="1", seed=1)
    assert found.interval(1.0 - 2 * LEVELS[0])[1] == pytest.approx(0.03, rel=0.02)


def test_one_error_of_two_shapes_is_refused():
    pair = [bounded("gain", 0.0, 0.01), normal("gain", 0.0, 0.01)]
    with pytest.raises(ValueError, match="two shapes") as refused:
        propagate(total, pair, unit="1", seed=1)
    assert str(refused.value) == "gain: one error stated with two shapes; state it alike wherever it occurs."


@pytest.mark.parametrize(
    "formula", [abs, lambda x: max(x, 0.0), lambda x: float(x) * 2.0, lambda x: x if x > 0 else -x], ids="amfc"
)
def test_a_formula_that_cannot_be_differentiated_is_refused(formula):
    with pytest.raises(ValueError, match="complex number") as refused:
        propagate(formula, [normal("meter/gain", 2.0, 0.1)], unit="1", seed=1)
    assert str(refused.value) == (
        "meter/gain: the formula cannot carry a complex number through; abs, min, max, float and comparisons are not "
        "allowed in it. Write it with plain arithmetic."
    )


def test_an_input_that_the_formula_does_not_use_is_no_refusal():
    found = propagate(lambda _: 3.0, [normal("unused", 2.0, 0.1)], unit="1", seed=1)
    assert (found.value, found.standard_uncertainty) == (3.0, 0.0)


def test_an_endless_result_is_refused():
    with pytest.raises(ValueError, match="the formula gives") as refused:
        propagate(lambda x: x * math.inf, [normal("x", 2.0, 0.1)], unit="1", seed=1)
    assert str(refused.value) == (
        "the formula gives inf for these inputs; look for a reading or a temperature far off."
    )


@pytest.mark.parametrize("factor", [1e-3, 25.4, 1e6])
def test_another_unit_scales_and_changes_nothing_else(factor):
    inputs = [bounded("a", 3.0, 0.2), normal("b", 2.0, 0.1, 4)]
    scaled = [bounded("a", 3.0 * factor, 0.2 * factor), normal("b", 2.0, 0.1, 4)]
    here, there = (propagate(lambda a, b: a * b, pair, unit="1", seed=2) for pair in (inputs, scaled))
    assert there.standard_uncertainty == pytest.approx(factor * here.standard_uncertainty, rel=1e-12)
    assert there.degrees_of_freedom == pytest.approx(here.degrees_of_freedom, rel=1e-12)
    assert isinstance(there, Estimate)


def test_draws_that_cannot_be_are_left_out_and_the_others_stand_for_all():
    """The square root of a rectangle from -1 to 3: by hand, given that it is above zero, x^2/3 lies below x."""
    found = propagate(np.sqrt, [bounded("x", 1.0, 2.0)], unit="1", seed=1)
    for x in (0.3, 0.9, 1.5):
        assert found.below(x) == pytest.approx(x**2 / 3.0, abs=0.006)


def test_where_most_of_what_it_may_mean_cannot_be_it_is_refused_without_blame():
    with pytest.raises(ValueError, match="says too little") as refused:
        propagate(lambda x: np.sqrt(x - 3.9) + np.sqrt(5.0 - x), [bounded("x", 4.0, 9.0)], unit="1", seed=1)
    assert str(refused.value) == (
        "what was read says too little: most of what it may mean is nothing that can be. Read it again, and look "
        "whether all units are right."
    )
