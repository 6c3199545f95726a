"""At the open cover: replace the doubtful part now, test more, close and watch, or hand over."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import Any

import numpy as np

from knowngood.engine.judgement import Estimate
from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.model.safety import SafetyKind, caution
from knowngood.engine.troubleshooting.worth.doubtful import CheapTest, DoubtfulPart, as_chance, break_even
from knowngood.engine.troubleshooting.worth.envelope import Line, lower_envelope

Array = np.ndarray[Any, np.dtype[np.float64]]
# Ours: places along the picture; the flips are added, so that corners are drawn where they are.
PICTURE_POINTS = 101


class Option(StrEnum):
    """What can be done."""

    REPLACE = "replace now"
    TEST = "test more"
    WATCH = "close and watch"
    HAND_OVER = "hand over"


@dataclass(frozen=True)
class Plan:
    """An option, with what follows from it.

    Args:
        option: What to do now.
        later_test: Watching includes the test that can be made with the cover closed.
        if_shows: What to do when the test says that the part is bad; None when nothing is tested now.
        if_silent: What to do when it says nothing.
    """

    option: Option
    later_test: bool = False
    if_shows: "Plan | None" = None
    if_silent: "Plan | None" = None


@dataclass(frozen=True)
class Stretch:
    """Probabilities over which one plan costs least. [probability that the part is bad]"""

    plan: Plan
    low: float
    high: float


@dataclass(frozen=True)
class OptionCost:
    """What an option is expected to cost, by the best plan that begins with it.

    Args:
        plan: That plan.
        money: Expected; the saved life of the old part is taken off. [money]
        minutes: Expected, of the person's own time. [min]
        total: Both, at the person's rate. [money]
    """

    plan: Plan
    money: float
    minutes: float
    total: float

    @property
    def option(self) -> Option:
        """What to do now."""
        return self.plan.option


@dataclass(frozen=True)
class Picture:
    """Expected cost against the probability that the part is bad.

    Args:
        probability: Rising from 0 to 1, the flips among them.
        total: For each option, its cost at each of these. [money]
    """

    probability: Array
    total: Mapping[Option, Array]


@dataclass(frozen=True)
class Decision:
    """What to do about a doubtful part.

    Args:
        plan: What costs least at the probability given.
        chance: That probability, with its range.
        failing: Probability that it is bad or wears out within the horizon.
        options: What each option costs there, the cheapest first.
        stretches: From probability 0 to 1, which plan costs least.
        break_even: Value of `failing` above which replacing now beats plain watching; None when one of the two
            is cheaper throughout.
        picture: To draw.
    """

    plan: Plan
    chance: Chance
    failing: float
    options: tuple[OptionCost, ...]
    stretches: tuple[Stretch, ...]
    break_even: float | None
    picture: Picture

    @property
    def advice(self) -> Option:
        """The one advice."""
        return self.plan.option

    @property
    def flips_at(self) -> tuple[float, ...]:
        """Probabilities that the part is bad at which the advice becomes another."""
        return tuple(one.low for before, one in pairwise(self.stretches) if before.plan.option != one.plan.option)

    @property
    def advices_in_range(self) -> tuple[Option, ...]:
        """Every option that is the cheapest somewhere in the range of the probability, from its low end up."""
        inside = (
            one.plan.option
            for one in self.stretches
            if one.low <= self.chance.highest and (one.high > self.chance.lowest or one.high == 1.0)
        )
        return tuple(dict.fromkeys(inside))

    @property
    def same_over_range(self) -> bool:
        """Is the advice the same wherever in its range the probability lies?"""
        return len(self.advices_in_range) == 1


@dataclass(frozen=True)
class SafetyDecision:
    """A safety part in doubt: replaced or handed over, nothing is weighed.

    Args:
        kind: What it belongs to.
        advice: Replace it, or hand over where that is not the person's work.
        says: The sentence that stands there.
    """

    kind: SafetyKind
    advice: Option
    says: str


def safety_decision(kind: SafetyKind, *, own_work: bool = True) -> SafetyDecision:
    """Return what is done about a safety part in doubt.

    Args:
        kind: What it belongs to.
        own_work: The person has part, tools, manual and the right to do it.

    Example:
        >>> safety_decision(SafetyKind.STEERING, own_work=False).advice
        <Option.HAND_OVER: 'hand over'>
    """
    return SafetyDecision(kind, Option.REPLACE if own_work else Option.HAND_OVER, caution(kind, own_work=own_work))


def decide(
    part: DoubtfulPart,
    bad: float | Chance | Estimate,
    *,
    rate_per_hour: float,
    test: CheapTest | None = None,
    later_test: CheapTest | None = None,
    quote: Price | None = None,
) -> Decision | SafetyDecision:
    """Return what to do about a doubtful part within reach: one advice, what each option costs, and where it flips.

    Each plan costs in straight proportion to the probability, so the flips are exact, however many there are.

    Args:
        part: With its prices.
        bad: Probability that the part is bad, after all tests so far.
        rate_per_hour: What an hour of the person is worth to them. [money/h]
        test: One that can be made now, at the open cover; it shows what is bad today, not what wears out later.
        later_test: One that can be made with the cover closed, in time before the part breaks anything.
        quote: What a shop asks to take over from here; None when nobody asked.

    Returns:
        The decision; for a safety part without any arithmetic.

    Raises:
        ValueError: A probability that is not between 0 and 1, or an hourly rate below zero.

    Example:
        >>> part = DoubtfulPart(Price(35.0), access=Price(160.0), damage=Price(120.0))
        >>> found = decide(part, Chance(0.2, 0.1, 0.4), rate_per_hour=0.0)
        >>> found.advice, [round(flip, 4) for flip in found.flips_at], found.same_over_range
        (<Option.REPLACE: 'replace now'>, [0.1211], False)
    """
    if part.safety:
        return safety_decision(part.safety)
    if not 0.0 <= rate_per_hour < np.inf:
        raise ValueError(f"an hour worth {rate_per_hour:g}; it is zero or more. Write 0 when time is free.")
    chance = as_chance(bad)
    plans = _plans(part, test, later_test, quote)
    lines = [_line(costs @ (1.0, rate_per_hour / 60.0), part.wears_out) for costs in plans.values()]
    ways = list(plans)
    stretches = tuple(Stretch(ways[one.index], one.low, one.high) for one in lower_envelope(lines, 0.0, 1.0))
    plan = next(one.plan for one in stretches if chance.value < one.high or one.high == 1.0)
    options = _option_costs(plans, lines, chance.value, part.wears_out)
    picture = _picture(ways, lines, [one.low for one in stretches])
    failing = 1.0 - (1.0 - chance.value) * (1.0 - part.wears_out)
    even = break_even(part, rate_per_hour=rate_per_hour)
    return Decision(plan, chance, failing, options, stretches, even, picture)


def cheapest(
    part: DoubtfulPart,
    bad: float,
    *,
    rate_per_hour: float,
    test: CheapTest | None = None,
    later_test: CheapTest | None = None,
    quote: Price | None = None,
) -> Option:
    """Return the option of the plan that costs least at one probability: the advice of `decide`, and no more.

    Args:
        part: With its prices; none that safety hangs on.
        bad: Probability that the part is bad.
        rate_per_hour: What an hour of the person is worth to them. [money/h]
        test: As for `decide`.
        later_test: As for `decide`.
        quote: As for `decide`.

    Example:
        >>> cheapest(DoubtfulPart(Price(35.0), access=Price(160.0), damage=Price(120.0)), 0.2, rate_per_hour=0.0)
        <Option.REPLACE: 'replace now'>
    """
    plans, masses = _plans(part, test, later_test, quote), _masses(bad, part.wears_out)
    totals = {plan: float(masses @ costs @ (1.0, rate_per_hour / 60.0)) for plan, costs in plans.items()}
    return min(totals, key=totals.__getitem__).option


def _plans(
    part: DoubtfulPart, test: CheapTest | None, later_test: CheapTest | None, quote: Price | None
) -> dict[Plan, Array]:
    """Money and minutes (columns) of each plan if the part is bad, sound but worn out in time, sound (rows)."""
    failure, reopening, new = _pair(part.failure), _pair(part.reopening), _pair(part.replace)
    replaced = new - (part.life_left, 0.0) + part.new_one_fails * failure
    found = {
        Plan(Option.REPLACE): np.array([replaced, replaced, replaced]),
        Plan(Option.WATCH): np.array([failure, failure, 0.0 * failure]),
    }
    if later_test:
        hit, false_alarm = later_test.sensitivity, 1.0 - later_test.specificity
        fails = hit * reopening + (1.0 - hit) * failure
        by_state = np.array([fails, fails, false_alarm * reopening])
        found[Plan(Option.WATCH, later_test=True)] = _pair(later_test.price) + by_state
    if quote is not None:
        found[Plan(Option.HAND_OVER)] = np.array([_pair(quote)] * 3)
    if test:
        shows = np.array([[test.sensitivity], [1.0 - test.specificity], [1.0 - test.specificity]])
        found |= {
            Plan(Option.TEST, if_shows=one, if_silent=other): _pair(test.price) + shows * first + (1.0 - shows) * second
            for one, first in found.items()
            for other, second in found.items()
            if one != other
        }
    return found


def _pair(price: Price) -> Array:
    return np.array([price.money, price.minutes])


def _masses(bad: float, wears_out: float) -> Array:
    """Probabilities of bad, sound but worn out in time, sound."""
    return np.array([bad, (1.0 - bad) * wears_out, (1.0 - bad) * (1.0 - wears_out)])


def _line(totals: Array, wears_out: float) -> Line:
    at_zero, at_one = (float(_masses(bad, wears_out) @ totals) for bad in (0.0, 1.0))
    return Line(at_zero, at_one - at_zero)


def _option_costs(
    plans: Mapping[Plan, Array], lines: list[Line], bad: float, wears_out: float
) -> tuple[OptionCost, ...]:
    cheapest: dict[Option, OptionCost] = {}
    for (plan, costs), line in zip(plans.items(), lines, strict=True):
        money, minutes = _masses(bad, wears_out) @ costs
        this = OptionCost(plan, float(money), float(minutes), line.at(bad))
        before = cheapest.get(plan.option)
        cheapest[plan.option] = this if before is None or this.total < before.total else before
    return tuple(sorted(cheapest.values(), key=lambda one: one.total))


def _picture(ways: list[Plan], lines: list[Line], corners: list[float]) -> Picture:
    probability = np.union1d(np.linspace(0.0, 1.0, PICTURE_POINTS), corners)
    total: dict[Option, Array] = {}
    for plan, line in zip(ways, lines, strict=True):
        this = line.at_zero + line.slope * probability
        total[plan.option] = np.minimum(total[plan.option], this) if plan.option in total else this
    return Picture(probability, total)
