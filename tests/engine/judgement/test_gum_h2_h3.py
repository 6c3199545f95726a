"""Two worked examples of the GUM, line by line: three results of one set of readings, and a line through points.

Readings that were taken together scatter together. A mean's error is the sum of what each set was off by, so each set
is one keyed error, and the covariance of the means follows from the keys alone. How large these errors are is known
from the same few readings for all of them, so they are one group and count once in the degrees of freedom.
"""

import math

import numpy as np
import pytest
from GTC import cos as gtc_cos
from GTC import sin as gtc_sin
from GTC import type_a, ureal

from knowngood.engine.judgement import Estimate, Input, Row, combine, covariance, linear

VOLT = (5.007, 4.994, 5.005, 4.990, 4.999)
AMPERE = tuple(1e-3 * one for one in (19.663, 19.639, 19.640, 19.685, 19.678))
RADIAN = (1.0456, 1.0438, 1.0468, 1.0428, 1.0433)
SETS = len(VOLT)


def mean_of(values, unit):
    """The mean, with one keyed error for each set of readings."""
    middle = math.fsum(values) / SETS
    per_set = math.sqrt(SETS * (SETS - 1.0))
    rows = (Row(f"set {k}", (one - middle) / per_set, SETS - 1, group="sets") for k, one in enumerate(values))
    return Estimate(middle, unit, tuple(rows))


MEANS = mean_of(VOLT, "V"), mean_of(AMPERE, "A"), mean_of(RADIAN, "1")


def of_means(formula, unit):
    """A formula of the three means, by the linear law."""
    errors = [
        Input(f"set {k}", 0.0, standard_uncertainty=1.0, degrees_of_freedom=SETS - 1, group="sets") for k in range(SETS)
    ]

    def of_sets(*sets):
        return formula(*(one.value + sum(row.contribution * e for row, e in zip(one.rows, sets, strict=True))
                         for one in MEANS))  # fmt: skip

    return linear(of_sets, errors, unit=unit)


IMPEDANCE = {
    "R": of_means(lambda volt, ampere, angle: volt / ampere * np.cos(angle), "ohm"),
    "X": of_means(lambda volt, ampere, angle: volt / ampere * np.sin(angle), "ohm"),
    "Z": of_means(lambda volt, ampere, _: volt / ampere, "ohm"),
}


def correlation(one, other):
    return covariance(one, other) / (one.standard_uncertainty * other.standard_uncertainty)


@pytest.mark.published("JCGM 100:2008 H.2, table H.2")
@pytest.mark.parametrize(("pair", "printed"), [((0, 1), -0.36), ((0, 2), 0.86), ((1, 2), -0.65)])
def test_h2_readings_taken_together_scatter_together(pair, printed):
    assert correlation(*(MEANS[one] for one in pair)) == pytest.approx(printed, abs=0.005)


PRINTED = [("R", 127.732, 0.071), ("X", 219.847, 0.295), ("Z", 254.260, 0.236)]


@pytest.mark.published("JCGM 100:2008 H.2, table H.4")
@pytest.mark.parametrize(("name", "value", "u"), PRINTED)
def test_h2_values(name, value, u):
    """One place in the last digit of X: its u is .29558 by the linear law and .29549 set by set; .295 is printed."""
    assert IMPEDANCE[name].value == pytest.approx(value, abs=0.0005)
    assert IMPEDANCE[name].standard_uncertainty == pytest.approx(u, abs=0.0006)


EACH = {
    "R": lambda volt, ampere, angle: volt / ampere * math.cos(angle),
    "X": lambda volt, ampere, angle: volt / ampere * math.sin(angle),
    "Z": lambda volt, ampere, _: volt / ampere,
}


def set_by_set(name):
    """The GUM's second approach: a result from each set, their mean and scatter."""
    return mean_of([EACH[name](*one) for one in zip(VOLT, AMPERE, RADIAN, strict=True)], "ohm")


@pytest.mark.published("JCGM 100:2008 H.2, table H.4")
@pytest.mark.parametrize(("name", "value", "u"), PRINTED)
def test_h2_set_by_set(name, value, u):
    assert set_by_set(name).value == pytest.approx(value, abs=0.0005)
    assert set_by_set(name).standard_uncertainty == pytest.approx(u, abs=0.0005)


@pytest.mark.published("JCGM 100:2008 H.2, table H.4")
@pytest.mark.parametrize(("pair", "printed"), [("RX", -0.588), ("RZ", -0.485), ("XZ", 0.993)])
def test_h2_results_of_the_same_readings_are_correlated(pair, printed):
    assert correlation(*(IMPEDANCE[one] for one in pair)) == pytest.approx(printed, abs=0.0005)


def test_h2_resistance_from_the_other_two_keeps_its_doubt():
    """R is also the root of Z² - X²: only with the correlation of the two does the doubt come out right."""
    x, z, r = (IMPEDANCE[one] for one in "XZR")
    again = combine([(z.value / r.value, z), (-x.value / r.value, x)])
    assert again.standard_uncertainty == pytest.approx(r.standard_uncertainty, rel=1e-9)
    assert math.hypot(z.value / r.value * z.standard_uncertainty, x.value / r.value * x.standard_uncertainty) > 0.6


