"""What a job has cost so far: what was paid, and parts that were fitted at a stated price."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from knowngood.acts.job.garage import Job
from knowngood.acts.job.run import Standing
from knowngood.acts.tools.prices import money_words, part_key
from knowngood.sheet.model import Sheet
from knowngood.store.event import Event

WORD = re.compile(r"\w+")


@dataclass(frozen=True)
class Cost:
    """One sum.

    Args:
        what: For what.
        amount: In the owner's own money.
        parts: Keys of the parts that it was paid for, as far as it says so.
        fitted: Nobody entered it as paid: the part was fitted, and its price was stated.
    """

    what: str
    amount: float
    parts: tuple[str, ...] = ()
    fitted: bool = False

    @property
    def words(self) -> str:
        """What it was for, and how much."""
        return f"{self.what}: {money_words(self.amount)}{' stated under prices' if self.fitted else ''}"


def costs_of(job: Job) -> tuple[Cost, ...]:
    """Return every sum of a job; what was entered as paid for a part takes the place of its stated price."""
    paid = [_paid(job.sheet, event) for event in job.state.paid]
    named = {part for one in paid for part in one.parts}
    return (*paid, *(cost for cost in _fitted(job) if named.isdisjoint(cost.parts)))


def spent(job: Job) -> float:
    """Return what a job has cost so far, to the cent. [owner's money]"""
    return round(sum(one.amount for one in costs_of(job)), 2)


def paid_for_parts(job: Job) -> dict[str, float]:
    """Return what was paid for each part that a payment of its own names. [owner's money]"""
    found: dict[str, float] = {}
    for one in (one for one in costs_of(job) if len(one.parts) == 1 and not one.fitted):
        found[one.parts[0]] = found.get(one.parts[0], 0.0) + one.amount
    return found


def left_words(job: Job) -> str:
    """Return what is left of the quote, in words."""
    if job.quote is None:
        return "No quote was written down."
    left = round(job.quote - spent(job), 2)
    if left < 0.0:
        return f"{money_words(-left)} more than the quote is spent."
    return f"{money_words(left)} of the quote is left."


def _paid(sheet: Sheet, event: Event) -> Cost:
    """A payment with the parts that it was for: the one that was chosen, else those that its words name."""
    what, chosen = str(event.data["what"]), event.data.get("part")
    parts = (str(chosen),) if chosen else tuple(_named(sheet, what))
    return Cost(what, float(event.data["amount"]), parts)


def _named(sheet: Sheet, what: str) -> Iterator[str]:
    """Parts all words of whose name stand in some words; "oil filter" is not the part "oil" as well."""
    said = _words(what)
    found = {key: words for key, part in sheet.parts.items() if (words := _words(part.name)) and words <= said}
    return (key for key, words in found.items() if not any(words < other for other in found.values()))


def _words(text: str) -> frozenset[str]:
    return frozenset(WORD.findall(text.casefold()))


def _fitted(job: Job) -> Iterator[Cost]:
    """Parts that were fitted, at a step or by a repair that was tried without one, where their price was stated."""
    done = [job.sheet.step(one) for one, how in job.run.standing.items() if how is Standing.DONE]
    tried = (job.sheet.repairs.get(one) for one in job.state.newest("finding_noted", "test"))
    by_hand = [part for one in tried if one and not one.step for part in one.part]
    for part in dict.fromkeys([*(part for step in done for part in step.fit), *by_hand]):
        price, one = job.stated_prices.get(part_key(job.sheet.id, part)), job.sheet.parts[part]
        if price is not None:
            yield Cost(one.name, price * one.count, (part,), fitted=True)
