"""At the open cover: what each option costs, the one advice, and where it flips."""

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.judgement import Estimate, Row
from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.engine.troubleshooting.worth.cover_decision import Option, SafetyDecision, decide
from knowngood.engine.troubleshooting.worth.doubtful import CheapTest, DoubtfulPart, Wear, break_even

CHANCE, COST = st.floats(0.0, 1.0), st.floats(1.0, 500.0)
PRICES = st.builds(Price, COST, st.floats(0.0, 200.0))
TESTS = st.builds(CheapTest, st.builds(Price, st.floats(0.5, 50.0)), CHANCE, CHANCE)
WEARS = st.builds(Wear, st.floats(0.0, 200.0), st.floats(1.0, 100.0), st.floats(50.0, 300.0), st.floats(0.5, 4.0))
PARTS = st.builds(
    DoubtfulPart, PRICES, PRICES, PRICES, st.none() | PRICES, st.floats(0.0, 50.0), st.floats(0.0, 0.1),
    st.none() | WEARS,
)  # fmt: skip
QUOTES = st.none() | PRICES
LATER = CheapTest(Price(5.0), sensitivity=0.8, specificity=0.9)


def part(replace, access, damage, *, bad_new=0.01, **more):
    return DoubtfulPart(Price(replace), Price(access), Price(damage), bad_new=bad_new, **more)


def cost(found, option):
    return next(one.total for one in found.options if one.option == option)


@pytest.mark.published("Own derivation, worked by hand: p* = (C - R + e (A + C + D)) / (A + C + D)")
@pytest.mark.parametrize(
    ("one", "printed"),
    [
        (part(35, 160, 120, bad_new=0.0), 0.1111),
        (part(35, 160, 120), 0.1211),
        (part(35, 160, 120, life_left=15.0), 0.0735),
        (part(180, 60, 0), 0.7600),
        (part(20, 200, 400, bad_new=0.02), 0.0523),
        (part(35, 160, 600), 0.0540),
        (part(35, 160, 120, replace_later=Price(60.0)), 35 / 340 + 0.01),
    ],
)
def test_break_even(one, printed):
    assert break_even(one, rate_per_hour=0.0) == pytest.approx(printed, abs=5e-5)
    assert decide(one, 0.5, rate_per_hour=0.0).flips_at == pytest.approx([printed], abs=5e-5)


@pytest.mark.published("Own derivation, worked by hand: a cheap later test moves the flip from .0540 to .0624")
def test_a_later_test_makes_watching_pay_for_longer():
    found = decide(part(35, 160, 600), 0.5, rate_per_hour=0.0, later_test=LATER)
    assert found.flips_at == pytest.approx([0.0624], abs=5e-5)
    assert [one.plan.later_test for one in found.stretches] == [False, True, False]
    assert found.break_even == pytest.approx(0.0540, abs=5e-5)


def by_hand(one, bad, rate, quote):
    """What the three options without a test cost, state by state."""
    fails = one.failure.cost(rate)
    now = one.replace.cost(rate) - one.life_left + one.new_one_fails * fails
    watch = (bad + (1.0 - bad) * one.wears_out) * fails
    return {Option.REPLACE: now, Option.WATCH: watch} | ({Option.HAND_OVER: quote.cost(rate)} if quote else {})


@given(PARTS, CHANCE, st.floats(0.0, 60.0), QUOTES)
def test_without_a_test_the_cheapest_of_three(one, bad, rate, quote):
    found = decide(one, bad, rate_per_hour=rate, quote=quote)
    expected = by_hand(one, bad, rate, quote)
    assert {each.option: each.total for each in found.options} == pytest.approx(expected)
    assert cost(found, found.advice) == pytest.approx(min(expected.values()))
    for each in found.options:
        assert each.money + each.minutes / 60.0 * rate == pytest.approx(each.total)