def theirs():
    """Resistance, reactance and impedance by GTC, from means that it takes as one ensemble."""
    volt, ampere, angle = type_a.multi_estimate_real((VOLT, AMPERE, RADIAN))
    return {"R": volt / ampere * gtc_cos(angle), "X": volt / ampere * gtc_sin(angle), "Z": volt / ampere}


@pytest.mark.parametrize("name", EACH)
def test_h2_the_five_sets_count_once(name):
    """GTC as oracle; five sets leave four degrees of freedom, whatever is made of their means."""
    found, expected = IMPEDANCE[name], theirs()[name]
    assert found.degrees_of_freedom == pytest.approx(SETS - 1, rel=1e-12)
    assert found.degrees_of_freedom == pytest.approx(expected.df, rel=1e-9)
    assert found.standard_uncertainty == pytest.approx(expected.u, rel=1e-9)


def test_h2_two_results_with_a_meter_of_its_own():
    """GTC as oracle: the sets are one term of the formula, what comes in beside them another."""
    meter = Estimate(0.0, "ohm", (Row("meter", 0.2, 7),))
    found = combine([(1.0, IMPEDANCE["R"]), (1.0, IMPEDANCE["X"]), (1.0, meter)])
    gtc = theirs()
    expected = gtc["R"] + gtc["X"] + ureal(0.0, 0.2, 7)
    assert found.standard_uncertainty == pytest.approx(expected.u, rel=1e-9)
    assert found.degrees_of_freedom == pytest.approx(expected.df, rel=1e-9)


READ_C = (21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511)
OFF_C = (-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160)
FROM_C = 20.0
LEFT_OVER = len(READ_C) - 2


def weights():
    """What each observed correction counts for in the level at 20 °C and in the slope: least squares."""
    away = np.array(READ_C) - FROM_C
    return np.linalg.pinv(np.stack([np.ones_like(away), away], axis=1))


def scatter():
    """Standard deviation about the line. [°C]"""
    level, slope = weights() @ np.array(OFF_C)
    about = np.array(OFF_C) - level - slope * (np.array(READ_C) - FROM_C)
    return math.sqrt(float(about @ about) / LEFT_OVER)


def thermometer():
    """Level at 20 °C and slope, from eleven observed corrections that are off by the scatter each."""
    observed = [
        Estimate(one, "°C", (Row(f"observed {k}", scatter(), LEFT_OVER, group="line"),)) for k, one in enumerate(OFF_C)
    ]
    level, slope = (combine(list(zip(line.tolist(), observed, strict=True))) for line in weights())
    return level, slope


def correction_at(celsius):
    level, slope = thermometer()
    return combine([(1.0, level), (celsius - FROM_C, slope)])


@pytest.mark.published("JCGM 100:2008 H.3.3")
def test_h3_the_line():
    level, slope = thermometer()
    assert level.value == pytest.approx(-0.1712, abs=0.00005)
    assert level.standard_uncertainty == pytest.approx(0.0029, abs=0.00005)
    assert slope.value == pytest.approx(0.00218, abs=0.000005)
    assert slope.standard_uncertainty == pytest.approx(0.00067, abs=0.000005)
    assert scatter() == pytest.approx(0.0035, abs=0.00005)


@pytest.mark.published("JCGM 100:2008 H.3.3")
def test_h3_level_and_slope_are_correlated():
    assert correlation(*thermometer()) == pytest.approx(-0.930, abs=0.0005)


@pytest.mark.published("JCGM 100:2008 H.3.4")
def test_h3_correction_at_30_c():
    assert correction_at(30.0).value == pytest.approx(-0.1494, abs=0.00005)
    assert correction_at(30.0).standard_uncertainty == pytest.approx(0.0041, abs=0.00005)


@pytest.mark.parametrize("celsius", [0.0, FROM_C, 24.0, 30.0])
def test_h3_the_line_counts_once(celsius):
    """GTC as oracle: eleven points less two leave nine degrees of freedom, at whatever temperature."""
    line = type_a.line_fit([one - FROM_C for one in READ_C], OFF_C)
    expected = line.intercept + (celsius - FROM_C) * line.slope
    found = correction_at(celsius)
    assert found.degrees_of_freedom == pytest.approx(LEFT_OVER, rel=1e-12)
    assert found.degrees_of_freedom == pytest.approx(expected.df, rel=1e-9)
    assert found.standard_uncertainty == pytest.approx(expected.u, rel=1e-9)


@pytest.mark.published("JCGM 100:2008 H.3.5")
def test_h3_from_the_middle_of_the_readings_level_and_slope_are_not_correlated():
    level, slope = thermometer()
    middle = math.fsum(READ_C) / len(READ_C)
    assert correlation(correction_at(middle), slope) == pytest.approx(0.0, abs=1e-9)
    assert correlation(level, slope) < -0.9
