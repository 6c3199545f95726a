"""Verdicts beside the standards' examples, and what must hold of every verdict."""

import json
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from knowngood.engine.judgement import (
    Band,
    Confidence,
    Costs,
    Estimate,
    Input,
    Judgement,
    Remedy,
    Row,
    Safety,
    Shape,
    Verdict,
    combine,
    judge,
    propagate,
)
from knowngood.engine.judgement.propagate import DRAWS, NEAR_NORMAL


def known(value, u, unit="1"):
    return Estimate(value, unit, (Row("u", u, name="what we do not know"),))


def inside(value, u, lower, upper):
    return judge(known(value, u), Band(lower, upper, "1")).probability_inside


@pytest.mark.published(
    "JCGM 106:2012, examples: breakdown voltage of a Zener diode, pressure of a container; from memory"
)
@pytest.mark.parametrize(
    ("value", "u", "lower", "upper", "probability"),
    [(-5.47, 0.05, None, -5.40, 0.92), (509.7, 8.6, 490.0, None, 0.99)],
)
def test_conformance_probability(value, u, lower, upper, probability):
    assert inside(value, u, lower, upper) == pytest.approx(probability, abs=0.005)


@pytest.mark.published("JCGM 106:2012, resistors: global consumer's and producer's risk; from memory")
def test_global_risks_of_the_resistors():
    """The risks integrate our conformance probability over what the meter may show."""
    prior, u, tolerance, accepted, nominal = 0.12, 0.04, 0.2, 0.18, 1500.0
    shown = math.hypot(prior, u)
    after = prior * u / shown
    share = (prior / shown) ** 2
    assert (nominal + share * 0.15, after) == pytest.approx((1500.135, 0.0379473), abs=5e-8)
    step = 0.001
    grid = [nominal - 0.8 + step * k for k in range(1601)]
    weights = [step * float(stats.norm.pdf(x, nominal, shown)) for x in grid]
    good = [inside(nominal + share * (x - nominal), after, nominal - tolerance, nominal + tolerance) for x in grid]
    passes = [abs(x - nominal) <= accepted for x in grid]
    consumer = sum(w * (1 - p) for w, p, ok in zip(weights, good, passes, strict=True) if ok)
    producer = sum(w * p for w, p, ok in zip(weights, good, passes, strict=True) if not ok)
    assert sum(w * p for w, p in zip(weights, good, strict=True)) == pytest.approx(0.904, abs=0.0005)
    assert consumer == pytest.approx(0.01, abs=0.005)
    assert producer == pytest.approx(0.07, abs=0.005)


@pytest.mark.published("Suncal, an open-source uncertainty calculator, its tests of specific risk")
@pytest.mark.parametrize(("value", "risk"), [(10.5, 0.10574), (10.0, 0.01242)])
def test_specific_risk(value, risk):
    assert 1.0 - inside(value, 0.4, 9.0, 11.0) == pytest.approx(risk, abs=0.000005)


@pytest.mark.published("Suncal, an open-source uncertainty calculator, its tests of specific risk by side")
def test_specific_risk_by_side():
    estimate = known(10.5, 0.4)
    assert estimate.below(9.0) == pytest.approx(0.00009, abs=0.000005)
    assert 1.0 - estimate.below(11.0) == pytest.approx(0.10565, abs=0.000005)


ZONES = [
    (9.9, None, Verdict.WITHIN), (10.83, 0.9554, Verdict.WITHIN), (10.84, 0.9452, Verdict.CANT_TELL),
    (11.00, 0.5, Verdict.CANT_TELL), (11.16, 0.0548, Verdict.CANT_TELL), (11.17, 0.0446, Verdict.OUT),
]  # fmt: skip


@pytest.mark.parametrize(("value", "probability", "verdict"), ZONES)
def test_three_zones(value, probability, verdict):
    """Ours, run: ISO 14253-1's zones with a guard band of 1.645 u."""
    found = judge(known(value, 0.1), Band(9.0, 11.0, "1"))
    assert found.verdict is verdict
    if probability is not None:
        assert found.probability_inside == pytest.approx(probability, abs=0.00005)


@pytest.mark.published("ILAC-G8:09/2019, table of guard bands and false acceptance")
@pytest.mark.parametrize(("guard_in_expanded", "most_wrong"), [(0.0, 0.50), (0.83, 0.05), (1.0, 0.025), (1.5, 0.0016)])
def test_guard_band_and_false_acceptance(guard_in_expanded, most_wrong):
    u, limit = 0.1, 11.0
    wrong = 1.0 - inside(limit - guard_in_expanded * 2 * u, u, None, limit)
    assert 0.83 * most_wrong < wrong <= most_wrong + 1e-12  # it prints "less than"


