"""A policy written out: what to do first, and then for each thing that it may show; money and minutes apart."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property, reduce

from knowngood.engine.troubleshooting.model.amounts import FREE, Price
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.model.tables import Floats, Tables, tables
from knowngood.engine.troubleshooting.policy.moves import (
    SHOP,
    Action,
    Kind,
    State,
    after_repairs,
    after_test,
    price,
    start,
)
from knowngood.engine.troubleshooting.policy.outlook import Choose

GONE, STILL_THERE = "gone", "still there"
# Ours: what happens in fewer than 1 of 100 cases is planned when it happens.
LEAST_SHOWN = 0.01


@dataclass(frozen=True)
class End:
    """Where a branch ends: mended, handed over, or too seldom to be shown further.

    Args:
        chance: Of ending here.
        spent: From the start to here; handed over, with what the shop takes on average. [money, min]
        dearest: The same with the cause that makes the shop dearest.
        shop_chance: Of ending here at the shop.
        cut: Several ends in one, for each of them is too seldom to be shown.
    """

    chance: float
    spent: Price
    dearest: Price
    shop_chance: float = 0.0
    cut: bool = False


@dataclass(frozen=True)
class Step:
    """One thing to do, and what may come of it.

    Args:
        state: Where one stands before it.
        action: What is done.
        chance: Of getting here.
        price: What it takes, the way in included. [money, min]
        branches: What it may show, each with where that leads.
    """

    state: State
    action: Action
    chance: float
    price: Price
    branches: tuple["Branch", ...]


@dataclass(frozen=True)
class Branch:
    """What an action may show.

    Args:
        shows: The outcome of a test; after repairs "gone" or "still there".
        then: What follows.
    """

    shows: str
    then: "Step | End"


@dataclass(frozen=True)
class Tree:
    """A whole policy.

    Args:
        problem: What it was made for.
        root: What to do first; an `End` when that is handing over.
    """

    problem: Problem
    root: Step | End

    @cached_property
    def ends(self) -> tuple[End, ...]:
        """Where all branches end; their chances add up to 1."""
        return _ends(self.root)

    @property
    def action(self) -> Action:
        """What to do first."""
        return self.root.action if isinstance(self.root, Step) else SHOP

    @cached_property
    def expected(self) -> Price:
        """What it takes on average. [money, min]"""
        return _mean(self.ends)

    @property
    def expected_cost(self) -> float:
        """Money and minutes of that as one sum. [money]"""
        return self.problem.cost(self.expected)

    @property
    def worst(self) -> End:
        """The dearest way that it can go, however seldom."""
        return _dearest(self.ends, self.problem)

    @property
    def shop_chance(self) -> float:
        """Chance of ending at the shop."""
        return math.fsum(one.shop_chance for one in self.ends)

    @property
    def steps(self) -> tuple[Step, ...]:
        """All things that may come to be done, each before what follows from it."""
        return tuple(one for one in _walk(self.root) if isinstance(one, Step))

    def chance_of(self, key: str) -> float:
        """Return the chance that a test or repair comes to be done."""
        return sum(step.chance for step in self.steps if key in step.action.keys)

    def shown(self, least: float = LEAST_SHOWN) -> "Tree":
        """Return the tree without branches that are taken less often than that; what they take is kept."""
        return replace(self, root=_cut(self.root, least, self.problem))


def grow(problem: Problem, choose: Choose) -> Tree:
    """Return a policy as a tree, whole.

    Args:
        problem: Causes, tests, repairs, and the quote.
        choose: The policy: what to do at a state.

    Raises:
        ValueError: There is no quote.

    Example:
        >>> from knowngood.engine.troubleshooting.model.amounts import Chance
        >>> from knowngood.engine.troubleshooting.model.parts import Quote, Repair
        >>> from knowngood.engine.troubleshooting.model.problem import suspects
        >>> relay = Repair("relay", "replace the relay", {"relay": Chance(1.0)}, Price(10.0, 15.0))
        >>> hums = Problem(suspects({"relay": 1}, other=0.2), (), (relay,), quote=Quote(Price(200.0, 60.0)))
        >>> tree = grow(hums, lambda state: SHOP if state.tried else Action(Kind.REPAIR, ("relay",)))
        >>> tree.expected, round(tree.shop_chance, 3)
        (Price(money=50.0, minutes=27.0), 0.2)
    """
    numbers = tables(problem)
    return Tree(problem, _Grower(problem, numbers, choose).at(start(problem), numbers.prior, FREE))


def cost_elsewhere(tree: Tree, problem: Problem) -> float:
    """Return what the same policy costs on average when the chances or prices are these instead. [money]

    Args:
        tree: The policy, whole.
        problem: The same causes, tests, outcomes and repairs, with other numbers.

    Raises:
        ValueError: Some branches are not shown, so that what they cost there is unknown.
    """
    if any(one.cut for one in tree.ends):
        raise ValueError("branches were cut, and what they would cost elsewhere is unknown; take the whole tree.")
    numbers = tables(problem)
    shop = numbers.shop_money + numbers.shop_minutes * problem.cost(Price(minutes=1.0))
    return _cost(tree.root, problem, numbers, numbers.prior, shop)


@dataclass(frozen=True)
class _Grower:
    problem: Problem
    numbers: Tables
    choose: Choose

    def at(self, state: State, mass: Floats, spent: Price) -> Step | End:
        if not mass.any():
            return End(0.0, spent, spent)
        action = self.choose(state)
        if action.kind is Kind.SHOP:
            return self._shop(mass, spent)
        takes = price(self.problem, state, action)
        after = spent + takes
        branches = self._shows if action.kind is Kind.TEST else self._mends
        return Step(state, action, float(mass.sum()), takes, branches(state, action, mass, after))

    def _shop(self, mass: Floats, spent: Price) -> End:
        chance = float(mass.sum())
        money, minutes = self.numbers.shop_money, self.numbers.shop_minutes
        each = [Price(float(one), float(other)) for one, other in zip(money, minutes, strict=True)]
        possible = [one for one, weight in zip(each, mass, strict=True) if weight > 0.0]
        mean = Price(float(mass @ money) / chance, float(mass @ minutes) / chance)
        return End(chance, spent + mean, spent + max(possible, key=self.problem.cost), chance)

    def _shows(self, state: State, action: Action, mass: Floats, spent: Price) -> tuple[Branch, ...]:
        (key,) = action.keys
        test = self.problem.test_of[key]
        chances = self.numbers.given[self.problem.tests.index(test)]
        return tuple(
            Branch(word, self.at(after_test(self.problem, state, key, word), mass * row, spent))
            for word, row in zip(test.outcomes, chances, strict=True)
        )

    def _mends(self, state: State, action: Action, mass: Floats, spent: Price) -> tuple[Branch, ...]:
        left = mass * _stays(self.problem, self.numbers, action)
        gone = End(float((mass - left).sum()), spent, spent)
        still = self.at(after_repairs(self.problem, state, action.keys), left, spent)
        return Branch(GONE, gone), Branch(STILL_THERE, still)


def _stays(problem: Problem, numbers: Tables, action: Action) -> Floats:
    """For each cause, the chance that repairs do not end it."""
    rows = [row for row, repair in enumerate(problem.repairs) if repair.key in action.keys]
    found: Floats = (1.0 - numbers.fixes[rows]).prod(axis=0)
    return found


def _cost(node: Step | End, problem: Problem, numbers: Tables, mass: Floats, shop: Floats) -> float:
    if isinstance(node, End):
        return float(mass @ shop)
    own = problem.cost(price(problem, node.state, node.action)) * float(mass.sum())
    if node.action.kind is Kind.REPAIR:
        left = mass * _stays(problem, numbers, node.action)
        return own + _cost(node.branches[1].then, problem, numbers, left, shop)
    chances = numbers.given[[test.key for test in problem.tests].index(node.action.keys[0])]
    return own + sum(
        _cost(branch.then, problem, numbers, mass * row, shop)
        for branch, row in zip(node.branches, chances, strict=True)
    )


def _walk(node: Step | End) -> Iterator[Step | End]:
    yield node
    if isinstance(node, Step):
        for branch in node.branches:
            yield from _walk(branch.then)


def _ends(node: Step | End) -> tuple[End, ...]:
    return tuple(one for one in _walk(node) if isinstance(one, End))


def _mean(ends: tuple[End, ...]) -> Price:
    parts = [Price(one.chance * one.spent.money, one.chance * one.spent.minutes) for one in ends]
    return reduce(Price.__add__, parts, FREE)


def _dearest(ends: tuple[End, ...], problem: Problem) -> End:
    return max((one for one in ends if one.chance > 0.0), key=lambda one: problem.cost(one.dearest))


def _cut(node: Step | End, least: float, problem: Problem) -> Step | End:
    if node.chance < least:
        return _as_end(node, problem)
    if isinstance(node, End):
        return node
    return replace(node, branches=tuple(Branch(one.shows, _cut(one.then, least, problem)) for one in node.branches))


def _as_end(node: Step | End, problem: Problem) -> End:
    ends = _ends(node)
    if node.chance == 0.0:
        return replace(ends[0], cut=True)
    mean = _mean(ends)
    spent = Price(mean.money / node.chance, mean.minutes / node.chance)
    return End(
        node.chance, spent, _dearest(ends, problem).dearest, math.fsum(one.shop_chance for one in ends), cut=True
    )
