"""The numbers that a problem is made of, each with a way to put another in its place."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from knowngood.engine.troubleshooting.model.amounts import FREE, Chance, Price
from knowngood.engine.troubleshooting.model.parts import OTHER, Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.policy.moves import doable, telling

# Ours: a price is looked at from nothing to so many times itself.
DEAREST = 4.0


class Kind(StrEnum):
    """What a number says."""

    CHANCE = "chance"
    MONEY = "money"
    MINUTES = "minutes"
    RATE = "money/h"
    SHOWS = "shows"
    FIXES = "fixes"


@dataclass(frozen=True)
class Number:
    """One number of a problem.

    Args:
        kind: What it says.
        key: Of the suspect, test, repair or cover; "quote", "check" or "hour" for these.
        cause: Of how often a test shows something, or how surely a repair mends: the suspect; `OTHER` for all that the
            test does not name.
        value: As it is taken.
        low: Lowest to look at.
        high: Highest to look at.
        changed: The problem with another value in its place.
    """

    kind: Kind
    key: str
    cause: str
    value: float
    low: float
    high: float
    changed: Callable[[float], Problem]


def chances(problem: Problem) -> Iterator[Number]:
    """Yield each suspect's chance, from never to always; the others share the rest in proportion."""
    for cause in problem.causes:
        value = cause.chance.value
        if value < 1.0:
            yield Number(Kind.CHANCE, cause.key, cause.key, value, 0.0, 1.0, _chance(problem, cause.key))


def prices(problem: Problem) -> Iterator[Number]:
    """Yield each price, money and minutes apart, from nothing to four times itself.

    A cover's is that of opening and closing together; the quote's is what all causes have in common.
    """
    for test in telling(problem):
        yield from _price(test.key, problem.own_price(test), _test_price(problem, test))
    for repair in doable(problem):
        yield from _price(repair.key, problem.own_price(repair), _repair_price(problem, repair))
    for cover in problem.covers:
        yield from _price(cover.key, problem.access([cover.key], ()), _cover_price(problem, cover.key))
    yield from _price("check", problem.check, lambda price: replace(problem, check=price))
    quote = problem.shop
    yield from _price("quote", quote.price, lambda price: replace(problem, quote=replace(quote, price=price)))
    hour = problem.rate_per_hour
    if hour > 0.0:
        yield Number(Kind.RATE, "hour", "", hour, 0.0, DEAREST * hour, _rate(problem))


def words(problem: Problem) -> Iterator[Number]:
    """Yield each chance that was stated with a range: of a suspect, of what a test shows, of how surely a repair mends.

    What a test shows with one suspect is moved by its first outcome; the others share the rest in proportion.
    """
    for cause in problem.causes:
        if _doubtful(cause.chance) and cause.chance.value < 1.0:
            yield _word(Kind.CHANCE, cause.key, cause.key, cause.chance, _chance(problem, cause.key))
    for test in problem.tests:
        for key, row in test.given.items():
            if _doubtful(row[0]):
                yield _word(Kind.SHOWS, test.key, key, row[0], _shows(problem, test, key))
        if test.otherwise is not None and _doubtful(test.otherwise[0]):
            yield _word(Kind.SHOWS, test.key, OTHER, test.otherwise[0], _shows(problem, test, None))
    for repair in problem.repairs:
        for key, sure in repair.fixes.items():
            if _doubtful(sure):
                yield _word(Kind.FIXES, repair.key, key, sure, _fixes(problem, repair, key))


def _doubtful(chance: Chance) -> bool:
    return chance.lowest < chance.highest


def _word(kind: Kind, key: str, cause: str, chance: Chance, changed: Callable[[float], Problem]) -> Number:
    return Number(kind, key, cause, chance.value, chance.lowest, chance.highest, changed)


def _price(key: str, price: Price, changed: Callable[[Price], Problem]) -> Iterator[Number]:
    money, minutes = price.money, price.minutes
    if money > 0.0:
        yield Number(Kind.MONEY, key, "", money, 0.0, DEAREST * money, lambda other: changed(Price(other, minutes)))
    if minutes > 0.0:
        yield Number(Kind.MINUTES, key, "", minutes, 0.0, DEAREST * minutes, lambda other: changed(Price(money, other)))


def _rate(problem: Problem) -> Callable[[float], Problem]:
    return lambda rate: replace(problem, rate_per_hour=rate)


def _chance(problem: Problem, key: str) -> Callable[[float], Problem]:
    before = problem.cause_of[key].chance.value

    def changed(chance: float) -> Problem:
        share = (1.0 - chance) / (1.0 - before)
        causes = tuple(
            replace(one, chance=Chance(chance) if one.key == key else _part(one.chance.value, share))
            for one in problem.causes
        )
        return replace(problem, causes=causes, begun=True)

    return changed


def _part(chance: float, share: float) -> Chance:
    """A chance times a share; where that is all there is, the last digit may lie beyond 1."""
    return Chance(min(1.0, chance * share))


def _with_test(problem: Problem, test: Test) -> Problem:
    return replace(problem, tests=tuple(test if one.key == test.key else one for one in problem.tests))


def _with_repair(problem: Problem, repair: Repair) -> Problem:
    return replace(problem, repairs=tuple(repair if one.key == repair.key else one for one in problem.repairs))


def _test_price(problem: Problem, test: Test) -> Callable[[Price], Problem]:
    return lambda price: _with_test(problem, replace(test, price=price))


def _repair_price(problem: Problem, repair: Repair) -> Callable[[Price], Problem]:
    return lambda price: _with_repair(problem, replace(repair, price=price))


def _cover_price(problem: Problem, key: str) -> Callable[[Price], Problem]:
    def changed(price: Price) -> Problem:
        cover = replace(problem.cover_of[key], opening=price, closing=FREE)
        return replace(problem, covers=tuple(cover if one.key == key else one for one in problem.covers))

    return changed


def _shows(problem: Problem, test: Test, cause: str | None) -> Callable[[float], Problem]:
    row = test.row(cause) if cause is not None else test.otherwise or ()
    rest = 1.0 - row[0].value

    def changed(chance: float) -> Problem:
        shares = [one.value / rest if rest > 0.0 else 1.0 / (len(row) - 1) for one in row[1:]]
        other = (Chance(chance), *(_part(1.0 - chance, share) for share in shares))
        if cause is None:
            return _with_test(problem, replace(test, otherwise=other))
        return _with_test(problem, replace(test, given={**test.given, cause: other}))

    return changed


def _fixes(problem: Problem, repair: Repair, cause: str) -> Callable[[float], Problem]:
    return lambda chance: _with_repair(problem, replace(repair, fixes={**repair.fixes, cause: Chance(chance)}))
