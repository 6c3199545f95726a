"""A steady fault: the test that must now pass, and what its pass proves."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.troubleshooting.worth.steady import PassingTest, must_pass

OPEN = st.floats(0.01, 0.99)
SURE = PassingTest("drips overnight", 1.0, 0.0)


@st.composite
def passing(draw):
    less, more = sorted(draw(st.lists(OPEN, min_size=2, max_size=2, unique=True)))
    return PassingTest("one", more, less)


@pytest.mark.published("Bayes by hand: .7 before; shows .9 with it, .02 without: .7 x .98 / (.7 x .98 + .3 x .1)")
def test_the_worked_case():
    found = must_pass(0.7, [PassingTest("smells", 0.5, 0.1), PassingTest("drips overnight", 0.9, 0.02)])
    assert found.test.name == "drips overnight"
    assert found.if_it_passes == pytest.approx(0.686 / 0.716)
    assert found.if_it_fails == pytest.approx(0.014 / 0.284)
    assert found.reached == (0.8, 0.95)


@given(OPEN, passing())
def test_a_pass_raises_the_belief_and_a_failure_lowers_it(before, one):
    found = must_pass(before, [one])
    assert found.if_it_fails < before < found.if_it_passes
    passes = before * (1.0 - one.shows_without) + (1.0 - before) * (1.0 - one.shows)
    assert passes * found.if_it_passes + (1.0 - passes) * found.if_it_fails == pytest.approx(before)


@given(OPEN, st.lists(passing(), min_size=1, max_size=5))
def test_the_best_proof_is_chosen(before, tests):
    best = must_pass(before, tests)
    assert all(best.if_it_passes >= must_pass(before, [one]).if_it_passes for one in tests)
    assert best.reached == tuple(level for level in (0.8, 0.95) if best.if_it_passes >= level)


@given(OPEN)
def test_a_test_that_never_errs_settles_it(before):
    found = must_pass(before, [SURE])
    assert (found.if_it_passes, found.if_it_fails) == (1.0, 0.0)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: must_pass(0.5, []), "nothing showed this fault; name the test that did, it must now pass."),
        (lambda: must_pass(0.0, [SURE]),
         "a mend that is right with probability 0; nothing is that sure, write one between 0 and 1."),
        (lambda: PassingTest("smells", 0.2, 0.5),
         '"smells" shows the fault with a chance of 0.2, without it of 0.5; '
         "a proof must show it more often when it is there. Choose another test."),
    ],
)  # fmt: skip
def test_refusals(call, message):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        call()
