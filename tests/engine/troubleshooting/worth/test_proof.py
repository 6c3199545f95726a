"""How far without it until a fault that came and went is believed to be gone."""

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from knowngood.engine.troubleshooting.worth.proof import LEVELS, Drive, Returns, at_most, prove

GAPS = st.lists(st.floats(1.0, 2000.0), min_size=1, max_size=12)
BEFORE = st.floats(0.02, 0.98)
KM = st.floats(0.0, 5000.0)
SEEN = Returns.after([100.0, 200.0, 150.0])


@pytest.mark.published(
    "Johnson, Ott and Dogucu, Bayes rules!, 2022, 5.2: gamma (10, 2) and 11 events in 4 give gamma (21, 6)"
)
def test_returns_add_to_the_shape_and_distance_to_the_rate():
    """One mend after another that was not it: 11 times it came back, over 4 in all."""
    known = Returns(10, 2.0)
    for quiet in [0.1, 0.7, 0.2, 0.5, 0.3, 0.4, 0.6, 0.2, 0.5, 0.1, 0.4]:
        known = prove(0.5, known, [Drive(0.5 * quiet), Drive(0.5 * quiet, came_back=True)]).returns
    assert (known.times, known.over) == pytest.approx((21, 6.0))


@pytest.mark.published("SciPy: Lomax's survival, and the negative binomial's chance of no event at all")
@given(GAPS, st.floats(0.0, 100.0), KM)
def test_quiet_by_luck_is_lomax(gaps, quiet_since, km):
    known = Returns.after(gaps, quiet_since=quiet_since)
    found = known.quiet_anyway(km)
    assert found == pytest.approx(stats.lomax.sf(km, known.times, scale=known.over), rel=1e-9)
    assert found == pytest.approx(stats.nbinom.pmf(0, known.times, known.over / (known.over + km)), rel=1e-7)


@pytest.mark.published("SciPy, F with 2 and 2n degrees of freedom: the next exponential wait over n earlier ones' mean")
@given(GAPS, KM)
def test_nothing_assumed_beforehand_is_exact_for_repeated_waits(gaps, km):
    known = Returns.after(gaps)
    assert known.quiet_anyway(km) == pytest.approx(stats.f.sf(km / known.usual_gap, 2, 2 * known.times), rel=1e-7)


@pytest.mark.published("SciPy, exponential: what many returns come to, when how often it comes is as good as known")
@pytest.mark.parametrize("km", [0.0, 50.0, 150.0, 450.0])
def test_many_returns_make_it_exponential(km):
    assert Returns(1_000_000, 150e6).quiet_anyway(km) == pytest.approx(stats.expon.sf(km, scale=150.0), abs=1e-5)


@pytest.mark.published(
    "Hanley and Lippman-Hand 1983, as cited in JAMA 274, 1013 (1995): 0 of 50 is 6 %, 0 of 1000 is .3 %"
)
@pytest.mark.parametrize(("tries", "printed"), [(50, 0.06), (1000, 0.003)])
def test_rule_of_three(tries, printed):
    assert at_most(tries) == pytest.approx(printed)


@pytest.mark.published("SciPy, Clopper-Pearson and Poisson upper limits at 95 % with no event: below 3/n, and near it")
@pytest.mark.parametrize("tries", [30, 100, 1000])
def test_the_rule_is_the_exact_limit_rounded_up(tries):
    exact, waiting = stats.beta.ppf(0.95, 1, tries), stats.chi2.ppf(0.95, 2) / 2.0 / tries
    assert exact < waiting < at_most(tries) < exact * 1.06


def test_three_usual_gaps_are_19_of_20_where_much_is_known():
    """With even odds beforehand and many returns, the rule of three is the distance to .95 but for its rounding."""
    found = prove(0.5, Returns(100_000, 15e6))
    assert found.rule_of_three == pytest.approx(found.needed[0.95], rel=0.02)


