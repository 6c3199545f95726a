"""What a job has cost so far: what was paid, and parts that were fitted at a stated price."""

from dataclasses import dataclass

from knowngood.acts.garage import Job
from knowngood.acts.prices import money_words, part_key
from knowngood.acts.run import Standing


@dataclass(frozen=True)
class Cost:
    """One sum.

    Args:
        what: For what.
        amount: In the owner's own money.
        fitted: Nobody entered it as paid: the part was fitted, and its price was stated.
    """

    what: str
    amount: float
    fitted: bool = False

    @property
    def words(self) -> str:
        """What it was for, and how much."""
        return f"{self.what}: {money_words(self.amount)}{', as its price was stated' if self.fitted else ''}"


def costs_of(job: Job) -> tuple[Cost, ...]:
    """Return every sum of a job; what was entered as paid for a part takes the place of its stated price."""
    paid = [Cost(str(event.data["what"]), float(event.data["amount"])) for event in job.state.paid]
    return (*paid, *_fitted(job, [one.what for one in paid]))


def spent(job: Job) -> float:
    """Return what a job has cost so far, to the cent. [owner's money]"""
    return round(sum(one.amount for one in costs_of(job)), 2)


def _fitted(job: Job, paid: list[str]) -> list[Cost]:
    done = [one for one, how in job.run.standing.items() if how is Standing.DONE]
    parts = dict.fromkeys(part for one in done for part in job.sheet.step(one).fit)
    found = []
    for part in parts:
        one, price = job.sheet.parts[part], job.stated_prices.get(part_key(job.sheet.id, part))
        if price is not None and not any(_names(what, one.name) for what in paid):
            found.append(Cost(one.name, price * one.count, fitted=True))
    return found


def _names(paid: str, part: str) -> bool:
    """Was it paid for this part, by its name in either of the two?"""
    what, name = (" ".join(words.casefold().split()) for words in (paid, part))
    return name in what or what in name
