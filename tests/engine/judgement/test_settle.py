"""What would settle it, beside the table of the general formula and beside simply doing it many times."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
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


def test_luck_does_not_put_a_worse_instrument_first():
    """Right at the limit, where more stays than moves, the noisier of two is likelier to come out clear."""
    today = Estimate(LIMIT, "ohm", (Row("moved", 1.0), Row("stays", 1.2)))
    fine, coarse = {"moved": 0.01}, {"moved": 0.99}
    chances = [sum(clear_chances(today, BAND, after)) for after in (fine, coarse)]
    assert chances == pytest.approx([2 * stats.norm.cdf(-stats.norm.ppf(0.95) * math.hypot(left, 1.2)
                                                        / math.hypot(1.0, left)) for left in (0.01, 0.99)])  # fmt: skip
    assert round(chances[0], 2) < round(chances[1], 2)
    ways = [Remedy("coarse", "coarse", 5, coarse), Remedy("fine", "fine", 5, fine)]
    assert [one.key for one in ranked(today, BAND, ways)] == ["fine", "coarse"]
    quick = [Remedy("coarse", "coarse", 1, coarse), Remedy("fine", "fine", 5, fine)]
    assert [one.key for one in ranked(today, BAND, quick)] == ["coarse", "fine"]


SIZES = st.floats(0.01, 1.0)
BAND_OF = {"at most": Band(None, 0.0, "1"), "at least": Band(0.0, None, "1"), "both": Band(-1.5, 0.0, "1")}


@settings(deadline=None)
@given(
    value=st.floats(-3.0, 3.0), now=st.lists(SIZES, min_size=3, max_size=3), dof=st.sampled_from([1.0, 3.0, math.inf]),
    shares=st.lists(st.tuples(st.floats(0.0, 0.9), st.floats(0.0, 1.0)), min_size=3, max_size=3),
    band=st.sampled_from(list(BAND_OF.values())), count=st.integers(1, 3),
)  # fmt: skip
def test_what_leaves_every_row_no_larger_comes_first(value, now, dof, shares, band, count):
    keys = "abc"[:count]
    today = Estimate(value, "1", tuple(Row(key, u, dof) for key, u in zip("abc", now, strict=True)))
    coarse = {key: u * share for key, u, (share, _) in zip(keys, now, shares, strict=False)}
    fine = {key: coarse[key] * less for key, (_, less) in zip(keys, shares, strict=False)}
    ways = [Remedy("fine", "fine", 5, fine), Remedy("coarse", "coarse", 5, coarse)]
    assert ranked(today, band, ways)[0].key == "fine"


@settings(deadline=None)
@given(
    value=st.floats(-4.0, 4.0), moved=SIZES, less=st.floats(0.0, 1.0),
    lefts=st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 1.0)), clear=st.floats(0.6, 0.99), at_most=st.booleans(),
)  # fmt: skip
def test_where_as_much_moves_as_stays_less_noise_is_never_the_worse_chance(value, moved, less, lefts, clear, at_most):
    rule = Confidence(clear)
    band = Band(None, 0.0, "1", rule=rule) if at_most else Band(0.0, None, "1", rule=rule)
    today = Estimate(value, "1", (Row("moved", moved), Row("stays", less * moved)))
    fine, coarse = (sum(clear_chances(today, band, {"moved": left * moved})) for left in sorted(lefts))
    assert fine >= coarse - 1e-9


def test_work_for_nothing_is_left_out():
    ways = [Remedy("other", "other", 1, {"another row": 0.0}), Remedy("same", "same", 1, {"moved": 0.28}),
            Remedy("worse", "worse", 1, {"moved": 0.5})]  # fmt: skip
    assert ranked(now(0.28), BAND, ways) == ()


@pytest.mark.parametrize(("value", "need"), [(12.9, 0.4 / 1.6448536), (13.7, 0.4 / 1.6448536), (13.3, 0.0)])
def test_largest_uncertainty(value, need):
    assert largest_uncertainty(value, BAND) == pytest.approx(need, rel=1e-7)