@given(PARTS, CHANCE, TESTS)
def test_testing_by_going_through_what_can_happen(one, bad, test):
    """Brute force over states, answers and what is done after each; the test sees what is bad today only."""
    found = decide(one, bad, rate_per_hour=0.0, test=test)
    fails, worn = one.failure.money, one.wears_out
    now = one.replace.money - one.life_left + one.new_one_fails * fails
    expected = []
    for if_shows, if_silent in ((True, False), (False, True)):
        total = test.price.money
        for mass, shows, later in (
            (bad, test.sensitivity, fails), ((1 - bad) * worn, 1 - test.specificity, fails),
            ((1 - bad) * (1 - worn), 1 - test.specificity, 0.0),
        ):  # fmt: skip
            total += mass * (shows * (now if if_shows else later) + (1 - shows) * (now if if_silent else later))
        expected.append(total)
    assert cost(found, Option.TEST) == pytest.approx(min(expected))


@given(PARTS, CHANCE, st.floats(0.0, 60.0), TESTS, TESTS, QUOTES)
def test_the_stretches_against_a_scan(one, bad, rate, test, later_test, quote):
    found = decide(one, bad, rate_per_hour=rate, test=test, later_test=later_test, quote=quote)
    assert (found.stretches[0].low, found.stretches[-1].high) == (0.0, 1.0)
    for at in np.linspace(0.0, 1.0, 9):
        there = decide(one, float(at), rate_per_hour=rate, test=test, later_test=later_test, quote=quote)
        stretch = next(each for each in found.stretches if at < each.high or each.high == 1.0)
        assert cost(there, stretch.plan.option) == pytest.approx(there.options[0].total, abs=1e-7)


@given(PARTS, CHANCE, TESTS, TESTS, QUOTES)
def test_one_more_option_never_costs_more(one, bad, test, later_test, quote):
    plain = decide(one, bad, rate_per_hour=20.0).options[0].total
    more = decide(one, bad, rate_per_hour=20.0, test=test, later_test=later_test, quote=quote).options[0].total
    assert more <= plain + 1e-9


@given(PARTS, CHANCE, TESTS, st.floats(0.0, 100.0))
def test_a_dearer_access_or_part_never_costs_less(one, bad, test, more):
    def least(**changes):
        changed = DoubtfulPart(**{**vars(one), **changes})
        return decide(changed, bad, rate_per_hour=20.0, test=test).options[0].total

    base = least()
    for field in ("replace", "access", "damage"):
        assert least(**{field: getattr(one, field) + Price(more)}) >= base - 1e-9


@given(PARTS, CHANCE, CHANCE)
def test_a_test_that_tells_nothing_is_never_made(one, bad, often):
    found = decide(one, bad, rate_per_hour=0.0, test=CheapTest(Price(0.1), often, 1.0 - often))
    assert Option.TEST not in {each.plan.option for each in found.stretches}


@given(PARTS, st.floats(0.0, 60.0))
def test_break_even_is_a_probability_or_there_is_none(one, rate):
    found = break_even(one, rate_per_hour=rate)
    if found is None:
        costs = [by_hand(one, bad, rate, None) for bad in (0.0, 1.0)]
        if one.wear is None:  # with wear, probability 0 of being bad is not probability 0 of failing
            assert len({each[Option.REPLACE] < each[Option.WATCH] for each in costs}) == 1
    else:
        assert 0.0 <= found <= 1.0


def test_nothing_to_lose_has_no_break_even():
    assert break_even(DoubtfulPart(), rate_per_hour=20.0) is None


def test_it_may_flip_twice():
    """A cheap test in the middle: too likely good to test, worth testing, too likely bad to test."""
    found = decide(part(180, 60, 200), 0.4, rate_per_hour=0.0, test=CheapTest(Price(5.0), 0.95, 0.95))
    assert [each.plan.option for each in found.stretches] == [Option.WATCH, Option.TEST, Option.REPLACE]
    assert len(found.flips_at) == 2
    assert (found.plan.if_shows.option, found.plan.if_silent.option) == (Option.REPLACE, Option.WATCH)


