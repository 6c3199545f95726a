"""What a troubleshooting problem is made of: causes, tests, repairs, covers and the shop's quote."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Self

from knowngood.engine.troubleshooting.model.amounts import FREE, Chance, Price

# The cause that nobody thought of. It is always there, and only the shop fixes it.
OTHER = "other"
# Ours, from the experience that lists are short: at least 1 vehicle in 20 has something that is not on the list.
LEAST_OTHER = 0.05
# How far typed probabilities may be from adding up to 1, for what rounding to whole percents leaves over.
ADDS_UP = 1e-6
YES, NO = "yes", "no"


@dataclass(frozen=True)
class Cause:
    """A suspect.

    Args:
        key: Short and stable; `OTHER` for "none of these".
        name: As the person calls it.
        chance: That it is the one, before any test.
    """

    key: str
    name: str
    chance: Chance


@dataclass(frozen=True)
class Test:
    """Something to look at or to measure, at most once: repeated, it would give the same answer.

    Args:
        key: Short and stable.
        name: As the person calls it.
        outcomes: What it can show, two or more.
        given: For each cause named here, the chance of each outcome when that is the cause, in the order of `outcomes`.
        otherwise: The same for every cause that `given` does not name; None when it names all.
        price: Its own, without the way in.
        cover: Key of the cover that it lies behind; None when it is in the open.
        safe: False when it must not be done here; then it is never proposed.

    Raises:
        ValueError: Fewer than two outcomes, one twice, or chances that do not add up to 1.

    Example:
        >>> Test.shows("smell", "smells of fuel", {"leak": Chance(0.8)}, Chance(0.1)).outcomes
        ('yes', 'no')
    """

    __test__ = False  # not a test of ours, whatever its name says to the test runner

    key: str
    name: str
    outcomes: tuple[str, ...]
    given: Mapping[str, tuple[Chance, ...]]
    otherwise: tuple[Chance, ...] | None = None
    price: Price = FREE
    cover: str | None = None
    safe: bool = True

    def __post_init__(self) -> None:
        if len(self.outcomes) < 2 or len(set(self.outcomes)) < len(self.outcomes):
            shown = ", ".join(self.outcomes) or "nothing"
            raise ValueError(f'test "{self.name}" can show {shown}; name two or more outcomes, each once.')
        rows = {**self.given, **({} if self.otherwise is None else {"any other cause": self.otherwise})}
        for cause, row in rows.items():
            self._check(cause, row)

    def _check(self, cause: str, row: tuple[Chance, ...]) -> None:
        if len(row) != len(self.outcomes):
            raise ValueError(
                f'test "{self.name}" has {len(self.outcomes)} outcomes, and {len(row)} chances for {cause}; '
                "give one for each outcome."
            )
        total = math.fsum(one.value for one in row)
        if abs(total - 1.0) > ADDS_UP:
            raise ValueError(
                f'test "{self.name}": the chances of its outcomes with {cause} add up to {total:g}; '
                "they must add up to 1. Change one of them."
            )

    @classmethod
    def shows(
        cls,
        key: str,
        name: str,
        shown: Mapping[str, Chance],
        without: Chance,
        *,
        price: Price = FREE,
        cover: str | None = None,
        safe: bool = True,
    ) -> Self:
        """Return a test that shows something or not.

        Args:
            key: Short and stable.
            name: As the person calls it.
            shown: For each cause named, the chance that the test shows it.
            without: The chance that it shows it with any other cause.
            price: Its own, without the way in.
            cover: Key of the cover that it lies behind.
            safe: False when it must not be done here.
        """
        rows = {cause: (one, one.complement) for cause, one in shown.items()}
        otherwise = (without, without.complement)
        return cls(key, name, (YES, NO), rows, otherwise, price=price, cover=cover, safe=safe)

    def row(self, cause: str) -> tuple[Chance, ...]:
        """Return the chance of each outcome with this cause.

        Raises:
            ValueError: Nobody said what the test shows with it.
        """
        row = self.given.get(cause, self.otherwise)
        if row is None:
            raise ValueError(
                f'test "{self.name}" does not say what it shows with {cause}; give its chances, or those without.'
            )
        return row

    def outcome(self, word: str) -> int:
        """Return the place of an outcome.

        Raises:
            ValueError: Nobody defined it.

        Example:
            >>> Test.shows("smell", "smells of fuel", {}, Chance(0.1)).outcome("maybe")
            Traceback (most recent call last):
            ValueError: test "smells of fuel" cannot show "maybe"; it shows yes, no. Write one of these.
        """
        if word not in self.outcomes:
            shown = ", ".join(self.outcomes)
            raise ValueError(f'test "{self.name}" cannot show "{word}"; it shows {shown}. Write one of these.')
        return self.outcomes.index(word)


@dataclass(frozen=True)
class Repair:
    """Something to replace or to mend, and then to check whether the fault is gone.

    Args:
        key: Short and stable.
        name: As the person calls it.
        fixes: For each cause that it can fix, how surely it does.
        price: Its own, without the way in and without the check that all repairs have in common.
        cover: Key of the cover that it lies behind; None when it is in the open.
        needs_closed_check: The check after it, such as a road test, needs every cover closed.
        safe: False when it must not be done here; then it is never proposed.

    Raises:
        ValueError: It fixes nothing, or what only the shop can fix.
    """

    key: str
    name: str
    fixes: Mapping[str, Chance]
    price: Price = FREE
    cover: str | None = None
    needs_closed_check: bool = False
    safe: bool = True

    def __post_init__(self) -> None:
        if not any(sureness.value > 0.0 for sureness in self.fixes.values()):
            raise ValueError(f'repair "{self.name}" fixes nothing; name a suspect that it fixes, or take it out.')
        if OTHER in self.fixes:
            raise ValueError(
                f'repair "{self.name}" is said to fix "none of these"; nobody knows what that is. Name the suspect.'
            )


@dataclass(frozen=True)
class Cover:
    """Something that has to come off first. Each opening is one closing later, so both are paid at the opening.

    Args:
        key: Short and stable.
        name: As the person calls it.
        opening: What taking it off costs.
        closing: What putting it back costs, with gasket and fluid.
        inside: Key of the cover that it lies behind itself; None for the outermost.
    """

    key: str
    name: str
    opening: Price = FREE
    closing: Price = FREE
    inside: str | None = None


@dataclass(frozen=True)
class Quote:
    """What the shop asks to find the fault and mend it.

    Args:
        price: Money, and the person's own time of bringing and fetching.
        covers: Keys of the causes in it; None for all, which is what a quote "until it is mended" says.
        beyond: What comes on top where the cause is not in it.

    Raises:
        ValueError: Some causes are not in it, and nobody said what they would cost.
    """

    price: Price
    covers: frozenset[str] | None = None
    beyond: Price | None = None

    def __post_init__(self) -> None:
        if self.covers is not None and self.beyond is None:
            raise ValueError(
                "the quote does not cover every suspect, and what comes on top is missing; "
                "ask the shop, or write what the dearest repair would cost."
            )

    def for_cause(self, cause: str) -> Price:
        """Return what handing over costs when this is the cause."""
        if self.covers is None or self.beyond is None or cause in self.covers:
            return self.price
        return self.price + self.beyond
