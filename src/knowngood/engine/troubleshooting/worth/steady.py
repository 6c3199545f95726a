"""Proof that a steady fault is gone: the test that showed it must now pass."""

from collections.abc import Sequence
from dataclasses import dataclass

from knowngood.engine.troubleshooting.worth.proof import LEVELS, check_beliefs


@dataclass(frozen=True)
class PassingTest:
    """A test that showed a steady fault, and must now pass: a code that is read anew, a dry floor after a warm-up.

    Args:
        name: As the person calls it.
        shows: Chance that it shows the fault while it is there.
        shows_without: Chance that it shows it although it is gone.

    Raises:
        ValueError: A chance that is none, or a test that shows it as readily without the fault.
    """

    name: str
    shows: float
    shows_without: float

    def __post_init__(self) -> None:
        if not 0.0 <= self.shows_without < self.shows <= 1.0:
            raise ValueError(
                f'"{self.name}" shows the fault with a chance of {self.shows:g}, without it of {self.shows_without:g}; '
                "a proof must show it more often when it is there. Choose another test."
            )


@dataclass(frozen=True)
class SteadyProof:
    """What a test proves about a steady fault.

    Args:
        test: The one that must now pass.
        if_it_passes: Probability that the fault is gone, once it has passed.
        if_it_fails: The same, when it still shows it.
        reached: The levels that a pass reaches.
    """

    test: PassingTest
    if_it_passes: float
    if_it_fails: float
    reached: tuple[float, ...]


def must_pass(before: float, tests: Sequence[PassingTest], *, levels: Sequence[float] = LEVELS) -> SteadyProof:
    """Return the test that must now pass: the one whose pass is believed most. Once is enough, it would say the same.

    Args:
        before: Probability that the mend is right, before the test.
        tests: Those that can be done; one at least.
        levels: Wanted.

    Raises:
        ValueError: No test, or a probability or a level that is none.

    Source:
        GOOD_1985, the odds beforehand times how much likelier the answer is without the fault.

    Example:
        >>> found = must_pass(0.7, [PassingTest("drips overnight", 0.9, 0.02), PassingTest("smells", 0.5, 0.1)])
        >>> found.test.name, round(found.if_it_passes, 3), round(found.if_it_fails, 3), found.reached
        ('drips overnight', 0.958, 0.049, (0.8, 0.95))
    """
    check_beliefs(before, levels)
    if not tests:
        raise ValueError("nothing showed this fault; name the test that did, it must now pass.")
    passes = [_after(before, 1.0 - one.shows_without, 1.0 - one.shows) for one in tests]
    best = max(range(len(tests)), key=passes.__getitem__)
    failed = _after(before, tests[best].shows_without, tests[best].shows)
    return SteadyProof(tests[best], passes[best], failed, tuple(one for one in levels if passes[best] >= one))


def _after(before: float, if_gone: float, if_there: float) -> float:
    return before * if_gone / (before * if_gone + (1.0 - before) * if_there)