@pytest.mark.parametrize(
    ("rule", "verdict"),
    [(Confidence(), Verdict.CANT_TELL), (Safety(), Verdict.OUT), (Confidence(0.8), Verdict.WITHIN),
     (Costs(300.0, 100.0), Verdict.WITHIN), (Costs(2000.0, 100.0), Verdict.OUT)],
)  # fmt: skip
def test_the_rule_decides(rule, verdict):
    found = judge(known(10.9, 0.1), Band(None, 11.0, "1", rule=rule))
    assert found.probability_inside == pytest.approx(0.8413, abs=0.0001)
    assert found.verdict is verdict
    assert found.rule == rule
    assert found.leans is Verdict.WITHIN


def test_what_was_assumed_is_listed_the_largest_first():
    rows = (Row("a", 0.1, name="leads", assumed=True), Row("b", 0.9, name="part", assumed=True), Row("c", 2.0))
    assert judge(Estimate(1.0, "ohm", rows), Band(0.0, 2.0, "ohm")).assumed == ("part", "leads")


def test_monte_carlo_counts_where_it_differs_and_says_so():
    pair = [Input(k, 0.0, standard_uncertainty=0.005) for k in ("re", "im")]
    found = judge(propagate(lambda a, b: a**2 + b**2, pair, unit="1", seed=2), Band(None, 50e-6, "1"))
    assert found.probability_linear == 1.0
    assert found.probability_inside == found.probability_monte_carlo
    assert found.probability_inside == pytest.approx(stats.chi2.cdf(2, 2), abs=0.006)
    assert found.verdict is Verdict.CANT_TELL
    assert found.difference_said == (
        "The straight-line law says more than 99 % within, drawing at random says 63 %: the second counts."
    )


def test_a_small_difference_counts_and_is_not_stated():
    flat = propagate(lambda x: x, [Input("x", 10.0, Shape.RECTANGULAR, 0.5)], unit="1", seed=1)
    found = judge(flat, Band(None, 10.01, "1"))
    assert found.probability_inside == found.probability_monte_carlo
    assert found.probability_inside == pytest.approx(0.51, abs=4 * math.sqrt(0.25 / DRAWS))
    assert 0.0 < found.difference < 0.02
    assert found.difference_said is None


def test_near_normal_the_linear_law_counts():
    even = propagate(lambda x: x, [Input("x", 10.0, standard_uncertainty=0.5)], unit="1", seed=1)
    found = judge(even, Band(None, 10.5, "1"))
    assert found.probability_monte_carlo is None
    assert found.probability_inside == found.probability_linear == pytest.approx(stats.norm.cdf(1.0), abs=1e-12)


SYMMETRIC = st.sampled_from([Shape.NORMAL, Shape.RECTANGULAR, Shape.TRIANGULAR, Shape.STUDENT_T])


def an_error(key, shape, size):
    """An error with one peak: symmetric, and as wide as `size` says."""
    if shape in (Shape.NORMAL, Shape.STUDENT_T):
        dof = 1.0 if shape is Shape.STUDENT_T else math.inf
        return Input(key, 0.0, shape, standard_uncertainty=size, degrees_of_freedom=dof)
    return Input(key, 0.0, shape, size)


@settings(deadline=None, max_examples=60)
@given(
    shapes=st.tuples(SYMMETRIC, SYMMETRIC), away=st.floats(0.1, 4.0), own=st.floats(0.05, 1.0),
    size=st.floats(0.05, 1.0), more=st.floats(1.0, 4.0),
)  # fmt: skip
def test_more_doubt_of_any_shape_never_makes_a_limit_clearer(shapes, away, own, size, more):
    """Birnbaum's peakedness, drawn: what two estimates may differ by is the noise of their draws."""
    band, noise = Band(None, away, "1"), 4.0 * math.sqrt(2.0 * 0.25 / DRAWS)
    less, worse = (
        judge(
            propagate(lambda a, b: a + b, [an_error("a", shapes[0], own), an_error("b", shapes[1], each)], unit="1",
                      seed=3),
            band,
        )
        for each in (size, size * more)
    )  # fmt: skip
    # An estimate near normal is judged by the linear law, which is that much off at most.
    slack = NEAR_NORMAL * sum(one.probability_monte_carlo is None for one in (less, worse))
    assert worse.probability_inside <= less.probability_inside + noise + slack


