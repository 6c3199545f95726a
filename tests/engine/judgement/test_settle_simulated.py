"""The chance that a remedy settles it, against taking the remedy many thousand times."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from knowngood.engine.judgement import Band, Confidence, Estimate, Row, Safety, Shape, Verdict, clear_chances, judge

DRAWS = 200_000
BANDS = {
    "at most": Band(None, 13.3, "ohm"),
    "at least": Band(12.6, None, "ohm"),
    "wide": Band(12.2, 13.4, "ohm"),
    "narrow": Band(12.7, 13.1, "ohm"),
    "too narrow ever to be clear": Band(12.88, 12.92, "ohm"),
    "safety": Band(12.2, 13.4, "ohm", rule=Safety()),
    "from .8": Band(12.5, 13.2, "ohm", rule=Confidence(0.8)),
}
# What moves now, what is left of it, what stays. [ohm]
SIZES = [(0.28, 0.05, 0.11), (0.2, 0.1, 0.2), (0.3, 0.02, 0.0), (0.05, 0.02, 0.3), (0.25, 0.25, 0.1)]


def known(moved, stays, value=12.9):
    return Estimate(value, "ohm", (Row("moved", moved), Row("stays", stays)))


def taken(band, sizes, value=12.9, draws=DRAWS):
    """Shares of clear "within" and "out" when the remedy is taken.

    Today's reading is off by what moves and by what stays. What the reading would show without the part that moves is
    drawn about today's value, the next reading about that, and each next reading is judged with its own doubt.
    """
    moved, left, stays = sizes
    generator = np.random.Generator(np.random.PCG64(17))
    without = value - moved * generator.standard_normal(draws)
    shown = without + left * generator.standard_normal(draws)
    doubt = math.hypot(left, stays)
    upper = 1.0 if band.upper is None else stats.norm.cdf(band.upper, shown, doubt)
    lower = 0.0 if band.lower is None else stats.norm.cdf(band.lower, shown, doubt)
    inside, clear = upper - lower, band.rule.probability
    return float(np.mean(inside >= clear)), float(np.mean(inside <= 1.0 - clear))


@pytest.mark.parametrize("band", BANDS.values(), ids=BANDS)
@pytest.mark.parametrize("sizes", SIZES)
@pytest.mark.parametrize("value", [12.9, 13.25])
def test_taking_the_remedy(band, sizes, value):
    moved, left, stays = sizes
    chances = clear_chances(known(moved, stays, value), band, {"moved": left})
    for share, chance in zip(taken(band, sizes, value), chances, strict=True):
        assert share == pytest.approx(chance, abs=4.0 * math.sqrt(max(chance * (1.0 - chance), 1.0 / DRAWS) / DRAWS))


@pytest.mark.parametrize("band", [BANDS["at most"], BANDS["at least"], BANDS["wide"]], ids=["most", "least", "wide"])
def test_the_true_value_stays_where_it_is(band):
    """From the true value on: it is drawn, today's reading is off by both, and what reads as today counts."""
    moved, left, stays, value, near = 0.2, 0.05, 0.15, 12.9, 0.01
    generator = np.random.Generator(np.random.PCG64(5))
    stayed = stays * generator.standard_normal(4_000_000)
    true = value + generator.uniform(-1.5, 1.5, stayed.size)
    today = true + stayed + moved * generator.standard_normal(stayed.size)
    kept = np.abs(today - value) < near
    shown = (true + stayed)[kept] + left * generator.standard_normal(int(kept.sum()))
    doubt = math.hypot(left, stays)
    upper = 1.0 if band.upper is None else stats.norm.cdf(band.upper, shown, doubt)
    lower = 0.0 if band.lower is None else stats.norm.cdf(band.lower, shown, doubt)
    counted = float(np.mean(upper - lower >= 0.95))
    chance = clear_chances(known(moved, stays), band, {"moved": left})[0]
    assert counted == pytest.approx(chance, abs=4.0 * math.sqrt(chance * (1.0 - chance) / shown.size) + 0.001)


