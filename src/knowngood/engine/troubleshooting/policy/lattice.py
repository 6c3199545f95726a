"""The exact optimum over every order of tests and repairs, by one pass over all states at once.

A state is the outcome of each test or "not yet", which repairs were tried, and, where a check needs covers closed,
which covers are off. W is the least expected cost from a state on, times the chance of getting there; so no belief is
ever divided by its sum, and W of an action is its cost times that chance plus the W of where it leads:

    W = min( shop,  (own + access) mass + sum over outcomes of W,  (own + access + check) mass + W(still there) )

Opening a cover to do nothing behind it is never worth it, so opening is charged within the first action behind it, and
the closing with it, for each opening is one closing later. Where no check needs covers closed, what is off follows
from what was done. Otherwise a check closes everything, and what is off is kept: there, only what lies open is weighed
in a state, and to take off more is a move of its own, which costs the same and leaves each way in to be weighed once.
"""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from knowngood.engine.troubleshooting.model.parts import Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.model.tables import Floats, fixes, tables
from knowngood.engine.troubleshooting.policy.moves import SHOP, Action, Kind, State, batches, mass
from knowngood.engine.troubleshooting.policy.shape import Level, Shape

# Ours: up to here W is kept in double precision; beyond, in single, whose error stays below 1e-5 of the answer.
DOUBLE_BYTES = 250_000_000
# Ours: what a computer of the person can spare, and not much longer to wait for than a page.
MOST_BYTES = 600_000_000
# Sets of repairs whose chances are summed in one matrix product: enough to keep it busy, few enough to stay small.
AT_ONCE = 16
# Ours: most home computers have two cores or more, and one more thread costs nothing where they have not.
SIDE_BY_SIDE = 2


def fits(problem: Problem) -> bool:
    """Tell whether every order can be tried within the memory that is set aside for it."""
    shape = Shape(problem)
    return 4 * shape.cells + shape.table_bytes <= MOST_BYTES


@dataclass(frozen=True)
class Move:
    """Repairs done before one check.

    Args:
        action: The same as what is done.
        repairs: Which, as bits.
        path: The covers that must be off, as bits.
        own: What they and the check cost, without the way in. [money]
        closed: The check closes everything.
    """

    action: Action
    repairs: int
    path: int
    own: float
    closed: bool


