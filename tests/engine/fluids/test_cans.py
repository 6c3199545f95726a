"""Cans: the exact search against trying everything and against an integer program, and what is left over."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.fluids.cans import Can, at_hand, fewest, purchase
from knowngood.engine.judgement import Estimate, Row

NEEDED = Estimate(5.0, "L", (Row("jug", 0.2),))


def try_everything(litre, cans):
    """The cheapest, then the least left over, then the fewest, by looking at every number of each."""
    needed = math.ceil(litre * 1000 - 1e-6)
    sizes = [round(can.litre * 1000) for can in cans]
    priced = all(can.price is not None for can in cans)
    cents = [round(can.price * 100) if priced else 0 for can in cans]
    found = []
    for counts in itertools.product(*(range(math.ceil(needed / size) + 1) for size in sizes)):
        total = sum(map(int.__mul__, counts, sizes))
        if total >= needed:
            found.append((sum(map(int.__mul__, counts, cents)), total, sum(counts)))
    return min(found)


def rank(counts, cans):
    priced = all(can.price is not None for can in cans)
    money = sum(count * round(can.price * 100) for count, can in zip(counts, cans, strict=True)) if priced else 0
    return money, sum(count * round(can.litre * 1000) for count, can in zip(counts, cans, strict=True)), sum(counts)


SIZES = st.sampled_from([0.25, 0.5, 0.946, 1.0, 1.5, 2.0, 4.0, 5.0])
PRICED = st.lists(st.builds(Can, SIZES, st.integers(100, 6000).map(lambda cents: cents / 100)), min_size=1, max_size=3)
UNPRICED = st.lists(st.builds(Can, SIZES), min_size=1, max_size=3)


@given(st.floats(0.0, 6.0), st.one_of(PRICED, UNPRICED))
def test_as_good_as_trying_everything(litre, cans):
    assert rank(fewest(litre, cans), cans) == try_everything(litre, cans)


@pytest.mark.published("scipy.optimize.milp, HiGHS: the cheapest by an integer program")
@pytest.mark.parametrize("seed", range(25))
def test_as_cheap_as_an_integer_program(seed):
    optimize = pytest.importorskip("scipy.optimize")
    generator = np.random.default_rng(seed)
    sizes = generator.choice([0.25, 0.5, 0.946, 1.0, 1.5, 2.0, 4.0, 5.0, 20.0], size=5, replace=False)
    prices = np.round(generator.uniform(1.0, 60.0, 5), 2)
    litre = float(np.round(generator.uniform(1.0, 40.0), 3))
    solved = optimize.milp(prices, integrality=np.ones(5), constraints=optimize.LinearConstraint(sizes, lb=litre))
    counts = fewest(litre, [Can(float(size), float(price)) for size, price in zip(sizes, prices, strict=True)])
    assert np.dot(counts, sizes) >= litre - 1e-9
    assert np.dot(counts, prices) == pytest.approx(solved.fun, abs=1e-6)


@given(st.floats(0.001, 60.0), PRICED)
def test_taking_any_can_away_is_not_enough(litre, cans):
    counts = fewest(litre, cans)
    holds = sum(count * can.litre for count, can in zip(counts, cans, strict=True))
    assert holds >= litre - 1e-9
    for count, can in zip(counts, cans, strict=True):
        assert count == 0 or holds - can.litre < litre


def test_of_two_as_cheap_the_one_with_less_left_over():
    assert fewest(4.2, [Can(5.0, 30.0), Can(6.0, 30.0)]) == (1, 0)


def test_of_two_with_as_little_left_over_the_fewer_cans():
    assert fewest(4.0, [Can(1.0), Can(2.0), Can(4.0)]) == (0, 0, 1)


def test_a_big_can_may_be_cheaper_than_enough_small_ones():
    assert fewest(3.0, [Can(1.0, 12.0), Can(5.0, 30.0)]) == (0, 1)
    assert fewest(3.0, [Can(1.0, 12.0), Can(5.0)]) == (3, 0)


def test_nothing_needed_buys_nothing():
    assert fewest(0.0, [Can(1.0, 9.0)]) == (0,)


def test_exactly_full_is_enough():
    assert fewest(0.1 + 0.2, [Can(0.1)]) == (3,)


def test_the_largest_search_is_short():
    cans = [Can(size, 7.0 * size + 1.0) for size in (0.237, 0.473, 0.946, 1.0, 3.785, 4.0, 5.0, 18.927, 20.0)]
    counts = fewest(199.999, cans)
    assert sum(count * can.litre for count, can in zip(counts, cans, strict=True)) >= 199.999


@pytest.mark.published("SciPy, quantiles .80 and .95 of the normal distribution")
def test_at_hand():
    normal = pytest.importorskip("scipy.stats").norm
    found = at_hand(NEEDED)
    expected = (5.0 + 0.2 * normal.ppf(0.80), 5.0 + 0.2 * normal.ppf(0.95))
    assert (found.likely_l, found.nearly_sure_l) == pytest.approx(expected, abs=1e-9)
    assert at_hand(Estimate(-1.0, "L", (Row("jug", 0.2),))).likely_l == 0.0


def test_a_purchase():
    found = purchase(NEEDED, [Can(1.0, 9.0), Can(4.0, 28.0)])
    assert (found.counts, found.litre, found.price) == ((2, 1), 6.0, 46.0)
    assert (found.left_over.value, found.left_over.standard_uncertainty) == pytest.approx((1.0, 0.2))
    assert found.enough == pytest.approx(1.0 - found.left_over.below(0.0))


def test_what_stands_there_counts():
    found = purchase(NEEDED, [Can(1.0, 9.0)], have_l=4.0)
    assert (found.counts, found.left_over.value) == ((2,), pytest.approx(1.0))
    assert purchase(NEEDED, [Can(1.0, 9.0)], have_l=9.0).counts == (0,)


def test_an_unknown_price_says_so():
    assert purchase(NEEDED, [Can(1.0, 9.0), Can(4.0)]).price is None


@given(st.floats(0.1, 30.0), st.floats(0.01, 2.0), st.sampled_from([0.8, 0.95]), PRICED)
def test_the_chance_is_at_least_what_was_wanted(litre, u, chance, cans):
    found = purchase(Estimate(litre, "L", (Row("jug", u),)), cans, chance=chance)
    assert found.enough >= chance - 1e-6


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: fewest(1.0, []), "no sizes to choose from; write at least one that is sold, such as 1 L."),
        (lambda: fewest(500.0, [Can(1.0)]), "500 L to buy; at most 200 L are worked out. Check the unit."),
        (lambda: Can(0.0), "a can of 0 L; sizes go from 0.001 to 200 L."),
        (lambda: Can(1.0, -2.0), "a can for -2; a price is zero or more. Leave it out when unknown."),
        (lambda: purchase(NEEDED, [Can(1.0)], chance=1.0),
         "a chance of 1 that it is enough; it lies between 0 and 1. Use .95."),
        (lambda: purchase(NEEDED, [Can(1.0)], have_l=-1.0), "-1 L at hand; write what stands there, or nothing."),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(call, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        call()
    assert str(refused.value) == message