@pytest.mark.parametrize("band", BANDS.values(), ids=BANDS)
@pytest.mark.parametrize("value", [11.5, 12.55, 12.9, 13.2, 14.5])
def test_a_remedy_that_moves_nothing_changes_nothing(band, value):
    """The next value is today's with today's doubt: clear for certain, or certainly not."""
    today = known(0.1, 0.05, value)
    within, out = clear_chances(today, band, {"another error": 0.0})
    inside = judge(today, band).probability_inside
    assert (within, out) == (inside >= band.rule.probability, inside <= 1.0 - band.rule.probability)


MIXED = [
    (Shape.NORMAL, 1.0), (Shape.NORMAL, 2.0), (Shape.NORMAL, 4.0), (Shape.NORMAL, math.inf),
    (Shape.RECTANGULAR, math.inf),
]  # fmt: skip


def errors(generator, shape, dof, size, draws):
    if shape is Shape.RECTANGULAR:
        return size * math.sqrt(3.0) * generator.uniform(-1.0, 1.0, draws)
    return size * (generator.standard_normal(draws) if math.isinf(dof) else generator.standard_t(dof, draws))


@pytest.mark.parametrize(("shape", "dof"), MIXED)
@pytest.mark.parametrize("sizes", [(0.8, 0.1, 0.6), (0.4, 0.1, 0.9), (0.95, 0.3, 0.3)])
@pytest.mark.parametrize("away", [0.8, 1.3, 1.6])
def test_what_stays_keeps_its_tails(shape, dof, sizes, away):
    """What stays is of any shape or from few readings, and the next reading is judged by drawing that."""
    moved, left, stays = sizes
    draws, generator = 200_000, np.random.Generator(np.random.PCG64(23))
    shown = moved * generator.standard_normal(draws) + left * generator.standard_normal(draws)
    doubt = errors(generator, shape, dof, stays, draws) + left * generator.standard_normal(draws)
    reach = float(np.quantile(doubt, 0.95))
    counted = float(np.mean(shown <= away - reach) + np.mean(shown >= away + reach))
    today = Estimate(0.0, "ohm", (Row("moved", moved), Row("stays", stays, dof, shape)))
    chance = sum(clear_chances(today, Band(None, away, "ohm"), {"moved": left}))
    assert chance == pytest.approx(counted, abs=0.08)  # a rectangle alone reaches less than a normal


VALUES = st.floats(12.0, 14.0)
DOUBTS = st.floats(0.001, 1.0)
SURER = {Verdict.WITHIN: 1, Verdict.OUT: -1, Verdict.CANT_TELL: 0}


@given(value=VALUES, doubt=DOUBTS, more=DOUBTS, at_most=st.booleans())
def test_more_doubt_never_makes_one_limit_clearer(value, doubt, more, at_most):
    band = Band(None, 13.0, "ohm") if at_most else Band(13.0, None, "ohm")
    less, worse = (judge(known(doubt, extra, value), band) for extra in (0.0, more))
    assert abs(worse.probability_inside - 0.5) <= abs(less.probability_inside - 0.5) + 1e-12
    assert SURER[worse.verdict] in (SURER[less.verdict], 0)


@given(value=VALUES, doubt=DOUBTS, more=DOUBTS)
def test_more_doubt_never_makes_two_limits_clearly_kept(value, doubt, more):
    """Out may become clear, and rightly: a value known too loosely is hardly between limits that close."""
    band = Band(12.7, 13.3, "ohm")
    less, worse = (judge(known(doubt, extra, value), band) for extra in (0.0, more))
    assert not (worse.verdict is Verdict.WITHIN and less.verdict is not Verdict.WITHIN)
    assert worse.probability_inside <= max(less.probability_inside, 0.5)


@given(value=VALUES, moved=DOUBTS, stays=DOUBTS, share=st.floats(0.0, 1.0), scale=st.sampled_from([1e-3, 1e3]))
def test_the_unit_changes_nothing(value, moved, stays, share, scale):
    here = clear_chances(known(moved, stays, value), Band(12.7, 13.3, "ohm"), {"moved": share * moved})
    there = clear_chances(
        known(scale * moved, scale * stays, scale * value),
        Band(scale * 12.7, scale * 13.3, "ohm"),
        {"moved": share * moved * scale},
    )
    assert there == pytest.approx(here, abs=1e-6)
