"""The stretches that a scan finds, against trying every place, and a scan that is cut short says so."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.troubleshooting.scan import Best, Span, scan

COSTS = st.floats(0.0, 100.0).map(lambda one: round(one, 2))
ENDS = st.lists(st.tuples(COSTS, COSTS), min_size=1, max_size=12)


def solver(ends, actions=None):
    """The lowest of straight lines from 0 to 1, and how often it was asked for."""
    calls = []

    def solve(x):
        calls.append(x)
        at = min(range(len(ends)), key=lambda one: ends[one][0] + x * (ends[one][1] - ends[one][0]))
        return Best((actions or [f"a{one % 3}" for one in range(len(ends))])[at], *ends[at])

    return solve, calls


@given(ends=ENDS)
def test_everywhere_the_named_action_is_the_best(ends):
    solve, _ = solver(ends)
    spans = scan(solve, 0.0, 1.0, most=200)
    assert [spans[0].low, spans[-1].high] == [0.0, 1.0]
    assert all(one.high == other.low for one, other in pairwise(spans))
    for span in spans:
        assert span.proved
        for share in (0.001, 0.3, 0.7, 0.999):
            x = span.low + share * (span.high - span.low)
            lines = {index: low + x * (high - low) for index, (low, high) in enumerate(ends)}
            own = min(cost for index, cost in lines.items() if f"a{index % 3}" == span.action)
            assert own <= min(lines.values()) + 1e-6


def test_an_action_that_comes_back_has_two_stretches():
    """Test, repair, test again: the next action flips twice, which one crossing would miss."""
    solve, _ = solver([(0.0, 10.0), (3.0, 3.0), (10.0, 0.0)], ["test", "repair", "test"])
    assert [(one.action, round(one.low, 9), round(one.high, 9)) for one in scan(solve, 0.0, 1.0, most=9)] == [
        ("test", 0.0, 0.3), ("repair", 0.3, 0.7), ("test", 0.7, 1.0),
    ]  # fmt: skip


def test_scale_is_the_callers():
    solve, _ = solver([(0.0, 10.0), (5.0, 5.0)])
    narrow = scan(lambda x: solve((x - 20.0) / 40.0), 20.0, 60.0, most=9)
    assert narrow == (Span("a0", 20.0, 40.0), Span("a1", 40.0, 60.0))


def test_one_that_is_best_throughout_takes_two_solutions():
    solve, calls = solver([(1.0, 2.0), (3.0, 4.0)])
    assert scan(solve, 0.0, 1.0, most=9) == (Span("a0", 0.0, 1.0),)
    assert calls == [0.0, 1.0]


def test_cut_short_it_keeps_to_its_number_and_claims_nothing():
    ends = [(k * k / 100.0, (9.0 - k) ** 2 / 100.0) for k in range(10)]
    solve, calls = solver(ends)
    spans = scan(solve, 0.0, 1.0, most=3)
    assert len(calls) == 3
    assert not any(one.proved for one in spans)
    assert all(one.proved for one in scan(solver(ends)[0], 0.0, 1.0, most=99))


def test_what_has_no_meaning_is_refused():
    solve, _ = solver([(1.0, 2.0)])
    with pytest.raises(ValueError, match=r"^from 1 to 0; the lower end comes first, and both are numbers\.$"):
        scan(solve, 1.0, 0.0, most=9)
    with pytest.raises(ValueError, match=r"^1 times to solve; both ends take two\.$"):
        scan(solve, 0.0, 1.0, most=1)
