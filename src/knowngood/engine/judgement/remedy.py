"""Something that could be done about an estimate, and what is told of it."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Shown:
    """What readings beside show of how large some errors are.

    Args:
        readings: How many.
        usual: The share of today's size that is usual beside what they show. [1]
        cut: How many times as wide as it is a bound that follows from the size would be today, were it not cut off. [1]
    """

    readings: int
    usual: float = 1.0
    cut: float = 1.0


@dataclass(frozen=True)
class Remedy:
    """Something that could be done about an estimate.

    Args:
        key: The name that rows refer to it by.
        says: What to do, for the mechanic.
        minutes: Working time. [min]
        money: What it costs, in the owner's own money; None when nobody stated it.
        after: Row key to the standard contribution that is left afterwards; a key that the estimate lacks is an error
            that comes in with the remedy, such as another instrument's. [unit of the estimate]
        scaled: Row key to how many times today's the same error counts afterwards, where that is not once.
        eased: Row key to the share of its standard contribution that is left, where a part of its own goes and the rest
            stays the same error: of readings by a finer display, what is not its steps. [1]
        looked_up: Row key to the least and the most share of its size that may be left, where nothing is read anew and
            the error stays the same: only how large it can be comes to be known, such as from a data sheet. [1]
        shown: What shows how large the rows' errors are, which stay the same; None where nothing does.
        repeats: How many readings there were, and how many more are made; None where none are made again.
        grid: In which steps the value can move then, for a display that is read anew shows no more; 0 in any. [unit]
    """

    key: str
    says: str
    minutes: float
    after: Mapping[str, float]
    money: float | None = 0.0
    scaled: Mapping[str, float] = field(default_factory=dict)
    eased: Mapping[str, float] = field(default_factory=dict)
    looked_up: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    shown: Shown | None = None
    repeats: tuple[int, int] | None = None
    grid: float = 0.0

    @property
    def moves(self) -> bool:
        """Is anything read anew, so that the value moves?"""
        return self.shown is None and not set(self.after) <= set(self.looked_up)


@dataclass(frozen=True)
class Settle:
    """A remedy, the chance of a clear verdict after it, and the standard uncertainty that it would leave. [unit]

    The oldest events say None for money where nothing is to be paid, too.
    """

    key: str
    remedy: str
    minutes: float
    money: float | None
    probability: float
    uncertainty: float | None = None