def test_minutes_count_at_the_persons_rate():
    """Half an hour now against four hours later: replacing pays sooner for whom time is dear."""
    one = DoubtfulPart(Price(35.0, 30.0), Price(10.0, 240.0))
    free, dear = (break_even(one, rate_per_hour=rate) for rate in (0.0, 30.0))
    assert (free, dear) == pytest.approx((35 / 45 + 0.01, 50 / 180 + 0.01))


def test_worn_parts_are_replaced_at_a_lower_doubt():
    """p* is of failing at all, from either reason: (1 - q)(1 - F) of holding."""
    worn = part(180, 60, 200, wear=Wear(90.0, 30.0, 150.0, 3.0))
    found = decide(worn, 0.1, rate_per_hour=0.0)
    held = worn.wears_out
    assert found.flips_at == pytest.approx([(found.break_even - held) / (1.0 - held)])
    assert found.flips_at < decide(part(180, 60, 200), 0.1, rate_per_hour=0.0).flips_at


@given(PARTS, CHANCE, st.floats(0.0, 60.0))
def test_replacing_beats_watching_exactly_above_the_break_even(one, bad, rate):
    found = decide(one, bad, rate_per_hour=rate)
    if found.break_even is not None:
        dearer = cost(found, Option.WATCH) - cost(found, Option.REPLACE)
        assert dearer == pytest.approx((found.failing - found.break_even) * one.failure.cost(rate), abs=1e-6)


@given(st.floats(0.0, 200.0), st.floats(1.0, 200.0), st.floats(0.3, 1.0))
def test_where_age_is_no_reason_an_older_part_is_not_replaced_sooner(age, older, shape):
    def flip(years):
        found = decide(part(180, 60, 200, wear=Wear(years, 30.0, 150.0, shape)), 0.1, rate_per_hour=0.0)
        return found.flips_at[0] if found.flips_at else 1.0

    assert flip(age + older) >= flip(age) - 1e-9


def test_the_range_says_whether_it_matters():
    one = part(35, 160, 120)
    assert decide(one, Chance(0.3, 0.2, 0.5), rate_per_hour=0.0).same_over_range
    doubtful = decide(one, Estimate(0.2, "1", (Row("of 10 vehicles", 0.06),)), rate_per_hour=0.0)
    assert not doubtful.same_over_range
    assert doubtful.advices_in_range == (Option.WATCH, Option.REPLACE)
    assert decide(one, 1.0, rate_per_hour=0.0).advices_in_range == (Option.REPLACE,)
    assert decide(one, 0.0, rate_per_hour=0.0).advices_in_range == (Option.WATCH,)


def test_the_picture_has_its_corners():
    found = decide(part(180, 60, 200), 0.4, rate_per_hour=0.0, test=CheapTest(Price(5.0), 0.95, 0.95))
    drawn = found.picture
    assert set(found.flips_at) <= set(drawn.probability)
    lowest = np.min(list(drawn.total.values()), axis=0)
    for flip in found.flips_at:
        at = int(np.searchsorted(drawn.probability, flip))
        both = [curve[at] for curve in drawn.total.values() if curve[at] == pytest.approx(lowest[at])]
        assert len(both) == 2


@pytest.mark.parametrize("kind", SafetyKind)
@pytest.mark.parametrize("bad", [0.0, 0.001, 1.0])
def test_safety_parts_are_not_weighed(kind, bad):
    one = DoubtfulPart(Price(900.0), Price(1.0), safety=kind)
    found = decide(one, bad, rate_per_hour=60.0, quote=Price(1.0))
    assert isinstance(found, SafetyDecision)
    assert found.advice == Option.REPLACE
    with pytest.raises(ValueError, match="have no break-even"):
        break_even(one, rate_per_hour=0.0)


@pytest.mark.parametrize(
    ("bad", "rate", "message"),
    [
        (0.5, -1.0, "an hour worth -1; it is zero or more. Write 0 when time is free."),
        (1.5, 0.0, "a probability of 1.5 between 1.5 and 1.5; it lies between 0 and 1, in its range. "
                   "Write 8 of 10 as 0.8."),
    ],
)  # fmt: skip
def test_refusals(bad, rate, message):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        decide(part(35, 160, 120), bad, rate_per_hour=rate)
