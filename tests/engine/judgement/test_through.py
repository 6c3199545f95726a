"""Chances through a formula that is far from straight, against doing the same in plain numpy, one value at a time."""

import math
from dataclasses import replace

import numpy as np
import pytest

from knowngood.engine.judgement import Band, Input, Remedy, Shape, propagate
from knowngood.engine.judgement.settle import chances
from knowngood.engine.judgement.through import is_bent

INPUTS = [
    Input("warmth", 0.0, Shape.RECTANGULAR, 0.8),
    Input("reading/scatter", 3.0, Shape.STUDENT_T, standard_uncertainty=0.2, degrees_of_freedom=4.0),
    Input("gain", 0.0, Shape.RECTANGULAR, 0.4),
]


def resistance(warmth, read, gain):
    """As a thermistor's, brought to another temperature."""
    return read * np.exp(warmth) * (1.0 + gain)


BENT = propagate(resistance, INPUTS, unit="1", seed=1)
SIZE = {row.key: abs(row.contribution) for row in BENT.rows}
BAND = Band(None, 5.0, "1")
OUTER, INNER = 1500, 6000


def warmth_measured(draw):
    """The value moves by the error that goes, less the one that comes."""
    moved = draw.uniform(-0.8, 0.8) - draw.uniform(-0.2, 0.2)
    return resistance(
        moved + draw.uniform(-0.2, 0.2, INNER), 3.0 + 0.2 * draw.standard_t(4.0, INNER), draw.uniform(-0.4, 0.4, INNER)
    )


def warmth_looked_up(draw):
    """Nothing moves; how large the error can be is anything from a quarter to three quarters of what was assumed."""
    share = draw.uniform(0.25, 0.75)
    return resistance(
        share * draw.uniform(-0.8, 0.8, INNER), 3.0 + 0.2 * draw.standard_t(4.0, INNER), draw.uniform(-0.4, 0.4, INNER),
    )  # fmt: skip


def read_five_times_more(draw):
    """One reading, of whose scatter as much is known as from five; then six, pooled with that: GUM 4.2.4."""
    scatter = 0.2 * math.sqrt(4.0 / draw.chisquare(4))
    true = 3.0 - draw.normal(0.0, scatter)
    reads = np.array([3.0, *draw.normal(true, scatter, 5)])
    pooled = (4.0 * 0.2**2 + 5.0 * reads.var(ddof=1)) / 9.0
    mean = reads.mean() + math.sqrt(pooled / 6.0) * draw.standard_t(9.0, INNER)
    return resistance(draw.uniform(-0.8, 0.8, INNER), mean, draw.uniform(-0.4, 0.4, INNER))


CASES = {
    "measured": (Remedy("part", "", 1, {"warmth": 0.25 * SIZE["warmth"]}), warmth_measured, 5.0),
    "looked up": (
        Remedy("sheet", "", 1, {"warmth": 0.5 * SIZE["warmth"]}, looked_up={"warmth": (0.25, 0.75)}), warmth_looked_up,
        5.3,
    ),
    "read again": (
        Remedy("repeat", "", 1, {"reading/scatter": SIZE["reading/scatter"] / math.sqrt(6.0)}, repeats=(1, 5)),
        read_five_times_more, 7.1,
    ),
}  # fmt: skip


@pytest.mark.parametrize(("remedy", "done", "limit"), CASES.values(), ids=CASES)
def test_the_chance_is_that_of_doing_it(remedy, done, limit):
    draw = np.random.default_rng(11)
    inside = np.array([np.mean(done(draw) <= limit) for _ in range(OUTER)])
    simulated = np.mean(inside >= 0.95), np.mean(inside <= 0.05)
    told = chances(BENT, replace(BAND, upper=limit), remedy)
    assert 0.05 < max(simulated) < 0.95  # otherwise it would be easy
    spread = 2.5 * math.sqrt(max(simulated) * (1.0 - max(simulated)) / OUTER)
    assert told == pytest.approx(simulated, abs=0.05 + spread)


def test_where_the_rows_sum_up_to_what_is_known_the_formula_is_not_asked():
    straight = propagate(lambda warmth, read, gain: warmth + read + gain, INPUTS, unit="1", seed=1)
    assert is_bent(BENT)
    assert not is_bent(straight)


def test_what_was_read_back_from_the_record_has_no_formula_and_is_judged_all_the_same():
    kept = type(BENT).from_json(BENT.to_json())
    assert (kept, kept.law) == (BENT, None)
    told, again = (chances(one, BAND, CASES["measured"][0]) for one in (BENT, kept))
    assert again == pytest.approx(told, abs=0.15)
