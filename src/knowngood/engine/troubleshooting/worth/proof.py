"""Proof that it is gone: how far to drive without a fault that came and went until the mend is believed."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

Array = np.ndarray[Any, np.dtype[np.float64]]
# Ours: believed 4 times out of 5 to go on with everyday driving, 19 of 20 to close the job.
LEVELS = (0.8, 0.95)
# Ours: the picture goes on a little beyond the last level.
PICTURE_REACH, PICTURE_POINTS = 1.25, 101


@dataclass(frozen=True)
class Returns:
    """How a fault came back before it was mended, counted in km, warm-ups or days that were like those of the fault.

    Args:
        times: How often it came.
        over: What was driven with it in all, the quiet stretch before the mend too. [km, warm-ups or days]

    Raises:
        ValueError: It never came back, or nothing was driven.
    """

    times: int
    over: float

    def __post_init__(self) -> None:
        if self.times < 1:
            raise ValueError(
                "the fault was not seen to come back, so no distance without it proves anything; "
                "write how often it came and over how far, or mend and watch."
            )
        if not 0.0 < self.over < math.inf:
            raise ValueError(f"it came {self.times} times over {self.over:g}; write how far was driven in all.")

    @classmethod
    def after(cls, gaps: Sequence[float], *, quiet_since: float = 0.0) -> "Returns":
        """Return them from how far it was each time until the fault came back.

        Args:
            gaps: One for each return. [km, warm-ups or days]
            quiet_since: Driven since the last return, before anything was mended. [the same]

        Raises:
            ValueError: A gap below zero, or none.
        """
        for gap in (*gaps, quiet_since):
            if not gap >= 0.0:
                raise ValueError(f"{gap:g} until it came back; write how far it was, 0 or more.")
        return cls(len(gaps), math.fsum(gaps) + quiet_since)

    @property
    def usual_gap(self) -> float:
        """How far it was from one return to the next, on average. [km, warm-ups or days]"""
        return self.over / self.times

    def quiet_anyway(self, distance: float) -> float:
        """Chance that the fault, still there, keeps quiet that far.

        How often it comes is a gamma with what was seen as its shape and rate and nothing assumed before; over it, the
        exponential wait becomes a Lomax.

        Args:
            distance: [km, warm-ups or days]

        Source:
            BAYES_RULES, shape + returns, rate + distance.
            LOMAX_1954, as a gamma mixture of exponentials.

        Example:
            >>> round(Returns.after([100, 200, 150]).quiet_anyway(450), 3)
            0.125
        """
        return (1.0 + distance / self.over) ** -self.times

    def quiet_anyway_until(self, chance: float) -> float:
        """The distance beyond which it keeps quiet with less than this chance. [km, warm-ups or days]

        Args:
            chance: Above 0, at most 1.
        """
        return self.over * math.expm1(-math.log(chance) / self.times)


@dataclass(frozen=True)
class Drive:
    """One drive since the mend, under the conditions under which the fault used to come.

    Args:
        distance: How far; to where the fault came back when it did. [km, warm-ups or days]
        came_back: It did.

    Raises:
        ValueError: Below zero.
    """

    distance: float
    came_back: bool = False

    def __post_init__(self) -> None:
        if not 0.0 <= self.distance < math.inf:
            raise ValueError(f"a drive of {self.distance:g}; write how far it was, 0 or more.")


@dataclass(frozen=True)
class Picture:
    """Belief against distance since the mend."""

    distance: Array
    belief: Array


@dataclass(frozen=True)
class Proof:
    """How far the mend is proved.

    Args:
        believed: Probability that the fault is gone, after the drives so far.
        quiet: Driven without it since the mend. [km, warm-ups or days]
        needed: For each level, the distance without it, from the mend on, after which it is believed that surely;
            empty when the fault came back.
        rule_of_three: Three usual gaps: the check that needs no belief beforehand. [km, warm-ups or days]
        returns: What is known of how the fault comes back, with what the drives added to it.
        picture: To draw; None when the fault came back.
    """

    believed: float
    quiet: float
    needed: Mapping[float, float]
    rule_of_three: float
    returns: Returns
    picture: Picture | None

    @property
    def came_back(self) -> bool:
        """The mend was not it."""
        return self.picture is None

    @property
    def to_go(self) -> Mapping[float, float]:
        """For each level, what is still to be driven without it. [km, warm-ups or days]"""
        return {level: max(0.0, distance - self.quiet) for level, distance in self.needed.items()}


def prove(before: float, returns: Returns, drives: Sequence[Drive] = (), *, levels: Sequence[float] = LEVELS) -> Proof:
    """Return how surely a fault that came and went is gone, and how far is still to drive without it.

    A mended fault never comes back; one that was not mended keeps quiet by luck, less and less likely the farther.
    Once it came back it was not mended: belief is 0, and the wait counts as one more return for the next mend.

    Args:
        before: Probability that the mend is right, before the first drive: how sure the finding was.
        returns: How the fault came back before.
        drives: Since the mend, in their order.
        levels: Wanted, each above 0 and below 1.

    Raises:
        ValueError: A probability or a level that is none, or a drive after the fault came back.

    Source:
        BAYES_RULES
        LOMAX_1954

    Example:
        >>> found = prove(0.6, Returns.after([100, 200, 150]), [Drive(120)])
        >>> round(found.believed, 3), {level: round(km) for level, km in found.to_go.items()}
        (0.753, {0.8: 54, 0.95: 479})
    """
    check_beliefs(before, levels)
    if any(one.came_back for one in drives[:-1]):
        raise ValueError("there is a drive after the fault came back; it belongs to the next mend.")
    quiet = math.fsum(one.distance for one in drives)
    if drives and drives[-1].came_back:
        known = replace(returns, times=returns.times + 1, over=returns.over + quiet)
        return Proof(0.0, quiet, {}, 3.0 * known.usual_gap, known, None)
    needed = {level: _needed(before, returns, level) for level in levels}
    distance = np.linspace(0.0, PICTURE_REACH * max(*needed.values(), quiet, returns.usual_gap), PICTURE_POINTS)
    belief = np.array([_believed(before, returns, float(one)) for one in distance])
    believed = _believed(before, returns, quiet)
    return Proof(believed, quiet, needed, 3.0 * returns.usual_gap, returns, Picture(distance, belief))


def _believed(before: float, returns: Returns, quiet: float) -> float:
    by_luck = (1.0 - before) * returns.quiet_anyway(quiet)
    return before / (before + by_luck)


def _needed(before: float, returns: Returns, level: float) -> float:
    """From this distance on the belief is at least the level: by luck it keeps quiet with the odds that are left."""
    if before >= level:
        return 0.0
    return returns.quiet_anyway_until(before * (1.0 - level) / ((1.0 - before) * level))


def check_beliefs(before: float, levels: Sequence[float]) -> None:
    """Refuse what cannot be a belief or a level.

    Raises:
        ValueError: Not between 0 and 1.
    """
    if not 0.0 < before < 1.0:
        raise ValueError(
            f"a mend that is right with probability {before:g}; nothing is that sure, write one between 0 and 1."
        )
    for level in levels:
        if not 0.0 < level < 1.0:
            raise ValueError(f"believed {level:g}; a level lies between 0 and 1. Write .95 for 19 times out of 20.")


def at_most(quiet: float) -> float:
    """Return how often a fault may come at most, 19 times out of 20, that kept quiet so far: three times over it.

    Needs no belief beforehand, and no earlier returns.

    Args:
        quiet: Driven without it, or tries without it. [km, warm-ups, days, or tries]

    Returns:
        Returns per km, warm-up, day or try; a chance per try is never above 1.

    Raises:
        ValueError: Nothing was driven.

    Source:
        HANLEY_1983, the rule of three.

    Example:
        >>> at_most(50)
        0.06
    """
    if not quiet > 0.0:
        raise ValueError(f"{quiet:g} without the fault says nothing yet; drive first.")
    return 3.0 / quiet
