"""A whole troubleshooting problem, checked, with its covers nested and its prices in one sum."""

import math
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol, TypeVar

import numpy as np
import numpy.typing as npt

from knowngood.engine.troubleshooting.model.amounts import FREE, Chance, Price
from knowngood.engine.troubleshooting.model.parts import ADDS_UP, LEAST_OTHER, OTHER, Cause, Cover, Quote, Repair, Test

Floats = npt.NDArray[np.float64]


class Keyed(Protocol):
    """Anything with a key."""

    @property
    def key(self) -> str:
        """Short and stable."""


Thing = TypeVar("Thing", bound=Keyed)


def by_key(things: Iterable[Thing]) -> dict[str, Thing]:
    """Return them by key, in their order."""
    return {thing.key: thing for thing in things}


@dataclass(frozen=True)
class Problem:
    """What could be wrong, what could be done about it, and what that takes. Exactly one cause is the one.

    Args:
        causes: Suspects, with "none of these" (`OTHER`) among them; see `suspects`.
        tests: Each can be done once.
        repairs: Each can be done once, and is followed by a check whether the fault is gone.
        covers: What has to come off first.
        quote: The shop's; None when nobody asked yet: then there is a belief, but no policy.
        rate_per_hour: What an hour of the person is worth to them. [money/h]
        check: What the check after a repair, or after several at one go, costs each time.
        open_already: Keys of covers that are off; those around them are off too.
        free: Keys of tests, repairs and covers that the job does anyway: their own price counts as nothing.
        begun: The chances are those after some findings, so "none of these" may have become small; see `remaining`.

    Raises:
        ValueError: Probabilities that do not add up, a key that nobody defined, a cover inside itself.
    """

    causes: tuple[Cause, ...]
    tests: tuple[Test, ...] = ()
    repairs: tuple[Repair, ...] = ()
    covers: tuple[Cover, ...] = ()
    quote: Quote | None = None
    rate_per_hour: float = 0.0
    check: Price = FREE
    open_already: frozenset[str] = frozenset()
    free: frozenset[str] = frozenset()
    begun: bool = False

    def __post_init__(self) -> None:
        _check_keys(self)
        _check_causes(self.causes, 0.0 if self.begun else LEAST_OTHER)
        known = {cause.key for cause in self.causes}
        for test in self.tests:
            _check_named(f'test "{test.name}"', test.given, known, "suspect")
            for cause in self.causes:
                test.row(cause.key)
        for repair in self.repairs:
            _check_named(f'repair "{repair.name}"', repair.fixes, known, "suspect")
        if self.quote is not None and self.quote.covers is not None:
            _check_named("the quote", self.quote.covers, known, "suspect")
        places = [(one.name, one.cover) for one in self.tests] + [(one.name, one.cover) for one in self.repairs]
        for name, place in places:
            _check_named(f'"{name}"', [place] if place else [], self.cover_of, "cover")
        for cover in self.covers:
            self._check_nested(cover)
        _check_named("what is off already", self.open_already, self.cover_of, "cover")
        _check_named("what the job does anyway", self.free, self._keys, "test, repair or cover")
        if not 0.0 <= self.rate_per_hour < math.inf:
            raise ValueError(f"an hour worth {self.rate_per_hour:g}; it is zero or more. Write 0 when time is free.")

    def _check_nested(self, cover: Cover) -> None:
        seen, key = {cover.key}, cover.inside
        while key is not None:
            _check_named(f'cover "{cover.name}"', [key], self.cover_of, "cover")
            if key in seen:
                raise ValueError(f'cover "{cover.name}" lies inside itself; say which cover comes off first.')
            seen.add(key)
            key = self.cover_of[key].inside

    @cached_property
    def _keys(self) -> set[str]:
        return {*self.test_of, *self.repair_of, *self.cover_of}

    @cached_property
    def cause_of(self) -> Mapping[str, Cause]:
        """Causes by key."""
        return by_key(self.causes)

    @cached_property
    def test_of(self) -> Mapping[str, Test]:
        """Tests by key."""
        return by_key(self.tests)

    @cached_property
    def repair_of(self) -> Mapping[str, Repair]:
        """Repairs by key."""
        return by_key(self.repairs)

    @cached_property
    def cover_of(self) -> Mapping[str, Cover]:
        """Covers by key."""
        return by_key(self.covers)

    @cached_property
    def prior(self) -> Floats:
        """Chance of each cause, adding up to 1 to the last digit."""
        stated = np.array([cause.chance.value for cause in self.causes])
        return _kept(stated / stated.sum())

    @cached_property
    def given(self) -> Mapping[str, Floats]:
        """For each test, the chance of each outcome (row) with each cause (column)."""
        rows = {
            test.key: np.array([[one.value for one in test.row(cause.key)] for cause in self.causes])
            for test in self.tests
        }
        return {key: _kept((row / row.sum(axis=1, keepdims=True)).T) for key, row in rows.items()}

    @cached_property
    def fixes(self) -> Floats:
        """How surely each repair (row) fixes each cause (column)."""
        never = Chance(0.0)
        rows = [[repair.fixes.get(cause.key, never).value for cause in self.causes] for repair in self.repairs]
        return _kept(np.array(rows, dtype=np.float64).reshape(len(self.repairs), len(self.causes)))

    @property
    def shop(self) -> Quote:
        """The shop's quote.

        Raises:
            ValueError: Nobody asked for one.
        """
        if self.quote is None:
            raise ValueError(
                "there is no quote, and what is none of these only the shop can mend; "
                "ask a shop, or write the most that you would pay to have it mended."
            )
        return self.quote

    def path(self, cover: str | None) -> frozenset[str]:
        """Return the covers that must be off to reach behind this one, itself among them; none for the open."""
        found = set()
        while cover is not None:
            found.add(cover)
            cover = self.cover_of[cover].inside
        return frozenset(found)

    @cached_property
    def open_at_start(self) -> frozenset[str]:
        """Covers that are off already, with those around them."""
        return frozenset().union(*(self.path(key) for key in self.open_already))

    def own_price(self, thing: Test | Repair) -> Price:
        """Return what a test or repair costs by itself; nothing when the job does it anyway."""
        return FREE if thing.key in self.free else thing.price

    def access(self, needed: Iterable[str], already_open: Iterable[str]) -> Price:
        """Return what it costs to take off, and later to put back, the covers that are not off yet."""
        closed = sorted(set(needed) - set(already_open) - self.free)
        covers = [self.cover_of[key] for key in closed]
        return sum((cover.opening + cover.closing for cover in covers), FREE)

    def cost(self, price: Price) -> float:
        """Return money and minutes as one sum. [money]"""
        return price.cost(self.rate_per_hour)


