"""What a sheet's words say in numbers: how likely each suspect is, and what a test shows with it.

Ours throughout; each number keeps the range that its word leaves open.
"""

import math
from collections.abc import Mapping

from knowngood.engine.troubleshooting.model.amounts import Chance
from knowngood.engine.troubleshooting.model.likely import SUREST, in_words, of_ten
from knowngood.engine.troubleshooting.model.parts import LEAST_OTHER, NO, YES
from knowngood.sheet.model import Sheet, Test
from knowngood.sheet.suspects import HowOften, Suspect

# Ours: each rank is half as likely as the one before it.
NEXT_RANK = 0.5
# What nobody can exclude, for a suspect as for an outcome.
LEAST = round(1.0 - SUREST, 15)


def chance(often: HowOften) -> Chance:
    """Return how often something shows, as a probability with its range.

    Example:
        >>> chance(HowOften.read("rarely")).value, chance(HowOften.read("8 of 10")).value
        (0.1, 0.8)
    """
    return in_words(often.word) if often.word is not None else of_ten(often.of_10 or 0.0)


def none_of_these(sheet: Sheet) -> float:
    """Return the chance that it is none of the suspects: as stated, else what they leave, 5 % at least."""
    if sheet.none_of_these is not None:
        return sheet.none_of_these.value / 100.0
    counts = [one.of_10 for one in sheet.suspects.values() if one.of_10 is not None]
    if not counts or len(counts) < len(sheet.suspects):
        return LEAST_OTHER
    return max(LEAST_OTHER, 1.0 - math.fsum(counts) / 10.0)


def weights(sheet: Sheet) -> dict[str, float]:
    """Return how likely each suspect is against the others, before any test.

    Those without "of 10" share what is left, by their ranks, equally where there are none; who has no rank comes
    behind all that have one.
    """
    counted = {key: one.of_10 / 10.0 for key, one in sheet.suspects.items() if one.of_10 is not None}
    others = {key: one for key, one in sheet.suspects.items() if one.of_10 is None}
    left = max(1.0 - none_of_these(sheet) - math.fsum(counted.values()), LEAST * len(others))
    ranked = _by_rank(others)
    total = math.fsum(ranked.values())
    shared = {key: left * share / total for key, share in ranked.items()}
    return {key: counted.get(key, shared.get(key, 0.0)) for key in sheet.suspects}


def _by_rank(suspects: Mapping[str, Suspect]) -> dict[str, float]:
    last = max((one.rank for one in suspects.values() if one.rank), default=0) + 1
    return {key: NEXT_RANK ** ((one.rank or last) - 1) for key, one in suspects.items()}


def outcomes_of(test: Test) -> tuple[str, ...]:
    """Return what a test can show, "yes" before "no" where the sheet names nothing else."""
    return tuple(test.outcomes) or (YES, NO)


def shown_with(test: Test, suspect: str) -> tuple[Chance, ...]:
    """Return the chance of each outcome of a test when this is the fault, in the order of `outcomes_of`.

    Args:
        test: As the sheet has it.
        suspect: Key of a suspect; any other word stands for one that the test does not name.
    """
    if not test.outcomes:
        one = chance(test.shows.get(suspect, test.without))
        return one, one.complement
    named, others = stated_with(test, suspect), [one.without for one in test.outcomes.values()]
    free = [chance(often) if often and stated is None else None for often, stated in zip(others, named, strict=True)]
    squeezed = _in_what_is_left(named, free)
    return _adding_up([stated or other for stated, other in zip(named, squeezed, strict=True)])


def stated_with(test: Test, suspect: str) -> list[Chance | None]:
    """Return what each outcome states of this suspect by name; of one that none names, of any other; else None."""
    named = any(suspect in one.shows for one in test.outcomes.values())
    found = [one.shows.get(suspect) if named else one.without for one in test.outcomes.values()]
    return [None if often is None else chance(often) for often in found]


def _in_what_is_left(named: list[Chance | None], free: list[Chance | None]) -> list[Chance | None]:
    """An outcome's `without` counts for a suspect that only other outcomes name, as far as those leave room for it."""
    silent = sum(stated is None and other is None for stated, other in zip(named, free, strict=True))
    room = max(LEAST, 1.0 - math.fsum(one.value for one in named if one) - LEAST * silent)
    asked = math.fsum(one.value for one in free if one)
    share = min(1.0, room / asked) if asked else 1.0
    return [one and Chance(share * one.value, share * one.lowest, share * one.highest) for one in free]


def _adding_up(stated: list[Chance | None]) -> tuple[Chance, ...]:
    """What is not stated shares the rest; then all are scaled to add up to 1, which their ranges leave room for."""
    known = [one for one in stated if one is not None]
    silent = len(stated) - len(known)
    rest = _rest(known, silent)
    values = [one or rest for one in stated]
    total = math.fsum(one.value for one in values)
    scaled = [one.value / total for one in values]
    return tuple(
        Chance(value, min(value, one.lowest), max(value, one.highest))
        for value, one in zip(scaled, values, strict=True)
    )


def _rest(known: list[Chance], silent: int) -> Chance:
    """What each outcome that nobody speaks of gets."""
    if not silent:
        return Chance(LEAST)
    ends = (
        math.fsum(one.highest for one in known),
        math.fsum(one.value for one in known),
        math.fsum(one.lowest for one in known),
    )
    low, value, high = (max(LEAST, (1.0 - end) / silent) for end in ends)
    return Chance(value, low, high)
