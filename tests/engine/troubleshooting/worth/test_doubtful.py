"""A doubtful part: its wear, its prices, and the ways in which a probability is known."""

import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from knowngood.engine.judgement import Estimate, Row
from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.worth.doubtful import CheapTest, DoubtfulPart, Wear, as_chance

AMOUNT = st.floats(0.1, 300.0)


@pytest.mark.published("Own derivation, worked by hand: 90 of 150 behind it, 30 to go, shape 3: .2562")
def test_the_worked_case():
    assert Wear(90.0, 30.0, 150.0, 3.0).chance == pytest.approx(0.2562, abs=5e-5)


@pytest.mark.published("SciPy, Weibull's survival function: R(T + t) / R(T), as Nelson 1982 has it")
@given(AMOUNT, AMOUNT, st.floats(50.0, 300.0), st.floats(0.5, 4.0))
def test_against_the_survival_function(age, horizon, life, shape):
    law = stats.weibull_min(shape, scale=life)
    expected = -math.expm1(law.logsf(age + horizon) - law.logsf(age))
    wear = Wear(age, horizon, life, shape)
    assert wear.chance == pytest.approx(expected, rel=1e-6, abs=1e-12)
    assert wear.chance_new == pytest.approx(law.cdf(horizon), rel=1e-9)


@pytest.mark.published("Nelson, Applied life data analysis, 1982, pages 69-70: windings of 6.5 years have 7.1 left")
def test_windings_that_lasted_so_far():
    """Weibull, shape 2, life 13 years; the mean of what is left is the area under the chance that it still works."""
    left, _ = integrate.quad(lambda years: 1.0 - Wear(6.5, years, 13.0, 2.0).chance, 1e-9, 130.0)
    assert left == pytest.approx(7.1, abs=0.05)


@given(AMOUNT, AMOUNT, st.floats(50.0, 300.0), st.floats(0.3, 1.0))
def test_up_to_shape_1_age_is_no_reason(age, horizon, life, shape):
    wear = Wear(age, horizon, life, shape)
    assert wear.chance <= wear.chance_new * (1.0 + 1e-9)


@given(AMOUNT, AMOUNT, st.floats(50.0, 300.0), st.floats(1.01, 4.0))
def test_above_shape_1_it_is(age, horizon, life, shape):
    wear = Wear(age, horizon, life, shape)
    assert wear.chance >= wear.chance_new * (1.0 - 1e-9)


def test_what_a_failure_takes():
    part = DoubtfulPart(Price(35.0, 20.0), Price(160.0, 90.0), Price(120.0))
    assert part.failure == Price(315.0, 110.0)
    assert part.reopening == Price(195.0, 110.0)
    dearer = DoubtfulPart(Price(35.0), Price(160.0), Price(120.0), replace_later=Price(60.0))
    assert dearer.failure == Price(340.0)


def test_a_new_one_is_bad_or_wears_too():
    part = DoubtfulPart(bad_new=0.02, wear=Wear(90.0, 30.0, 150.0, 1.0))
    assert part.new_one_fails == pytest.approx(1.0 - 0.98 * np.exp(-0.2))
    assert part.wears_out == pytest.approx(1.0 - np.exp(-0.2))


def test_ways_to_know_a_probability():
    assert as_chance(0.3) == Chance(0.3)
    assert as_chance(Chance(0.3, 0.2, 0.4)) == Chance(0.3, 0.2, 0.4)
    found = as_chance(Estimate(0.5, "1", (Row("a", 0.1),)))
    assert (found.lowest, found.value, found.highest) == pytest.approx((0.304, 0.5, 0.696), abs=5e-4)
    assert as_chance(Estimate(1.02, "1", (Row("a", 0.1),))).highest == 1.0


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: Wear(-1.0, 30.0, 150.0, 3.0), "wear with age -1; it must be above 0, and an age may be 0. Mend it."),
        (lambda: Wear(1.0, 30.0, 0.0, 3.0), "wear with life 0; it must be above 0, and an age may be 0. Mend it."),
        (lambda: DoubtfulPart(bad_new=1.5), "a chance of 1.5 that the new part is bad; it lies between 0 and 1."),
        (lambda: DoubtfulPart(life_left=-5.0), "-5 for the life that is left in it; write 0 when it is worth nothing."),
        (lambda: CheapTest(Price(), 1.2, 0.9),
         "a test that shows a bad part with a chance of 1.2; it lies between 0 and 1."),
    ],
)  # fmt: skip
def test_refusals(make, message):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        make()
