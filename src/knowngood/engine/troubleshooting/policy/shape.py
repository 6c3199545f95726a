"""How a problem lies in memory: tests as digits of a mixed radix, repairs and covers as bits."""

from dataclasses import dataclass, field
from functools import cached_property
from math import prod

import numpy as np
import numpy.typing as npt

from knowngood.engine.troubleshooting.model.parts import Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.model.tables import Floats
from knowngood.engine.troubleshooting.policy.moves import State, doable, telling

Whole = npt.NDArray[np.intp]


@dataclass(frozen=True)
class Level:
    """All states in which the same number of tests is not done yet.

    Args:
        states: Their places among the states of the tests.
        test: For each state (column) the tests not done (row).
        leads: For each outcome, the state that each of them leads to; the empty one beyond a test's last outcome.
    """

    states: Whole
    test: Whole
    leads: tuple[Whole, ...]


@dataclass(frozen=True)
class Shape:
    """How a problem lies in memory: tests as digits of a mixed radix, repairs and covers as bits.

    Args:
        problem: The problem.
        tests: Those that can tell anything.
        repairs: Those that may be done here.
    """

    problem: Problem
    tests: tuple[Test, ...] = field(init=False)
    repairs: tuple[Repair, ...] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "tests", telling(self.problem))
        object.__setattr__(self, "repairs", doable(self.problem))

    @cached_property
    def digits(self) -> tuple[int, ...]:
        """Number of a test's outcomes and "not yet", which is the last."""
        return tuple(len(test.outcomes) + 1 for test in self.tests)

    @cached_property
    def strides(self) -> tuple[int, ...]:
        """How far apart two neighbouring digits of each test lie."""
        return tuple(prod(self.digits[:place]) for place in range(len(self.digits)))

    @property
    def states(self) -> int:
        """How many states the tests have."""
        return prod(self.digits)

    @cached_property
    def keeps_covers(self) -> bool:
        """A check needs covers closed, so what is off must be kept."""
        return bool(self.problem.covers) and any(repair.needs_closed_check for repair in self.repairs)

    @cached_property
    def off(self) -> tuple[int, ...]:
        """The sets of covers that can be off, the largest first; only what is off at the start when it is not kept."""
        if not self.keeps_covers:
            return (self.mask(self.problem.open_at_start),)
        places = {one.cover for one in self.tests} | {one.cover for one in self.repairs}
        paths = {self.mask(self.problem.path(place)) for place in places}
        found = {0, self.mask(self.problem.open_at_start)}
        while True:
            more = {one | path for one in found for path in paths} | found
            if more == found:
                return tuple(sorted(found, key=lambda one: (-one.bit_count(), one)))
            found = more

    @property
    def closed(self) -> int:
        """Where the states lie in which every cover is on; there is one place for all when it is not kept."""
        return self.off.index(0) if self.keeps_covers else 0

    @property
    def cells(self) -> int:
        """How many values W has."""
        return (self.states + 1) * len(self.off) << len(self.repairs)

    @property
    def table_bytes(self) -> int:
        """Memory for the tables beside W: where each test leads and what it costs. [bytes]"""
        waiting = sum(self.states // digit for digit in self.digits)
        outcomes = max(self.digits, default=1)
        kept = len(self.off) * (outcomes + 2) if self.keeps_covers else outcomes + 1 + (1 << len(self.problem.covers))
        return 8 * (waiting * kept + self.states * (len(self.problem.causes) + 2))

    def mask(self, covers: frozenset[str]) -> int:
        """Return covers as bits."""
        return sum(1 << place for place, cover in enumerate(self.problem.covers) if cover.key in covers)

    @cached_property
    def access(self) -> Floats:
        """What it costs to take off a set of covers. [money]"""
        found = np.zeros(1)
        for cover in self.problem.covers:
            own = self.problem.cost(self.problem.access([cover.key], ()))
            found = np.concatenate([found, found + own])
        return found

    @cached_property
    def opened(self) -> Whole:
        """The covers that the tests done have taken off, for each state of the tests."""
        found = np.zeros(self.states, dtype=np.intp)
        for place, test in enumerate(self.tests):
            done = np.arange(self.states) // self.strides[place] % self.digits[place] < self.digits[place] - 1
            found[done] |= self.mask(self.problem.path(test.cover))
        return found

    def levels(self, tests: tuple[int, ...]) -> tuple[Level, ...]:
        """States by how many of these tests are not done, the fewest first; those with none left are no level."""
        places = np.arange(self.states)
        digits, strides = np.array(self.digits)[list(tests)], np.array(self.strides)[list(tests)]
        waits = places[:, None] // strides % digits == digits - 1
        left = waits.sum(axis=1)
        return tuple(
            self._level(np.flatnonzero(left == count), waits, np.array(tests), count)
            for count in range(1, len(tests) + 1)
        )

    def _level(self, states: Whole, waits: npt.NDArray[np.bool_], tests: Whole, count: int) -> Level:
        test = np.ascontiguousarray(tests[np.nonzero(waits[states])[1]].reshape(-1, count).T)
        digits, strides = np.array(self.digits), np.array(self.strides)
        leads = []
        for outcome in range(max(self.digits) - 1):
            lead = states - (digits[test] - 1 - outcome) * strides[test]
            lead[outcome >= digits[test] - 1] = self.states
            leads.append(lead)
        return Level(states, test, tuple(leads))

    def place(self, state: State) -> tuple[int, int, int]:
        """Return where a state lies: repairs tried, covers off, tests."""
        tried = sum(1 << place for place, one in enumerate(self.repairs) if one.key in state.tried)
        shown = dict(state.shown)
        tests = sum(
            stride * (test.outcome(shown[test.key]) if test.key in shown else digit - 1)
            for test, stride, digit in zip(self.tests, self.strides, self.digits, strict=True)
        )
        return tried, self.off.index(self.mask(state.off)) if self.keeps_covers else 0, tests
