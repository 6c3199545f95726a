"""Probabilities with their range, and prices in money and minutes."""

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Chance:
    """A probability with the range in which it may lie.

    Args:
        value: The one that is calculated with.
        low: Lowest that is believable; None when it is the value itself.
        high: Highest that is believable; None when it is the value itself.

    Raises:
        ValueError: Not between 0 and 1, or the value outside its range.

    Example:
        >>> Chance(0.8, 0.6, 0.9).complement
        Chance(value=0.2, low=0.1, high=0.4)
    """

    value: float
    low: float | None = None
    high: float | None = None

    def __post_init__(self) -> None:
        if not 0.0 <= self.lowest <= self.value <= self.highest <= 1.0:
            raise ValueError(
                f"a probability of {self.value:g} between {self.lowest:g} and {self.highest:g}; "
                "it lies between 0 and 1, in its range. Write 8 of 10 as 0.8."
            )

    @property
    def lowest(self) -> float:
        """The lower end, which is the value itself when there is no range."""
        return self.value if self.low is None else self.low

    @property
    def highest(self) -> float:
        """The upper end, which is the value itself when there is no range."""
        return self.value if self.high is None else self.high

    @property
    def complement(self) -> "Chance":
        """The chance that it does not happen, free of the last digits that a difference leaves."""
        value, low, high = (None if one is None else round(1.0 - one, 15) for one in (self.value, self.high, self.low))
        return Chance(value or 0.0, low, high)


@dataclass(frozen=True)
class Price:
    """What something takes; money and the person's own minutes stay apart.

    Args:
        money: Parts, fluids, gaskets. [money]
        minutes: Of the person's own time. [min]

    Raises:
        ValueError: Below zero or no number.

    Example:
        >>> (Price(20.0, 30.0) + Price(5.0)).cost(rate_per_hour=12.0)
        31.0
    """

    money: float = 0.0
    minutes: float = 0.0

    def __post_init__(self) -> None:
        for what, amount in (("money", self.money), ("minutes", self.minutes)):
            if not 0.0 <= amount < math.inf:
                raise ValueError(f"{amount:g} {what}; a price is zero or more. Leave it out when there is none.")

    def __add__(self, other: "Price") -> "Price":
        return Price(self.money + other.money, self.minutes + other.minutes)

    def cost(self, rate_per_hour: float) -> float:
        """Return both in money, at what an hour of the person is worth to them. [money]"""
        return self.money + self.minutes / 60.0 * rate_per_hour


FREE = Price()
