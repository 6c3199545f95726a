"""What can be done next, what it takes, and where it leads: the rules that every policy plays by."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import combinations

import numpy as np

from knowngood.engine.troubleshooting.belief.posterior import Finding, believe, done_by
from knowngood.engine.troubleshooting.model.amounts import FREE, Chance, Price
from knowngood.engine.troubleshooting.model.parts import Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.model.tables import Floats, fixes, given, prior


class Kind(StrEnum):
    """What an action is."""

    TEST = "test"
    REPAIR = "repair"
    SHOP = "shop"


@dataclass(frozen=True)
class Action:
    """One thing to do next.

    Args:
        kind: A test, repairs with one check after them, or handing over to the shop.
        keys: Of the test; of the repairs, in the order of the problem; empty for the shop.
    """

    kind: Kind
    keys: tuple[str, ...] = ()


SHOP = Action(Kind.SHOP)


@dataclass(frozen=True)
class State:
    """Where one stands while the fault is still there.

    Args:
        shown: Pairs of a test's key and its outcome.
        tried: Keys of repairs that did not help.
        off: Keys of covers that are off.
    """

    shown: frozenset[tuple[str, str]] = frozenset()
    tried: frozenset[str] = frozenset()
    off: frozenset[str] = frozenset()


def start(problem: Problem) -> State:
    """Return the state before anything is done."""
    return State(off=problem.open_at_start)


def remaining(problem: Problem, findings: Sequence[Finding], off: Iterable[str] | None = None) -> Problem:
    """Return what is left of a problem after these findings: the chances moved, what was done taken out.

    Args:
        problem: As it was stated.
        findings: What was found, certain or measured.
        off: Keys of covers that are off now; as at the start when left out.
    """
    chances = believe(problem, findings).chances
    done = done_by(findings)
    return replace(
        problem,
        causes=tuple(replace(cause, chance=Chance(chances[cause.key])) for cause in problem.causes),
        tests=tuple(test for test in problem.tests if test.key not in done),
        repairs=tuple(repair for repair in problem.repairs if repair.key not in done),
        open_already=problem.open_already if off is None else frozenset(off),
        free=problem.free - done,
        begun=True,
    )


def telling(problem: Problem) -> tuple[Test, ...]:
    """Return the tests that may be done here and that can move a suspect at all."""
    possible = prior(problem) > 0.0
    return tuple(
        test for test in problem.tests if test.safe and np.max(np.ptp(given(problem, test)[:, possible], axis=1)) > 0.0
    )


def doable(problem: Problem) -> tuple[Repair, ...]:
    """Return the repairs that may be done here."""
    return tuple(repair for repair in problem.repairs if repair.safe)


def batches(problem: Problem, left: Sequence[Repair]) -> list[tuple[Repair, ...]]:
    """Return the sets of repairs worth doing before one check: each alone, and those that save a check or a closing.

    When the check costs nothing, a repair that needs nothing closed is never worse done and checked first.
    """
    shared = left if problem.check != FREE else [one for one in left if one.needs_closed_check]
    several = [group for size in range(2, len(shared) + 1) for group in combinations(shared, size)]
    return [*((one,) for one in left), *several]


def price(problem: Problem, state: State, action: Action) -> Price:
    """Return what an action takes at a state, the way in included.

    Raises:
        ValueError: Handing over, which costs what the cause makes of it; use `tables`.
    """
    if action.kind is Kind.SHOP:
        raise ValueError("what handing over costs depends on the cause; ask the quote for each of them.")
    if action.kind is Kind.TEST:
        test = problem.test_of[action.keys[0]]
        return problem.own_price(test) + problem.access(problem.path(test.cover), state.off)
    repairs = [problem.repair_of[key] for key in action.keys]
    paths = frozenset[str]().union(*(problem.path(repair.cover) for repair in repairs))
    own = sum((problem.own_price(repair) for repair in repairs), FREE)
    return own + problem.access(paths, state.off) + problem.check


def after_test(problem: Problem, state: State, key: str, outcome: str) -> State:
    """Return where a test that showed this leads."""
    return replace(
        state, shown=state.shown | {(key, outcome)}, off=state.off | problem.path(problem.test_of[key].cover)
    )


def after_repairs(problem: Problem, state: State, keys: Iterable[str]) -> State:
    """Return where repairs lead that did not help: with a check that needs it, everything is closed again."""
    repairs = [problem.repair_of[key] for key in keys]
    closed = any(repair.needs_closed_check for repair in repairs)
    off = frozenset[str]() if closed else state.off.union(*(problem.path(one.cover) for one in repairs))
    return replace(state, tried=state.tried | {one.key for one in repairs}, off=off)


def mass(problem: Problem, state: State) -> Floats:
    """Return for each cause the chance that it is the one and that all went as it did; not divided by their sum."""
    found = prior(problem)
    for key, outcome in sorted(state.shown):
        test = problem.test_of[key]
        found = found * given(problem, test)[test.outcome(outcome)]
    for repair, sureness in zip(problem.repairs, fixes(problem), strict=True):
        if repair.key in state.tried:
            found = found * (1.0 - sureness)
    return found
