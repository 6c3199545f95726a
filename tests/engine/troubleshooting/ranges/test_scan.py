"""The stretches that a scan finds, against trying every place, and a scan that is cut short says so."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.troubleshooting.ranges.scan import Best, Span, scan

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
    with pytest.raises(ValueError, match=r"^1 times to solve; both ends and what lies between take 2\.$"):
        scan(solve, 0.0, 1.0, most=1)


def test_what_begins_alike_is_proved_without_solving_all_of_it_when_rivals_are_dear():
    """Ten policies that all begin with the same test: two solutions and the rivals' costs at both ends will do."""
    ends = [(k * k / 100.0, (9.0 - k) ** 2 / 100.0) for k in range(10)]
    plain, calls = solver(ends, ["test"] * 10)

    def with_rivals(x):
        return replace(plain(x), rivals={"shop": 0.9})

    assert scan(with_rivals, 0.0, 1.0, most=99) == (Span("test", 0.0, 1.0),)
    assert calls == [0.0, 1.0]


def test_a_rival_that_is_better_in_the_middle_is_found():
    """Begins alike at both ends; between, the shop at 2 is cheaper than either policy at 5."""
    lines = {"test": [(0.0, 10.0), (10.0, 0.0)], "shop": [(2.0, 2.0)]}

    def solve(x):
        costs = {key: min(low + x * (high - low) for low, high in ends) for key, ends in lines.items()}
        action = min(costs, key=lambda key: costs[key])
        line = min(lines[action], key=lambda ends: ends[0] + x * (ends[1] - ends[0]))
        return Best(action, *line, rivals={key: cost for key, cost in costs.items() if key != action})

    spans = scan(solve, 0.0, 1.0, most=20)
    assert [(one.action, round(one.low, 9), round(one.high, 9), one.proved) for one in spans] == [
        ("test", 0.0, 0.2, True), ("shop", 0.2, 0.8, True), ("test", 0.8, 1.0, True),
    ]  # fmt: skip


def test_where_it_matters_is_solved_first():
    ends = [(k * k / 100.0, (9.0 - k) ** 2 / 100.0) for k in range(10)]
    solve, calls = solver(ends, [f"a{k}" for k in range(10)])
    spans = scan(solve, 0.0, 1.0, most=9, around=0.31)
    assert calls[:3] == [0.0, 0.31, 1.0]
    (here,) = [one for one in spans if one.low < 0.31 < one.high]
    whole = scan(solver(ends, [f"a{k}" for k in range(10)])[0], 0.0, 1.0, most=99)
    (exact,) = [one for one in whole if one.low < 0.31 < one.high]
    assert (here.action, here.low, here.high) == (exact.action, pytest.approx(exact.low), pytest.approx(exact.high))
