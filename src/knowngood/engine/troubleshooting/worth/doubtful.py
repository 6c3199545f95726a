"""A doubtful part within reach: what it takes to replace it now, and what it takes if it fails later."""

import math
from dataclasses import dataclass

from knowngood.engine.judgement import Estimate
from knowngood.engine.troubleshooting.model.amounts import FREE, Chance, Price
from knowngood.engine.troubleshooting.model.safety import SafetyKind

# Ours: 1 new part or its fitting in 100 is bad. Nobody publishes it for a part at hand; it may be stated instead.
BAD_NEW = 0.01


def as_chance(known: float | Chance | Estimate) -> Chance:
    """Return a probability with its range, from whichever way it is known.

    Args:
        known: A probability, one with a range, or an Estimate of one: of that 19 times out of 20 are kept.

    Raises:
        ValueError: Not between 0 and 1.

    Example:
        >>> from knowngood.engine.judgement import Row
        >>> found = as_chance(Estimate(0.05, "1", (Row("of 10 vehicles", 0.05),)))
        >>> found.value, found.low, round(found.high, 3)
        (0.05, 0.0, 0.148)
    """
    if isinstance(known, Chance):
        return known
    if not isinstance(known, Estimate):
        return Chance(known)
    value = min(1.0, max(0.0, known.value))
    low, high = known.interval()
    return Chance(value, min(value, max(0.0, low)), max(value, min(1.0, high)))


@dataclass(frozen=True)
class Wear:
    """How a part of this sort wears out; age, horizon and life in one unit, such as 1000 km or months.

    Args:
        age: How much it has behind it.
        horizon: For how long it is to hold.
        life: Weibull's characteristic life: 63 % have failed by then.
        shape: Weibull's; above 1 it wears out, at 1 it fails at random, below 1 it fails young.

    Raises:
        ValueError: An age below zero, or another of them that is not above zero.

    Example:
        >>> round(Wear(age=90, horizon=30, life=150, shape=3).chance, 4)
        0.2562
    """

    age: float
    horizon: float
    life: float
    shape: float

    def __post_init__(self) -> None:
        for what, amount in (("age", self.age), ("horizon", self.horizon), ("life", self.life), ("shape", self.shape)):
            if not 0.0 <= amount < math.inf or (amount == 0.0 and what != "age"):
                raise ValueError(f"wear with {what} {amount:g}; it must be above 0, and an age may be 0. Mend it.")

    @property
    def chance(self) -> float:
        """Chance that the part, sound today, fails within the horizon.

        Source:
            NELSON_1982, R(T + t) / R(T).
        """
        return self._within_horizon_from(self.age)

    @property
    def chance_new(self) -> float:
        """Chance that a new one fails within the same horizon."""
        return self._within_horizon_from(0.0)

    def _within_horizon_from(self, age: float) -> float:
        end, begin = ((age + self.horizon) / self.life) ** self.shape, (age / self.life) ** self.shape
        return -math.expm1(begin - end)


@dataclass(frozen=True)
class DoubtfulPart:
    """A part within reach about which nobody is sure.

    Args:
        replace: The new part, and the extra minutes now that it is within reach.
        access: Getting to it again later: opening, closing, fluid, gasket.
        damage: What it breaks, or the tow, if it fails first.
        replace_later: The new part and its minutes later, when that differs from now.
        life_left: What the old part's remaining life is worth, saved when it is replaced. [money]
        bad_new: Chance that the new part or its fitting is bad.
        wear: How it wears out; None when only the doubt counts.
        safety: The safety system that it belongs to; then no price is weighed.

    Raises:
        ValueError: A chance that is not between 0 and 1, or a credit below zero.
    """

    replace: Price = FREE
    access: Price = FREE
    damage: Price = FREE
    replace_later: Price | None = None
    life_left: float = 0.0
    bad_new: float = BAD_NEW
    wear: Wear | None = None
    safety: SafetyKind | None = None

    def __post_init__(self) -> None:
        if not 0.0 <= self.bad_new <= 1.0:
            raise ValueError(f"a chance of {self.bad_new:g} that the new part is bad; it lies between 0 and 1.")
        if not 0.0 <= self.life_left < math.inf:
            raise ValueError(f"{self.life_left:g} for the life that is left in it; write 0 when it is worth nothing.")

    @property
    def reopening(self) -> Price:
        """What replacing it later takes, when nothing has broken yet."""
        return self.access + (self.replace if self.replace_later is None else self.replace_later)

    @property
    def failure(self) -> Price:
        """What it takes when it fails later."""
        return self.reopening + self.damage

    @property
    def wears_out(self) -> float:
        """Chance that it fails within the horizon although it is sound today."""
        return self.wear.chance if self.wear else 0.0

    @property
    def new_one_fails(self) -> float:
        """Chance that the new one fails within the horizon: bad from the start, or worn like the old one."""
        worn = self.wear.chance_new if self.wear else 0.0
        return 1.0 - (1.0 - self.bad_new) * (1.0 - worn)


def break_even(part: DoubtfulPart, *, rate_per_hour: float) -> float | None:
    """Return the probability of failing above which replacing now costs less than closing and watching.

    With S for what a failure takes later, p* = (C - R + e S) / S.

    Args:
        part: With its prices; the wear of a new one counts as e.
        rate_per_hour: What an hour of the person is worth to them. [money/h]

    Returns:
        The probability that the part is bad or fails within the horizon; None when one of the two is cheaper
        throughout.

    Raises:
        ValueError: A safety part: it has none.

    Example:
        >>> part = DoubtfulPart(Price(35.0), access=Price(160.0), damage=Price(120.0))
        >>> round(break_even(part, rate_per_hour=0.0), 4)
        0.1211
    """
    if part.safety:
        raise ValueError(f"{part.safety.value} have no break-even: a part in doubt is replaced or handed over.")
    failure = part.failure.cost(rate_per_hour)
    if failure == 0.0:
        return None
    now = part.replace.cost(rate_per_hour) - part.life_left
    found = now / failure + part.new_one_fails
    return found if 0.0 <= found <= 1.0 else None


@dataclass(frozen=True)
class CheapTest:
    """A test that says, not surely, whether the part is bad.

    Args:
        price: What it takes.
        sensitivity: Chance that it shows a bad part.
        specificity: Chance that it keeps silent about a good one.

    Raises:
        ValueError: A chance that is not between 0 and 1.
    """

    price: Price
    sensitivity: float
    specificity: float

    def __post_init__(self) -> None:
        for what, chance in (("shows a bad part", self.sensitivity), ("is silent about a good one", self.specificity)):
            if not 0.0 <= chance <= 1.0:
                raise ValueError(f"a test that {what} with a chance of {chance:g}; it lies between 0 and 1.")