def test_another_unit_is_refused():
    with pytest.raises(ValueError, match="in one unit") as refused:
        judge(known(1.0, 0.1, "V"), Band(0.0, 2.0, "ohm"))
    assert str(refused.value) == "the estimate is in V, the band in ohm; give both in one unit."


def test_a_judgement_comes_back_from_strict_json():
    remedy = Remedy("repeat", "Read it again", 3.0, {"u": 0.02}, 5.0)
    found = judge(known(10.9, 0.1), Band(9.0, 11.0, "1", rule=Costs(30.0, 100.0)), remedies=[remedy])
    assert found.settle
    assert Judgement.from_json(json.loads(json.dumps(found.to_json(), allow_nan=False))) == found


def test_nothing_settles_it():
    """More readings make a small row smaller; what stays is the meter."""
    meter = Estimate(10.9, "1", (Row("meter", 0.1), Row("scatter", 0.01)))
    repeat = Remedy("repeat", "Read it again", 3.0, {"scatter": 0.003})
    borrow = Remedy("meter", "Borrow a better meter", 30.0, {"meter": 0.01})
    found = judge(meter, Band(9.0, 11.0, "1"), remedies=[repeat])
    assert [one.key for one in found.settle] == ["repeat"]
    assert found.needed_uncertainty == pytest.approx(0.0608, abs=0.00005)
    assert [one.key for one in judge(meter, Band(9.0, 11.0, "1"), remedies=[repeat, borrow]).settle][:1] == ["meter"]


def test_what_is_clear_asks_for_nothing():
    remedy = Remedy("repeat", "Read it again", 3.0, {"u": 0.01}, None)
    assert judge(known(10.0, 0.1), Band(9.0, 11.0, "1"), remedies=[remedy]).settle == ()


@settings(deadline=None)
@given(st.floats(-3.0, 3.0), st.floats(0.01, 2.0), st.floats(1.01, 5.0))
def test_more_doubt_never_makes_a_verdict_clearer(value, u, more):
    band = Band(None, 0.0, "1")
    here, there = (judge(known(value, one), band).probability_inside for one in (u, u * more))
    assert abs(there - 0.5) <= abs(here - 0.5) + 1e-12


@settings(deadline=None)
@given(st.floats(8.0, 12.0), st.floats(0.01, 2.0), st.floats(1e-3, 1e3))
def test_another_unit_changes_no_probability(value, u, factor):
    scaled = inside(value * factor, u * factor, 9.0 * factor, 11.0 * factor)
    assert scaled == pytest.approx(inside(value, u, 9.0, 11.0), abs=1e-9)


WIDE = propagate(
    lambda a, b: a + b, [Input("a", 10.0, Shape.RECTANGULAR, 1.0), Input("b", 0.0, standard_uncertainty=0.2)],
    unit="1", seed=1,
)  # fmt: skip


@settings(deadline=None)
@given(
    limit=st.floats(7.0, 13.0), factor=st.floats(1e-3, 1e3), turned=st.booleans(), offset=st.floats(-10.0, 10.0),
    share=st.floats(0.0, 0.9),
)  # fmt: skip
def test_another_unit_changes_nothing_of_a_drawn_verdict(limit, factor, turned, offset, share):
    """Scaled, shifted as from °C to °F, or turned about; far in the tails as well, where no quantiles are kept."""
    weight = -factor if turned else factor
    here, there = Band(None, limit, "1"), weight * limit + offset
    scaled = combine([(weight, WIDE)], offset=offset)
    ends = (there, None) if turned else (None, there)
    after = {"a": share * abs(WIDE.rows[0].contribution)}
    one = judge(WIDE, here, remedies=[Remedy("a", "a", 1.0, after)])
    other = judge(scaled, Band(*ends, "1"), remedies=[Remedy("a", "a", 1.0, {"a": factor * after["a"]})])
    assert other.probability_inside == pytest.approx(one.probability_inside, abs=1e-6)
    assert other.probability_linear == pytest.approx(one.probability_linear, abs=1e-6)
    for then, now in zip(other.settle, one.settle, strict=other.verdict is one.verdict):
        assert then.probability == pytest.approx(now.probability, abs=1e-5)


@settings(deadline=None)
@given(st.floats(-3.0, 3.0), st.floats(0.05, 2.0))
def test_the_needed_uncertainty_is_where_the_verdict_turns(value, u):
    found = judge(known(value, u), Band(None, 0.0, "1"))
    clear = found.verdict is not Verdict.CANT_TELL
    assert clear == (u <= found.needed_uncertainty) or u == pytest.approx(found.needed_uncertainty, rel=1e-6)
