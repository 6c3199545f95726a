"""Rules of thumb that look one step ahead: quick at any size, near the best as a rule, and with no promise."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from operator import or_

import numpy as np

from knowngood.engine.troubleshooting.model.parts import Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.model.tables import Floats, tables
from knowngood.engine.troubleshooting.policy.moves import SHOP, Action, Kind, State, start
from knowngood.engine.troubleshooting.policy.ratio import Try, bottom_up, by_ratio
from knowngood.engine.troubleshooting.policy.shape import Shape

# Ours: a test must promise more than the last digits of a sum to be worth the trouble.
WORTH = 1e-9


@dataclass(frozen=True)
class _Option:
    """A test or repair in numbers.

    Args:
        key: Its key.
        cost: Its own, without the way in. [money]
        way: Covers to take off, the outermost first.
        path: The same as bits.
        chances: Of a test, each outcome (row) with each cause (column); of a repair, one row, that it does not help.
        closes: The check after it needs everything closed.
    """

    key: str
    cost: float
    way: tuple[str, ...]
    path: int
    chances: Floats
    closes: bool = False


@dataclass(frozen=True)
class _Here:
    """A state in numbers: chances not divided by their sum, what is not done yet, and the covers that are off."""

    mass: Floats
    tests: tuple[_Option, ...]
    repairs: tuple[_Option, ...]
    off: int


@dataclass(frozen=True)
class _Run:
    """Repairs one after the other and then the shop: what that costs, times the chance of being here, and the first."""

    cost: float
    first: tuple[str, ...]


class ByRatio:
    """The policy of repairs by chance over cost, without tests, until handing over is cheaper; planned anew each time.

    Args:
        problem: Causes, repairs, covers, and the quote.
        covers: Count the way in, shared by what lies behind the same cover; else be blind to covers.

    Raises:
        ValueError: There is no quote.

    Source:
        HECKERMAN_1995; with covers OTTOSEN_JENSEN.
    """

    def __init__(self, problem: Problem, *, covers: bool = True) -> None:
        self._numbers = _Numbers(problem)
        self._covers = covers

    def next(self, state: State | None = None) -> Action:
        """Return what to do at a state; at the start when left out."""
        here = self._numbers.here(state)
        return _repair(self._numbers.run(here, self._numbers.order(here, covers=self._covers)))


class Myopic:
    """The policy of the test that pays most if no other followed it, else the next repair; planned anew each time.

    Each test is weighed as if only repairs came after it, with the way in shared. Where no test pays, the next of those
    repairs is done. It cannot see that two tests together may pay when each alone does not.

    Args:
        problem: Causes, tests, repairs, covers, and the quote.
        least: Where fewer get to than that, no test is weighed any more.

    Raises:
        ValueError: There is no quote.

    Source:
        HECKERMAN_1995, one step of looking ahead.

    Example:
        >>> from knowngood.engine.troubleshooting.model.amounts import Chance, Price
        >>> from knowngood.engine.troubleshooting.model.parts import Quote
        >>> from knowngood.engine.troubleshooting.model.problem import suspects
        >>> causes = suspects({"relay": 1, "pump": 1}, other=0.1)
        >>> swaps = [Repair(key, key, {key: Chance(1.0)}, Price(80.0)) for key in ("relay", "pump")]
        >>> click = Test.shows("click", "clicks", {"relay": Chance(0.1)}, Chance(0.9), price=Price(5.0))
        >>> Myopic(Problem(causes, (click,), tuple(swaps), quote=Quote(Price(400.0)))).next()
        Action(kind=<Kind.TEST: 'test'>, keys=('click',))
    """

    def __init__(self, problem: Problem, *, least: float = 0.0) -> None:
        self._numbers = _Numbers(problem)
        self._least = least

    def next(self, state: State | None = None) -> Action:
        """Return what to do at a state; at the start when left out."""
        here = self._numbers.here(state)
        without = self._best_run(here)
        tests = here.tests if float(here.mass.sum()) >= self._least else ()
        costs = {test.key: self._with(here, test) for test in tests}
        best = min(costs, key=lambda key: costs[key], default=None)
        if best is None or costs[best] >= without.cost * (1.0 - WORTH):
            return _repair(without)
        return Action(Kind.TEST, (best,))

    def _best_run(self, here: _Here) -> _Run:
        return self._numbers.run(here, self._numbers.order(here, covers=True), several=True)

    def _with(self, here: _Here, test: _Option) -> float:
        """Return what a test and repairs after it cost, times the chance of being here. [money]"""
        left = tuple(one for one in here.tests if one.key != test.key)
        after = replace(here, tests=left, off=here.off | test.path)
        own = (test.cost + self._numbers.access(test.path, here.off)) * float(here.mass.sum())
        return own + sum(self._best_run(replace(after, mass=here.mass * row)).cost for row in test.chances)


def _repair(run: _Run) -> Action:
    return Action(Kind.REPAIR, run.first) if run.first else SHOP


class _Numbers:
    """A problem in the numbers that rules of thumb need."""

    def __init__(self, problem: Problem) -> None:
        self._shape, numbers = Shape(problem), tables(problem)
        self._problem, self._prior = problem, numbers.prior
        self._shop = numbers.shop_money + numbers.shop_minutes / 60.0 * problem.rate_per_hour
        self._check = problem.cost(problem.check)
        self._way_in = {one.key: problem.cost(problem.access([one.key], ())) for one in problem.covers}
        given = {test.key: rows for test, rows in zip(problem.tests, numbers.given, strict=True)}
        stays = {repair.key: 1.0 - row for repair, row in zip(problem.repairs, numbers.fixes, strict=True)}
        self._given, self._stays = given, stays
        self._tests = [self._option(test, given[test.key]) for test in self._shape.tests]
        self._repairs = [self._option(repair, stays[repair.key][None, :]) for repair in self._shape.repairs]

    def _option(self, thing: Test | Repair, chances: Floats) -> _Option:
        way = tuple(sorted(self._problem.path(thing.cover), key=lambda key: len(self._problem.path(key))))
        closes = isinstance(thing, Repair) and thing.needs_closed_check
        cost = self._problem.cost(self._problem.own_price(thing))
        return _Option(thing.key, cost, way, self._shape.mask(frozenset(way)), chances, closes)

    def access(self, path: int, off: int) -> float:
        """Return what it costs to take off the covers that are on. [money]"""
        return float(self._shape.access[path & ~off])

    def here(self, at: State | None) -> _Here:
        """Return a state in numbers; the start when left out."""
        state = start(self._problem) if at is None else at
        mass = self._prior
        for key, outcome in sorted(state.shown):
            mass = mass * self._given[key][self._problem.test_of[key].outcome(outcome)]
        for key in sorted(state.tried):
            mass = mass * self._stays[key]
        done = {key for key, _ in state.shown}
        tests = tuple(one for one in self._tests if one.key not in done)
        repairs = tuple(one for one in self._repairs if one.key not in state.tried)
        return _Here(mass, tests, repairs, self._shape.mask(state.off))

    def order(self, here: _Here, *, covers: bool) -> list[_Option]:
        """Return the repairs left in the order of chance over cost."""
        tries = [self._try(one, here) for one in here.repairs]
        keys = bottom_up(tries, self._way_in) if covers else by_ratio(tries)
        options = {one.key: one for one in here.repairs}
        return [options[key] for key in keys]

    def _try(self, one: _Option, here: _Here) -> Try:
        """A repair whose check needs all closed shares its way in with nothing that follows."""
        chance = float(here.mass @ (1.0 - one.chances[0]))
        if one.closes:
            return Try(one.key, chance, one.cost + self._check + self.access(one.path, here.off))
        closed = tuple(key for key in one.way if not self._shape.mask(frozenset({key})) & here.off)
        return Try(one.key, chance, one.cost + self._check, closed)

    def run(self, here: _Here, order: Sequence[_Option], *, several: bool = False) -> _Run:
        """Return the cheapest way to do the first few of some repairs in their order, then hand over.

        Args:
            here: Where one stands.
            order: The repairs.
            several: Neighbours may be done before one check, where that saves a check or a closing.
        """
        masses = [here.mass]
        for one in order:
            masses.append(masses[-1] * one.chances[0])
        reached: list[tuple[float, int, tuple[str, ...]]] = [(0.0, here.off, ())]
        for end in range(1, len(order) + 1):
            ways = []
            for begin, group in _groups(order, end, self._check > 0.0, several):
                cost, off, first = reached[begin]
                path = reduce(or_, (one.path for one in group))
                own = sum(one.cost for one in group) + self._check + self.access(path, off)
                after = 0 if any(one.closes for one in group) else off | path
                keys = self._in_order(group) if begin == 0 else first
                ways.append((cost + own * float(masses[begin].sum()), after, keys))
            reached.append(min(ways))
        totals = [way[0] + float(mass @ self._shop) for way, mass in zip(reached, masses, strict=True)]
        best = int(np.argmin(totals))
        return _Run(totals[best], reached[best][2])

    def _in_order(self, group: Sequence[_Option]) -> tuple[str, ...]:
        keys = {one.key for one in group}
        return tuple(one.key for one in self._repairs if one.key in keys)


def _groups(order: Sequence[_Option], end: int, check: bool, several: bool) -> Iterator[tuple[int, Sequence[_Option]]]:
    """Yield where a group of neighbours that ends here may begin, with the group; alone first."""
    yield end - 1, order[end - 1 : end]
    for begin in range(end - 2, -1, -1) if several else ():
        group = order[begin:end]
        if not (check or all(one.closes for one in group)):
            return
        yield begin, group
