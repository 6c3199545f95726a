"""What would settle it, beside the table of the general formula and beside simply doing it many times."""

import math

import numpy as np
import pytest
from scipy import stats

from knowngood.engine.judgement import Band, Confidence, Estimate, Remedy, Row, clear_chances, judge
from knowngood.engine.judgement.settle import largest_uncertainty, ranked

VALUE, U0, LIMIT = 12.9, 0.3, 13.3
BAND = Band(None, LIMIT, "ohm")


def now(moved):
    return Estimate(VALUE, "ohm", (Row("moved", moved), Row("stays", math.sqrt(U0**2 - moved**2))))


@pytest.mark.parametrize(
    ("moved", "left", "within", "out"),
    [(0.28, 0.05, 0.7641, 0.0182), (math.sqrt(0.05), 0.1, 0.5523, 0.0009), (0.05, 0.02, 0.0518, 0.0000),
     (0.3, 0.2, 0.5781, 0.0216), (0.3, 0.1, 0.7718, 0.0371)],
)  # fmt: skip
def test_the_table(moved, left, within, out):
    """Ours, run."""
    assert clear_chances(now(moved), BAND, {"moved": left}) == pytest.approx((within, out), abs=0.00006)


def test_the_need():
    """Ours, run."""
    found = judge(now(0.28), BAND)
    assert found.probability_inside == pytest.approx(0.908789, abs=5e-7)
    assert found.needed_uncertainty == pytest.approx(0.243183, abs=5e-7)


BANDS = [
    Band(None, 13.3, "ohm"), Band(12.7, None, "ohm"), Band(12.3, 13.3, "ohm"), Band(12.8, 13.0, "ohm"),
    Band(12.85, 12.95, "ohm"), Band(12.0, 13.1, "ohm", rule=Confidence(0.8)),
]  # fmt: skip


@pytest.mark.parametrize("band", BANDS, ids=range(len(BANDS)))
@pytest.mark.parametrize(("moved", "left"), [(0.28, 0.05), (0.2, 0.1), (0.3, 0.02)])
def test_taking_the_remedy_many_times_gives_the_chance(band, moved, left):
    stays, draws = math.sqrt(U0**2 - moved**2), 100_000
    generator = np.random.Generator(np.random.PCG64(11))
    value = VALUE + moved * generator.standard_normal(draws) + left * generator.standard_normal(draws)
    u = math.hypot(left, stays)
    upper = 1.0 if band.upper is None else stats.norm.cdf((band.upper - value) / u)
    lower = 0.0 if band.lower is None else stats.norm.cdf((band.lower - value) / u)
    clear = band.rule.probability
    counted = (np.mean(upper - lower >= clear), np.mean(upper - lower <= 1 - clear))
    for share, chance in zip(counted, clear_chances(now(moved), band, {"moved": left}), strict=True):
        assert share == pytest.approx(chance, abs=4 * math.sqrt(max(chance * (1 - chance), 1e-5) / draws))


def test_without_any_doubt_afterwards_the_chances_are_todays_probabilities():
    within, out = clear_chances(now(U0), BAND, {"moved": 0.0})
    assert within == pytest.approx(stats.norm.cdf((LIMIT - VALUE) / U0), abs=1e-9)
    assert within + out == pytest.approx(1.0)


def test_the_best_chance_comes_first_then_the_quickest_then_the_cheapest():
    ways = [
        Remedy("slow", "slow", 60, {"moved": 0.05}), Remedy("dear", "dear", 5, {"moved": 0.05}, 9.0),
        Remedy("weak", "weak", 1, {"moved": 0.2}), Remedy("cheap", "cheap", 5, {"moved": 0.05}),
    ]  # fmt: skip
    assert [one.key for one in ranked(now(0.28), BAND, ways)] == ["cheap", "dear", "slow", "weak"]


def test_work_for_nothing_is_left_out():
    ways = [Remedy("other", "other", 1, {"another row": 0.0}), Remedy("same", "same", 1, {"moved": 0.28}),
            Remedy("worse", "worse", 1, {"moved": 0.5})]  # fmt: skip
    assert ranked(now(0.28), BAND, ways) == ()


@pytest.mark.parametrize(("value", "need"), [(12.9, 0.4 / 1.6448536), (13.7, 0.4 / 1.6448536), (13.3, 0.0)])
def test_largest_uncertainty(value, need):
    assert largest_uncertainty(value, BAND) == pytest.approx(need, rel=1e-7)
