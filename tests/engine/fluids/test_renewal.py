"""Renewal: the printed series, what a simulation of mixing gives, and the doubt of both volumes."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.fluids.carried import stated
from knowngood.engine.fluids.renewal import (
    continuous,
    picture,
    renewed_after,
    rounds_to,
    share_renewed,
    stated_total,
    unknown_share,
)
from knowngood.engine.judgement import Estimate, Row, propagate
from knowngood.engine.judgement import Input as In


def exactly(value, unit="1"):
    return stated("exact", value, 0.0, unit=unit)


SERIES = {0.30: [0.300, 0.510, 0.657, 0.760], 0.40: [0.400, 0.640, 0.784, 0.870], 0.50: [0.500, 0.750, 0.875, 0.9375]}


@pytest.mark.published("changes of one fraction, the geometric series worked by hand")
@pytest.mark.parametrize(("share", "after"), SERIES.items())
def test_after_some_changes(share, after):
    assert [renewed_after(exactly(share), n).value for n in (1, 2, 3, 4)] == pytest.approx(after, abs=0.0005)


@given(st.floats(0.5, 20.0), st.floats(0.05, 0.95), st.integers(1, 8))
def test_as_draining_and_filling_in_turn(total_l, share, rounds):
    """A tank that loses some of what is in it and gets as much new."""
    old = total_l
    for _ in range(rounds):
        old -= share * old
    assert renewed_after(exactly(share), rounds).value == pytest.approx(1.0 - old / total_l)


@pytest.mark.published("a stirred tank, 1 - exp(-V/V0), worked by hand: 0.632 after one volume")
def test_a_continuous_exchange():
    assert continuous(exactly(8.0, "L"), exactly(8.0, "L")).mixed.value == pytest.approx(0.632, abs=0.0005)


@given(st.floats(0.1, 30.0))
def test_a_continuous_exchange_is_many_small_changes(poured_l):
    many = renewed_after(exactly(poured_l / 8.0 / 100_000), 100_000).value
    assert continuous(exactly(poured_l, "L"), exactly(8.0, "L")).mixed.value == pytest.approx(many, abs=1e-4)


@given(st.floats(0.1, 30.0), st.floats(1.0, 12.0))
def test_nothing_beats_a_plug(poured_l, total_l):
    found = continuous(exactly(poured_l, "L"), exactly(total_l, "L"))
    assert found.mixed.value < found.plug.value <= 1.0
    assert found.plug.value == pytest.approx(min(1.0, poured_l / total_l))


def test_the_doubt_of_both_volumes():
    found = share_renewed(stated("out", 3.2, 0.16, unit="L"), stated_total(8.0))
    rows = {row.key: row.contribution for row in found.rows}
    half = 3**-0.5
    assert rows == pytest.approx({"out": 0.16 / 8.0 * half, "manual/total": -0.4 * 3.2 / 64.0 * half})


def test_the_straight_law_and_draws_agree():
    out, total = In("out", 3.2, standard_uncertainty=0.1), In("total", 8.0, standard_uncertainty=0.3)
    drawn = propagate(lambda a, b: a / b, [out, total], unit="1", seed=1)
    estimates = [Estimate(one.value, "L", (Row(one.key, one.u),)) for one in (out, total)]
    found = share_renewed(*estimates)
    assert found.value == pytest.approx(drawn.value)
    assert found.quantile(0.9) == pytest.approx(drawn.quantile(0.9), abs=0.002)


def test_one_jug_for_both_cancels():
    jug = 0.05 / 3**0.5
    volumes = [Estimate(litre, "L", (Row("jug:blue", jug * litre),)) for litre in (3.2, 8.0)]
    assert share_renewed(*volumes).standard_uncertainty == pytest.approx(0.0, abs=1e-12)


def test_a_little_more_than_all_is_all():
    found = share_renewed(stated("out", 8.2, 0.4, unit="L"), stated_total(8.0))
    assert found.value == 1.0
    assert found.standard_uncertainty > 0.0


def test_no_total_is_a_wide_assumption():
    (row,) = unknown_share().rows
    assert row.assumed
    assert unknown_share().value - 3**0.5 * row.contribution == pytest.approx(0.30)
    assert unknown_share().value + 3**0.5 * row.contribution == pytest.approx(0.50)


def test_rounds_with_doubt():
    found = rounds_to(unknown_share(), 0.9, per_round_l=4.0, price_per_l=12.5)
    assert (found.fewest, found.rounds, found.most) == (4, 5, 6)
    assert (found.litre, found.money) == (20.0, 250.0)
    assert found.reached.value == pytest.approx(1.0 - 0.6**5)
    assert rounds_to(exactly(0.4), 0.9, per_round_l=4.0).money is None


@given(st.floats(0.05, 0.99), st.floats(0.01, 0.99))
def test_the_rounds_are_enough_and_one_fewer_is_not(share, wanted):
    found = rounds_to(exactly(share), wanted, per_round_l=1.0)
    if found.rounds < 100:
        assert renewed_after(exactly(share), found.rounds).value >= wanted - 1e-8
    if found.rounds > 1:
        assert renewed_after(exactly(share), found.rounds - 1).value < wanted


def test_exactly_reached_is_reached():
    assert rounds_to(exactly(0.5), 0.75, per_round_l=4.0).rounds == 2
    assert rounds_to(exactly(1.0), 0.75, per_round_l=4.0).rounds == 1


def test_quantiles_go_through():
    skewed = Estimate(0.4, "1", (Row("f", 0.05),), tuple(np.linspace(0.3, 0.6, 199).tolist()))
    after = renewed_after(skewed, 2)
    assert after.quantile(0.5) == pytest.approx(1.0 - (1.0 - skewed.quantile(0.5)) ** 2, abs=1e-6)


def test_a_picture():
    found = picture(unknown_share(), per_round_l=4.0, price_per_l=10.0, rounds=4)
    assert found.change_l == (0.0, 4.0, 8.0, 12.0, 16.0)
    assert found.change_share[2] == pytest.approx(0.64)
    assert all(low <= mid <= high for low, mid, high in
               zip(found.change_low, found.change_share, found.change_high, strict=True))  # fmt: skip
    assert found.mixed_share[-1] == pytest.approx(1.0 - math.exp(-16.0 / 10.0))
    assert found.plug_share[-1] == 1.0
    assert len(found.line_l) == len(found.mixed_share) == len(found.plug_share)
    # Litre for litre, changes renew more than an exchange that mixes and less than one that does not.
    for litre, share in zip(found.change_l[1:], found.change_share[1:], strict=True):
        at = found.line_l.index(pytest.approx(litre))
        assert found.mixed_share[at] < share < found.plug_share[at] + 1e-12


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: share_renewed(stated("out", 12.0, 0.5, unit="L"), stated_total(8.0)),
         "12 L came out, and the circuit holds 8 L in all. Check the reading and its unit, or the total in the "
         "manual."),
        (lambda: share_renewed(exactly(0.0, "L"), stated_total(8.0)),
         "0 L out of 8 L in all; both must be above zero. Check what was written."),
        (lambda: stated_total(0.0), "a total of 0 L; take it from the manual, above zero."),
        (lambda: rounds_to(exactly(0.4), 1.0, per_round_l=4.0),
         "100% new; changes mix, so less than 100 % is what they can reach. Take 90 %."),
        (lambda: rounds_to(exactly(0.4), 0.5, per_round_l=0.0), "0 L for a change; write what came out, above zero."),
        (lambda: renewed_after(exactly(0.4), 0), "0 changes; count from 1."),
        (lambda: continuous(exactly(0.0, "L"), stated_total(8.0)), "0 L through 8 L; both must be above zero."),
        (lambda: picture(exactly(0.4), per_round_l=4.0, rounds=0),
         "0 changes of 4 L; at least one of more than nothing can be drawn."),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(call, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        call()
    assert str(refused.value) == message
