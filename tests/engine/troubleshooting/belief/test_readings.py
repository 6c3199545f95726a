"""Readings as evidence: as much as their judgement says, and errors in common counted once."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import multivariate_normal

from knowngood.engine.judgement import Band, Estimate, Row, judge
from knowngood.engine.troubleshooting.belief.posterior import Shown, believe
from knowngood.engine.troubleshooting.belief.readings import Reading, together, weights
from knowngood.engine.troubleshooting.model.amounts import Chance
from knowngood.engine.troubleshooting.model.parts import Test
from knowngood.engine.troubleshooting.model.problem import Problem, suspects

COILS = tuple(
    Test.shows(key, f"coil {key} out of limits", {f"coil {key}": Chance(0.95)}, Chance(0.05)) for key in ("a", "b", "c")
)
PROBLEM = Problem(suspects({f"coil {key}": 1 for key in "abc"}, other=0.1), COILS)
ALLOWED = Band(80.0, 95.0, "ohm")


def reading(key, value, **rows):
    estimate = Estimate(value, "ohm", tuple(Row(name, size) for name, size in rows.items()))
    return Reading(key, estimate, ALLOWED, within="no", below="yes", above="yes")


@given(st.floats(70.0, 110.0), st.floats(0.1, 10.0))
def test_a_reading_weighs_as_much_as_its_judgement_says(value, doubt):
    one = reading("a", value, meter=doubt)
    inside = judge(one.estimate, ALLOWED).probability_inside
    assert weights(PROBLEM, one) == pytest.approx([1.0 - inside, inside], abs=1e-12)


def test_a_reading_of_which_one_cannot_tell_moves_nobody():
    one = reading("a", 95.0, meter=1.0)
    assert believe(PROBLEM, [one]).chances == pytest.approx(believe(PROBLEM).chances, abs=1e-9)


def test_a_clear_reading_is_as_good_as_what_it_shows():
    far = reading("a", 120.0, meter=1.0)
    assert believe(PROBLEM, [far]).chances == pytest.approx(believe(PROBLEM, [Shown("a", "yes")]).chances, abs=1e-9)


def test_each_side_of_the_limits_can_be_an_outcome_of_its_own():
    graded = Test("a", "coil a", ("low", "right", "high"), {}, tuple(map(Chance, (0.25, 0.5, 0.25))))
    one = Reading("a", Estimate(80.0, "ohm", (Row("meter", 1.0),)), ALLOWED, "right", "low", "high")
    assert weights(Problem(suspects({"x": 1}), (graded,)), one) == pytest.approx([0.5, 0.5, 0.0], abs=1e-9)


def test_readings_without_an_error_in_common_are_two_witnesses():
    one, two = reading("a", 96.0, blue=1.0), reading("b", 94.5, red=1.0)
    apart = together(PROBLEM, [one]) * together(PROBLEM, [two])
    assert together(PROBLEM, [one, two]) == pytest.approx(apart, rel=1e-12)


def joint(problem, first, second, both_in, one_in, two_in):
    """Likelihood of each cause from the chance that both are within limits, the first is, the second is."""
    seen = {("no", "no"): both_in, ("no", "yes"): one_in - both_in, ("yes", "no"): two_in - both_in}
    seen["yes", "yes"] = 1.0 - one_in - two_in + both_in

    def given_cause(cause):
        rows = [dict(zip(one.outcomes, one.row(cause.key), strict=True)) for one in (first, second)]
        return sum(part * rows[0][x].value * rows[1][y].value for (x, y), part in seen.items())

    return [given_cause(cause) for cause in problem.causes]


@pytest.mark.parametrize(("common", "own"), [(1.0, 0.2), (1.0, 1.0), (0.3, 1.0)])
def test_an_error_in_common_counts_once(common, own):
    """SciPy has the two readings as one normal in two dimensions; only the upper limit is near."""
    values = 95.5, 94.6
    one, two = (
        reading(key, value, gain=common, **{f"own {key}": own}) for key, value in zip("ab", values, strict=True)
    )
    total = common**2 + own**2
    normal = multivariate_normal(mean=values, cov=[[total, common**2], [common**2, total]])
    ends = [multivariate_normal(mean=value, cov=total).cdf(95.0) for value in values]
    expected = joint(PROBLEM, *COILS[:2], normal.cdf([95.0, 95.0]), *ends)
    assert together(PROBLEM, [one, two]) == pytest.approx(expected, abs=0.005)


def test_one_error_and_no_other_makes_two_readings_one_witness():
    one, two = reading("a", 95.5, gain=1.0), reading("b", 95.5, gain=1.0)
    inside = judge(one.estimate, ALLOWED).probability_inside
    expected = joint(PROBLEM, *COILS[:2], inside, inside, inside)
    assert together(PROBLEM, [one, two]) == pytest.approx(expected, abs=0.005)
    assert together(PROBLEM, [one, two]) != pytest.approx(together(PROBLEM, [one]) * together(PROBLEM, [two]), abs=0.01)


def test_readings_hang_together_through_a_third_and_their_order_does_not_matter():
    chain = [reading("a", 95.5, gain=1.0), reading("c", 95.5, leads=0.5, gain=0.5), reading("b", 94.5, leads=1.0)]
    first = together(PROBLEM, chain)
    for mixed in permutations(chain):
        assert together(PROBLEM, mixed) == pytest.approx(first, rel=1e-12)
    assert together(PROBLEM, chain) == pytest.approx(first, rel=0.0)


LOPSIDED = tuple(94.0 + 4.0 * level / 200.0 for level in range(1, 200))  # from 94 to 98 ohm, all alike


@pytest.mark.parametrize(("degrees_of_freedom", "quantiles"), [(2.0, None), (float("inf"), LOPSIDED)])
def test_a_reading_by_the_same_meter_that_tells_nothing_leaves_the_other_as_it_was(degrees_of_freedom, quantiles):
    nothing = Test.shows("b", "tells nothing", {}, Chance(0.5))
    problem = Problem(PROBLEM.causes, (COILS[0], nothing))
    rows = Row("own", 1.5, degrees_of_freedom), Row("gain", 0.5)
    one = Reading("a", Estimate(96.0, "ohm", rows, quantiles), ALLOWED, within="no", below="yes", above="yes")
    both = believe(problem, [one, reading("b", 94.0, gain=0.5, leads=1.0)])
    assert both.chances == pytest.approx(believe(problem, [one]).chances, abs=0.002)


def test_readings_by_one_meter_that_are_clear_or_without_a_doubt_count_whole():
    far, sure = reading("a", 1e6, gain=0.5), reading("b", 100.0, gain=0.0)
    shown = believe(PROBLEM, [Shown("a", "yes"), Shown("b", "yes")])
    assert believe(PROBLEM, [far, sure]).chances == pytest.approx(shown.chances, abs=1e-9)


def test_units_must_agree():
    estimate = Estimate(95.0, "V", (Row("meter", 1.0),))
    with pytest.raises(ValueError, match=r"^the reading is in V, its limits in ohm; give both in one unit\.$"):
        Reading("a", estimate, ALLOWED, "no", "yes", "yes")