@given(BEFORE, GAPS)
def test_after_what_is_needed_the_level_is_reached_and_not_before(before, gaps):
    known = Returns.after(gaps)
    for level, km in prove(before, known).needed.items():
        assert prove(before, known, [Drive(km)]).believed >= level - 1e-9
        if km > 0.0:
            assert prove(before, known, [Drive(0.99 * km)]).believed < level


@given(BEFORE, GAPS, st.lists(KM, max_size=6))
def test_quiet_drives_never_lower_the_belief(before, gaps, drives):
    known, so_far = Returns.after(gaps), before
    for count in range(len(drives) + 1):
        believed = prove(before, known, [Drive(km) for km in drives[:count]]).believed
        assert believed >= so_far - 1e-12
        so_far = believed


@given(BEFORE, GAPS, st.lists(KM, max_size=6), KM)
def test_once_it_came_back_it_was_not_mended(before, gaps, drives, last):
    known = Returns.after(gaps)
    found = prove(before, known, [*map(Drive, drives), Drive(last, came_back=True)])
    assert (found.believed, found.came_back, found.needed, found.picture) == (0.0, True, {}, None)
    assert (found.returns.times, found.returns.over) == pytest.approx(
        (known.times + 1, known.over + sum(drives) + last)
    )


@given(BEFORE, BEFORE, GAPS)
def test_a_surer_mend_needs_less(one, other, gaps):
    known = Returns.after(gaps)
    less, more = (prove(before, known).needed for before in (max(one, other), min(one, other)))
    assert all(less[level] <= more[level] + 1e-9 for level in LEVELS)


@given(BEFORE, GAPS, st.floats(0.01, 100.0))
def test_km_or_miles_or_days_are_the_same(before, gaps, scale):
    found, other = (prove(before, Returns.after([one * by for one in gaps])).needed for by in (1.0, scale))
    assert {level: km * scale for level, km in found.items()} == pytest.approx(other)


@pytest.mark.published("Simulated: mends that are right 3 times out of 5, and how often a quiet 300 km was one of them")
def test_by_drawing_at_random():
    """How often it comes is drawn from what three returns leave open; the quiet ones are counted."""
    generator = np.random.default_rng(7)
    mended = generator.random(400_000) < 0.6
    rate = generator.gamma(SEEN.times, 1.0 / SEEN.over, mended.size)
    quiet = mended | (generator.exponential(1.0 / rate) > 300.0)
    assert mended[quiet].mean() == pytest.approx(prove(0.6, SEEN, [Drive(300.0)]).believed, abs=0.003)


def test_what_is_still_to_go_and_the_picture():
    found = prove(0.6, SEEN, [Drive(120.0), Drive(100.0)])
    assert found.quiet == 220.0
    assert found.to_go == pytest.approx({0.8: 0.0, 0.95: found.needed[0.95] - 220.0})
    assert found.picture.belief[0] == pytest.approx(0.6)
    assert (np.diff(found.picture.belief) > 0.0).all()
    assert found.picture.distance[-1] > found.needed[0.95]


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: Returns.after([]),
         "the fault was not seen to come back, so no distance without it proves anything; "
         "write how often it came and over how far, or mend and watch."),
        (lambda: Returns(2, 0.0), "it came 2 times over 0; write how far was driven in all."),
        (lambda: Returns.after([10.0, -3.0]), "-3 until it came back; write how far it was, 0 or more."),
        (lambda: Drive(-5.0), "a drive of -5; write how far it was, 0 or more."),
        (lambda: prove(1.0, SEEN),
         "a mend that is right with probability 1; nothing is that sure, write one between 0 and 1."),
        (lambda: prove(0.5, SEEN, levels=(95.0,)),
         "believed 95; a level lies between 0 and 1. Write .95 for 19 times out of 20."),
        (lambda: prove(0.5, SEEN, [Drive(1.0, came_back=True), Drive(2.0)]),
         "there is a drive after the fault came back; it belongs to the next mend."),
        (lambda: at_most(0.0), "0 without the fault says nothing yet; drive first."),
    ],
)  # fmt: skip
def test_refusals(call, message):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        call()