def suspects(
    weights: Mapping[str, float], *, names: Mapping[str, str] | None = None, other: float = LEAST_OTHER
) -> tuple[Cause, ...]:
    """Return causes from how likely each is against the others, with "none of these" last.

    Args:
        weights: By key, in any unit: all 1 when nobody ranked them, or "of so many vehicles".
        names: By key; the key itself when left out.
        other: Chance of "none of these", at least 5 %.

    Raises:
        ValueError: No suspect, or a weight that is not above zero.

    Example:
        >>> [(one.key, one.chance.value) for one in suspects({"pump": 1, "relay": 1}, other=0.2)]
        [('pump', 0.4), ('relay', 0.4), ('other', 0.2)]
    """
    for key, weight in weights.items():
        if not 0.0 < weight < math.inf:
            raise ValueError(f"suspect {key} has the weight {weight:g}; it is above zero. Take out what is excluded.")
    if not weights:
        raise ValueError("there is no suspect; name at least one thing that could be wrong.")
    total = math.fsum(weights.values())
    said = names or {}
    listed = (Cause(key, said.get(key, key), Chance((1.0 - other) * weight / total)) for key, weight in weights.items())
    return (*listed, Cause(OTHER, said.get(OTHER, "none of these"), Chance(other)))


def _kept(numbers: Floats) -> Floats:
    """The same, in one piece, and safe to hand out again."""
    found = np.ascontiguousarray(numbers)
    found.setflags(write=False)
    return found


def _check_keys(problem: Problem) -> None:
    causes = [one.key for one in problem.causes]
    things = [*(one.key for one in problem.tests), *(one.key for one in problem.repairs)]
    for group in (causes, [*things, *(one.key for one in problem.covers)]):
        twice = [key for key, count in Counter(group).items() if count > 1]
        if twice:
            raise ValueError(f"{twice[0]} is defined twice; give one of them another key.")


def _check_causes(causes: tuple[Cause, ...], least_other: float) -> None:
    other = next((cause for cause in causes if cause.key == OTHER), None)
    if other is None or other.chance.value < least_other - ADDS_UP:
        share = "missing" if other is None else f"at {other.chance.value:.1%}"
        raise ValueError(
            f'"none of these" is {share}; no list is complete, so leave it at least {LEAST_OTHER:.0%} '
            "and lower the others."
        )
    total = math.fsum(cause.chance.value for cause in causes)
    if abs(total - 1.0) > ADDS_UP:
        raise ValueError(
            f"the chances of the suspects add up to {total:g} with none of these; they must add up to 1. "
            "Change one of them, or rank them instead."
        )


def _check_named(where: str, keys: Iterable[str], known: Iterable[str], kind: str) -> None:
    listed = sorted(known)
    for key in sorted(keys):
        if key not in listed:
            shown = ", ".join(listed) or "none yet"
            raise ValueError(f"{where} names {key}, and there is no such {kind}; there is {shown}. Define it first.")
