"""A sheet's suspects as the troubleshooting engine takes them: words become chances, steps become minutes and money."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from knowngood import units
from knowngood.acts.faults.part_price import unpriced_part
from knowngood.acts.tools.prices import NO_PRICES, Prices
from knowngood.checks import chances
from knowngood.checks.safety import stopped_repair, stopped_test
from knowngood.engine.troubleshooting.model.amounts import FREE, Price
from knowngood.engine.troubleshooting.model.parts import OTHER, Cover, Quote, Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem, suspects
from knowngood.sheet import suspects as written
from knowngood.sheet.model import Sheet

# Ours, when nobody said what an hour of their own is worth; in the owner's own money, and told wherever it counts.
HOUR_OURS = 15.0
# Codes of what the checks find in a sheet that makes no problem of it.
NO_PROBLEM = frozenset(("chances do not add up", "fixes nothing", "cover inside itself"))
NO_STEPS: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Anyway:
    """What a job does whether or not the fault is looked for; it enters at no extra cost.

    Args:
        done: Ids of steps that are done.
        to_come: Ids of steps that are sure to come.
        facts: What holds now, such as "off(pan)".
    """

    done: frozenset[str] = NO_STEPS
    to_come: frozenset[str] = NO_STEPS
    facts: frozenset[str] = NO_STEPS

    @property
    def steps(self) -> frozenset[str]:
        """Steps that cost nothing more."""
        return self.done | self.to_come


NOTHING_ANYWAY = Anyway()


def problem_of(
    sheet: Sheet,
    *,
    prices: Prices = NO_PRICES,
    rate_per_hour: float | None = None,
    quote: float | None = None,
    anyway: Anyway = NOTHING_ANYWAY,
) -> Problem:
    """Return what a sheet says of its suspects as a problem of the engine.

    Args:
        sheet: With at least one suspect, free of the problems that `checks.suspects` stops at.
        prices: What parts and an hour cost, before what the sheet says of a repair; a part without a price counts as
            a share of the quote, see `unpriced` and `unpriced_part`.
        rate_per_hour: What an hour of the person is worth to them; else as stated with the prices, else ours. [money/h]
        quote: The job's own; else the sheet's. [money]
        anyway: What the job does in any case.

    Raises:
        ValueError: No suspect, or words that make no problem; the sentence says which.
    """
    asked = quote_of(sheet, quote)
    made = _Maker(sheet, prices, anyway, unpriced_part(asked.price.money if asked else None))
    hour = HOUR_OURS if prices.hour is None else prices.hour
    return Problem(
        causes=suspects(
            chances.weights(sheet),
            names={key: one.name for key, one in sheet.suspects.items()},
            other=chances.none_of_these(sheet),
        ),
        tests=tuple(made.test(key, one) for key, one in sheet.tests.items()),
        repairs=tuple(made.repair(key, one) for key, one in sheet.repairs.items()),
        covers=tuple(made.cover(key, one) for key, one in sheet.covers.items()),
        quote=asked,
        rate_per_hour=hour if rate_per_hour is None else rate_per_hour,
        check=made.check_after(),
        open_already=frozenset(
            key for key, one in sheet.covers.items() if one.fact and one.fact.text in anyway.facts
        ),
        free=frozenset(made.free()),
    )  # fmt: skip


def quote_of(sheet: Sheet, quote: float | None) -> Quote | None:
    """Return what the shop asks: the job's own sum with what the sheet says of it; None when nobody asked.

    Args:
        sheet: What the quote covers, and what comes on top for the rest.
        quote: The job's own; None for the sheet's. [money]
    """
    said = sheet.quote
    if said is None:
        return None if quote is None else Quote(Price(quote))
    covers = None if said.covers == "all" else frozenset(said.covers)
    beyond = None if said.beyond is None else Price(said.beyond)
    return Quote(Price(said.money if quote is None else quote, _minutes(said.minutes)), covers, beyond)


def unpriced(sheet: Sheet, prices: Prices, anyway: Anyway = NOTHING_ANYWAY) -> tuple[str, ...]:
    """Return the ids of parts that repairs take and nobody has priced; they count as `unpriced_part` says.

    Args:
        sheet: With its repairs.
        prices: What was stated.
        anyway: What the job does in any case; parts that it fits cost nothing more.
    """
    asked = [part for one in sheet.repairs.values() if one.money is None for part in one.part]
    known = {*prices.parts, *_fitted(sheet, anyway)}
    return tuple(part for part in dict.fromkeys(asked) if part not in known)


def _fitted(sheet: Sheet, anyway: Anyway) -> set[str]:
    return {part for step in sheet.steps if step.id in anyway.steps for part in step.fit}


def _minutes(stated: units.Quantity | None) -> float:
    return 0.0 if stated is None else stated.value


@dataclass(frozen=True)
class _Maker:
    """Makes tests, repairs and covers of what one sheet says."""

    sheet: Sheet
    prices: Prices
    anyway: Anyway
    otherwise: float  # what a part counts as that nobody has priced

    def test(self, key: str, one: written.Test) -> Test:
        named = {**one.shows, **{key: often for each in one.outcomes.values() for key, often in each.shows.items()}}
        rows = {suspect: chances.shown_with(one, suspect) for suspect in named}
        return Test(
            key, one.name, chances.outcomes_of(one), rows, chances.shown_with(one, OTHER),
            price=Price(one.money or 0.0, self._takes(one.step, one.minutes)),
            cover=one.cover, safe=self._safe(one.step) and not stopped_test(self.sheet, key),
        )  # fmt: skip

    def repair(self, key: str, one: written.Repair) -> Repair:
        price = Price(self._money(one), self._takes(one.step, one.minutes))
        return Repair(
            key, one.name, {suspect: chances.chance(often) for suspect, often in one.fixes.items()},
            price, one.cover, one.closed_check, self._safe(one.step) and not stopped_repair(self.sheet, key),
        )  # fmt: skip

    def cover(self, key: str, one: written.Cover) -> Cover:
        fact = one.fact.text if one.fact else None
        steps = self.sheet.steps
        opens = [step.id for step in steps if fact in [made.text for made in step.makes]]
        closes = [step.id for step in steps if fact in [ended.text for ended in step.ends]]
        opening = self._time(opens) if one.opens is None else one.opens.value
        closing = self._time(closes) if one.closes is None else one.closes.value
        return Cover(key, one.name, Price(minutes=opening), Price(one.money or 0.0, closing), one.inside)

    def check_after(self) -> Price:
        """The check is done after each repair, so a step that the job does anyway does not stand for it."""
        one = self.sheet.check_after
        if one is None:
            return FREE
        minutes = self._time(one.step) if one.minutes is None else one.minutes.value
        return Price(one.money or 0.0, minutes)

    def free(self) -> Iterable[str]:
        """Keys of what the job does anyway, whole."""
        for things in (self.sheet.tests, self.sheet.repairs):
            yield from (key for key, one in things.items() if one.step and self.anyway.steps.issuperset(one.step))
        coming = {made.text for step in self.sheet.steps if step.id in self.anyway.to_come for made in step.makes}
        yield from (key for key, one in self.sheet.covers.items() if one.fact and one.fact.text in coming)

    def _takes(self, steps: Iterable[str], stated: units.Quantity | None) -> float:
        if stated is not None:
            return stated.value
        return self._time(one for one in steps if one not in self.anyway.steps)

    def _time(self, steps: Iterable[str]) -> float:
        """The usual time of some steps; waiting is not work. [min]"""
        found = [self.sheet.step(one) for one in steps]
        return math.fsum(one.time.values[1] * one.repeat for one in found)

    def _money(self, one: written.Repair) -> float:
        """What the garage says of all its parts comes before what the sheet says."""
        stated = bool(one.part) and self.prices.parts.keys() >= set(one.part)
        return self._parts(one.part) if stated or one.money is None else one.money

    def _parts(self, parts: Iterable[str]) -> float:
        fitted = _fitted(self.sheet, self.anyway)
        new = [part for part in parts if part not in fitted]
        return math.fsum(self.prices.parts.get(part, self.otherwise) * self._pieces(part) for part in new)

    def _pieces(self, part: str) -> int:
        """How many of its price are bought; what all of them cost together is guessed as one."""
        return self.sheet.parts[part].count if part in self.prices.parts else 1

    def _safe(self, steps: Iterable[str]) -> bool:
        """Work that takes a licence is not proposed to do oneself; nor is what the gate hands over."""
        return not any(self.sheet.step(one).licensed for one in steps)
