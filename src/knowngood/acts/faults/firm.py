"""How firmly the next action stands: at which chances and prices it stays the best, which word is worth asking."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from knowngood.acts.faults.plan import Plan
from knowngood.acts.faults.said import sayable
from knowngood.acts.faults.suspects import Suspected
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.policy.shape import Shape
from knowngood.engine.troubleshooting.ranges.numbers import chances, prices
from knowngood.engine.troubleshooting.ranges.stretches import Range, Stretch, ranges, worth_asking

# Ours: how large a problem may be that is solved some hundred times over beside the pages; how often for one word, as
# it is and at both ends of its range; and how often for one chance or price at the most.
MOST_CELLS, WORD_SOLVED, MOST_SOLVED = 4_000_000, 3, 5
# Ours: a word that can cost less than this, in the owner's own money, is not worth a question.
LEAST_LOSS = 1.0


@dataclass(frozen=True)
class Firm:
    """How firmly the next action stands.

    Args:
        words: Of each word that leaves a range, what it makes the best to do next; None while not all were looked at.
        ranges: The same of each chance and price, those looked at by now.
        settled: No further one will be looked at.
    """

    words: tuple[Range, ...] | None = None
    ranges: tuple[Range, ...] = ()
    settled: bool = False

    @property
    def asked(self) -> tuple[Range, ...]:
        """Words whose doubt is worth a question, the one that could cost most first."""
        return tuple(one for one in worth_asking(self.words or ()) if one.loss >= LEAST_LOSS)


def firm(found: Suspected, plan: Plan) -> Iterator[Firm]:
    """Yield how firmly the next action of a plan stands, ever more of it: the words first, then chances and prices.

    Args:
        found: What could be wrong.
        plan: Its plan; of one that is not exact, or too large to be solved many times over, nothing can be told.
    """
    if not plan.exact or Shape(plan.problem).cells > MOST_CELLS:
        yield Firm(settled=True)
        return
    stated, findings = _stated(found, plan), [one.found.evidence for one in found.evidence if not one.found.told_by]
    words: list[Range] = []
    for word in ranges(stated, sayable(stated), findings, most=WORD_SOLVED):
        words.append(word)
        yield Firm()
    told: list[Range] = []
    numbers = (*chances(plan.problem), *prices(plan.problem))
    for one in ranges(plan.problem, numbers, most=MOST_SOLVED):
        told.append(one)
        yield Firm(tuple(words), tuple(told))
    yield Firm(tuple(words), tuple(told), settled=True)


def stays(one: Range) -> Stretch | None:
    """Return the whole stretch around a number as it is over which the next action stays the best.

    Returns:
        The stretch, proved when all of it is; None where another action is as good.
    """
    value = one.number.value
    at = next((place for place, each in enumerate(one.stretches) if _is_here(one, each, value)), None)
    if at is None:
        return None
    first = last = at
    while first > 0 and one.stretches[first - 1].action == one.action:
        first -= 1
    while last + 1 < len(one.stretches) and one.stretches[last + 1].action == one.action:
        last += 1
    whole = one.stretches[first : last + 1]
    return Stretch(one.action, whole[0].low, whole[-1].high, all(each.proved for each in whole))


def _is_here(one: Range, stretch: Stretch, value: float) -> bool:
    return stretch.action == one.action and stretch.low <= value <= stretch.high


def _stated(found: Suspected, plan: Plan) -> Problem:
    """The problem before the findings, without tests that would only show again what one of their group has shown."""
    kept = plan.problem.test_of.keys() | {one.found.key for one in found.evidence if one.found.told_by is None}
    problem = found.problem
    gone = problem.test_of.keys() - kept
    return replace(
        problem, tests=tuple(one for one in problem.tests if one.key in kept), free=problem.free - gone
    )  # fmt: skip
