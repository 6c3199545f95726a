"""How firmly the next action stands: at which chances and prices it stays the best, which word is worth asking."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from knowngood.acts.suspects import Suspected
from knowngood.acts.suspects_plan import Plan
from knowngood.engine.troubleshooting.numbers import Kind, Number, chances, prices, words
from knowngood.engine.troubleshooting.problem import Problem
from knowngood.engine.troubleshooting.ranges import Range, ranges, worth_asking
from knowngood.engine.troubleshooting.shape import Shape

# Ours: how large a problem may be that is solved some hundred times over, and how often for one number at the most.
MOST_CELLS, MOST_SOLVED = 300_000, 5


@dataclass(frozen=True)
class Firm:
    """How firmly the next action stands.

    Args:
        asked: Words whose doubt changes it, the one that could cost most first.
        ranges: Of each chance and price, what it makes the best to do next.
        settled: Every word, chance and price was looked at.
    """

    asked: tuple[Range, ...] = ()
    ranges: tuple[Range, ...] = ()
    settled: bool = False


def firm(found: Suspected, plan: Plan) -> Iterator[Firm]:
    """Yield how firmly the next action of a plan stands, ever more of it: the words first, then chances and prices.

    Args:
        found: What could be wrong.
        plan: Its plan; of one that is not exact, or too large to be solved many times over, nothing can be told.
    """
    words_found: list[Range] = []
    ranges_found: list[Range] = []
    if plan.exact and Shape(plan.problem).cells <= MOST_CELLS:
        stated, findings = _stated(found, plan), [one.found.evidence for one in found.evidence if not one.found.told_by]
        for word in ranges(stated, _sayable(stated), findings, most=MOST_SOLVED):
            words_found.append(word)
            yield Firm(tuple(worth_asking(words_found)))
        for one in ranges(plan.problem, (*chances(plan.problem), *prices(plan.problem)), most=MOST_SOLVED):
            ranges_found.append(one)
            yield Firm(tuple(worth_asking(words_found)), tuple(ranges_found))
    yield Firm(tuple(worth_asking(words_found)), tuple(ranges_found), settled=True)


def _sayable(problem: Problem) -> Iterator[Number]:
    """Words that a person can say better: how often a test shows something, how surely a repair mends."""
    return (one for one in words(problem) if one.kind in (Kind.SHOWS, Kind.FIXES))


def _stated(found: Suspected, plan: Plan) -> Problem:
    """The problem before the findings, without tests that would only show again what one of their group has shown."""
    kept = plan.problem.test_of.keys() | {one.found.key for one in found.evidence if one.found.told_by is None}
    problem = found.problem
    gone = problem.test_of.keys() - kept
    return replace(
        problem, tests=tuple(one for one in problem.tests if one.key in kept), free=problem.free - gone
    )  # fmt: skip
