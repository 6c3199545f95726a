"""What can be done at a state and where it leads, one thing after the other, for tests that walk through policies."""

from dataclasses import dataclass

from knowngood.engine.troubleshooting.policy.moves import (
    SHOP,
    Action,
    Kind,
    State,
    after_repairs,
    after_test,
    batches,
    doable,
    mass,
    telling,
)


@dataclass(frozen=True)
class Way:
    """One of the ways on after an action, while the fault is still there; the outcome is empty after repairs."""

    outcome: str
    state: State


def actions(problem, state):
    """Everything that can be done at a state, the shop first."""
    done = {key for key, _ in state.shown}
    left = [repair for repair in doable(problem) if repair.key not in state.tried]
    groups = [Action(Kind.REPAIR, tuple(one.key for one in group)) for group in batches(problem, left)]
    tests = [Action(Kind.TEST, (test.key,)) for test in telling(problem) if test.key not in done]
    return [SHOP, *groups, *tests]


def ways(problem, state, action):
    """The ways on that are possible at all; none after handing over."""
    if action.kind is Kind.SHOP:
        return []
    if action.kind is Kind.TEST:
        (key,) = action.keys
        outcomes = problem.test_of[key].outcomes
        found = [Way(outcome, after_test(problem, state, key, outcome)) for outcome in outcomes]
    else:
        found = [Way("", after_repairs(problem, state, action.keys))]
    return [way for way in found if mass(problem, way.state).sum() > 0.0]