class Lattice:
    """W at every state of a problem.

    Args:
        problem: The problem, with its quote.

    Raises:
        ValueError: There is no quote, or the problem is too large to be solved exactly.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.shape = Shape(problem)
        if not fits(problem):
            raise ValueError(
                f"{len(self.shape.tests)} tests and {len(self.shape.repairs)} repairs are too many to try every order; "
                "keep those of the likeliest suspects."
            )
        self._numbers = tables(problem)
        self._fixes = fixes(problem)[[problem.repairs.index(one) for one in self.shape.repairs]]
        self._shop = self._numbers.shop_money + self._numbers.shop_minutes / 60.0 * problem.rate_per_hour
        self._paths = [self._path(test) for test in self.shape.tests]
        self._own = np.array([problem.cost(problem.own_price(test)) for test in self.shape.tests])
        self._moves = [self._move(group) for group in batches(problem, self.shape.repairs)]
        self._openings = [self._openings_of(off) for off in self.shape.off if self.shape.keeps_covers]
        self._levels: dict[tuple[int, ...], tuple[Level, ...]] = {}
        self._costs: dict[int, list[Floats]] = {}
        self._ways: dict[tuple[int, int], Floats] = {}
        rows = (2 ** len(self.shape.repairs), len(self.shape.off), self.shape.states + 1)
        self._w = np.zeros(rows, dtype=np.float64 if 8 * self.shape.cells <= DOUBLE_BYTES else np.float32)
        self._fill()
        for kept in (self._levels, self._costs, self._ways):
            kept.clear()

    def at(self, state: State) -> float:
        """Return W there: least expected cost from there on, times the chance of getting there. [money]"""
        return float(self._w[self.shape.place(state)])

    def options(self, state: State) -> list[tuple[Action, float]]:
        """Return what can be done at a state, the shop first, and for each W when all after it is done at its best."""
        tried, _, tests = self.shape.place(state)
        off, chances = self.shape.mask(state.off), mass(self.problem, state)
        here = float(chances.sum())
        found = [(SHOP, float(chances @ self._shop))]
        for move in self._moves:
            if not move.repairs & tried:
                after = self._w[tried | move.repairs, self._slot(0 if move.closed else off | move.path), tests]
                found.append((move.action, (move.own + self.shape.access[move.path & ~off]) * here + float(after)))
        for test, path, own, stride, digit in zip(
            self.shape.tests, self._paths, self._own, self.shape.strides, self.shape.digits, strict=True
        ):
            waits = digit - 1
            if tests // stride % digit == waits:
                first = tests - waits * stride
                after = self._w[tried, self._slot(off | path), first : first + waits * stride : stride]
                paid = (own + self.shape.access[path & ~off]) * here
                found.append((Action(Kind.TEST, (test.key,)), paid + float(after.sum(dtype=float))))
        return found

    @property
    def exact(self) -> bool:
        """W is kept in double precision."""
        return bool(self._w.dtype == np.float64)

    def _path(self, thing: Test | Repair) -> int:
        return self.shape.mask(self.problem.path(thing.cover))

    def _fill(self) -> None:
        """Most repairs tried first: whatever is done leads to states that are known by then.

        Sets of as many repairs do not lead to each other, so they are worked on side by side.
        """
        seen = self._chance_of_seeing().astype(self._w.dtype)
        with ThreadPoolExecutor(SIDE_BY_SIDE) as workers:
            for several in self._batches():
                left = np.stack([self._chance_of_failing(tried) for tried in several])
                both = np.concatenate([left, left * self._shop]).astype(self._w.dtype)
                mass, shop = (both @ seen).reshape(2, len(several), -1)
                for done in [workers.submit(self._fill_tried, *one) for one in zip(several, mass, shop, strict=True)]:
                    done.result()

    def _batches(self) -> Iterator[list[int]]:
        """Yield sets of repairs tried, as bits, the largest first; those of one batch have the same size."""
        sets = range(len(self._w))
        for size in reversed(range(len(self.shape.repairs) + 1)):
            level = [tried for tried in sets if tried.bit_count() == size]
            yield from (level[first : first + AT_ONCE] for first in range(0, len(level), AT_ONCE))

    def _chance_of_failing(self, tried: int) -> Floats:
        """For each cause, the chance that it is the one and that these repairs did not help."""
        left = self._numbers.prior.copy()
        for place, sureness in enumerate(self._fixes):
            if tried >> place & 1:
                left *= 1.0 - sureness
        return left

    def _chance_of_seeing(self) -> Floats:
        """For each cause (row), the chance of what the tests done have shown in each state (column)."""
        found = np.ones((len(self.problem.causes), 1))
        order = {test.key: given for test, given in zip(self.problem.tests, self._numbers.given, strict=True)}
        for test in self.shape.tests:
            factors = np.concatenate([order[test.key], np.ones((1, len(found)))])
            found = (factors.T[:, :, None] * found[:, None, :]).reshape(len(found), -1)
        return found

    def _fill_tried(self, tried: int, mass: Floats, shop: Floats) -> None:
        moves = [move for move in self._moves if not move.repairs & tried]
        fill = self._fill_kept if self.shape.keeps_covers else self._fill_known
        fill(tried, mass, shop, moves)

    def _fill_known(self, tried: int, mass: Floats, shop: Floats, moves: list[Move]) -> None:
        """What is off follows from what was done."""
        candidate, row = np.empty_like(mass), self._w[tried, 0, : self.shape.states]
        row[:] = shop
        known = self.shape.off[0] | self._opened_by(tried)
        for path, least in self._least(tried, mass, moves).items():
            np.multiply(mass, self._way_in(path, known), out=candidate)
            candidate += least
            np.minimum(row, candidate, out=row)
        self._test(tried, 0, known, mass)

    def _fill_kept(self, tried: int, mass: Floats, shop: Floats, moves: list[Move]) -> None:
        """What is off is part of the state, the most first, so that what taking off more leads to is known by then."""
        candidate, states = np.empty_like(mass), self.shape.states
        closing = self._least(tried, mass, [move for move in moves if move.closed])
        for slot, off in enumerate(self.shape.off):
            row = self._w[tried, slot, :states]
            row[:] = shop
            for path, least in closing.items():
                if not path & ~off:
                    np.minimum(row, least, out=row)
            reached = [(move.own, tried | move.repairs, slot) for move in moves
                       if not move.closed and not move.path & ~off]  # fmt: skip
            opened = [(cost, tried, further) for cost, further in self._openings[slot]]
            for cost, after, then in reached + opened:
                np.multiply(mass, cost, out=candidate)
                candidate += self._w[after, then, :states]
                np.minimum(row, candidate, out=row)
            self._test(tried, slot, off, mass)

    def _least(self, tried: int, mass: Floats, moves: list[Move]) -> dict[int, Floats]:
        """Return the least of these moves for each way in, the way itself not charged; all is on again after them."""
        found: dict[int, Floats] = {}
        candidate = np.empty_like(mass)
        for move in moves:
            np.multiply(mass, move.own, out=candidate)
            candidate += self._w[tried | move.repairs, self.shape.closed, : self.shape.states]
            if move.path in found:
                np.minimum(found[move.path], candidate, out=found[move.path])
            else:
                found[move.path] = candidate.copy()
        return found

    def _test(self, tried: int, slot: int, off: int, mass: Floats) -> None:
        """Let tests compete with what is there already, states with fewer tests left first."""
        row = self._w[tried, slot]
        for level, cost in zip(self._levels_of(off), self._level_costs(off), strict=True):
            candidate = cost * mass[level.states]
            for lead in level.leads:
                candidate += row.take(lead)
            row[level.states] = np.minimum(row[level.states], candidate.min(axis=0))

    def _opened_by(self, tried: int) -> int:
        found = 0
        for place, repair in enumerate(self.shape.repairs):
            if tried >> place & 1:
                found |= self._path(repair)
        return found

    def _move(self, group: tuple[Repair, ...]) -> Move:
        places = [self.shape.repairs.index(one) for one in group]
        path = 0
        for repair in group:
            path |= self._path(repair)
        own = sum(self.problem.cost(self.problem.own_price(repair)) for repair in group)
        return Move(
            Action(Kind.REPAIR, tuple(repair.key for repair in group)),
            sum(1 << place for place in places),
            path,
            own + self.problem.cost(self.problem.check),
            any(repair.needs_closed_check for repair in group),
        )

    def _slot(self, off: int) -> int:
        return self.shape.off.index(off) if self.shape.keeps_covers else 0

    def _levels_of(self, off: int) -> tuple[Level, ...]:
        """Of the tests that can be done at once; where what is off is not kept, that is all, each with its way in."""
        kept = self.shape.keeps_covers
        tests = tuple(place for place, path in enumerate(self._paths) if not (kept and path & ~off))
        if tests not in self._levels:
            self._levels[tests] = self.shape.levels(tests)
        return self._levels[tests]

    def _level_costs(self, off: int) -> list[Floats]:
        """What each test not done costs, way in included, in each state of each level."""
        if off not in self._costs:
            paths = np.array(self._paths, dtype=np.intp)
            ways = (
                (level, paths[level.test] & ~(off | self.shape.opened[level.states])) for level in self._levels_of(off)
            )
            self._costs[off] = [self._cast(self._own[level.test] + self.shape.access[way]) for level, way in ways]
        return self._costs[off]

    def _openings_of(self, off: int) -> list[tuple[float, int]]:
        """What it costs to take off the way to each other place, and where in memory that leads."""
        missing = {path & ~off for path in (*self._paths, *map(self._path, self.shape.repairs))} - {0}
        return [(float(self.shape.access[covers]), self.shape.off.index(off | covers)) for covers in missing]

    def _way_in(self, path: int, known: int) -> Floats:
        """What it costs to get there, in each state of the tests."""
        if (path, known) not in self._ways:
            self._ways[path, known] = self._cast(self.shape.access[path & ~(known | self.shape.opened)])
        return self._ways[path, known]

    def _cast(self, amounts: Floats) -> Floats:
        return np.asarray(amounts, dtype=self._w.dtype)
