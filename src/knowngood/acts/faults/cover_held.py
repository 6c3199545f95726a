"""Does the advice at the open cover hold wherever what was assumed may lie: each alone, and all of it together."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product

from knowngood.acts.faults.cover_inputs import Inputs
from knowngood.acts.faults.part_price import WIDE
from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.worth.cover_decision import Option
from knowngood.engine.troubleshooting.worth.doubtful import BAD_NEW, DoubtfulPart, Wear

# Ours: how far off each sum, time and distance may be, either way.
FACTOR = 2.0
# Ours: from parts that are nearly never bad to three times as many as usual.
FEWEST_BAD, MOST_BAD = 0.0, 3.0 * BAD_NEW
# Ours: from breaking nearly at random to wearing out within a few months of each other.
LEAST_SHARP, MOST_SHARP = 1.5, 5.0
# Low end, as it is, high end.
LOW, AS_IS, HIGH = -1, 0, 1


def _wear(change: Callable[[Wear, int], Wear]) -> Callable[[Inputs, int], Inputs]:
    def changed(inputs: Inputs, end: int) -> Inputs:
        wear = inputs.part.wear
        return inputs if wear is None else replace(inputs, part=replace(inputs.part, wear=change(wear, end)))

    return changed


def _part(change: Callable[[DoubtfulPart, int], DoubtfulPart]) -> Callable[[Inputs, int], Inputs]:
    return lambda inputs, end: replace(inputs, part=change(inputs.part, end))


def _times(price: Price, end: int) -> Price:
    return Price(price.money * FACTOR**end, price.minutes * FACTOR**end)


def _new_part(price: Price, end: int) -> Price:
    """A part's price lies where the advice says that it may."""
    return Price(price.money * (1.0 + end * WIDE), price.minutes * FACTOR**end)


def _picked(end: int, low: float, as_is: float, high: float) -> float:
    return {LOW: low, AS_IS: as_is, HIGH: high}[end]


def _chance(inputs: Inputs, end: int) -> Inputs:
    one = inputs.chance
    return replace(inputs, chance=Chance(_picked(end, one.lowest, one.value, one.highest)))


# What each assumption may be instead, by its key among `Inputs.assumed`.
VARIED: Mapping[str, Callable[[Inputs, int], Inputs]] = {
    "hour": lambda inputs, end: replace(inputs, rate=inputs.rate * FACTOR**end),
    "probability": _chance,
    "part": _part(lambda part, end: replace(part, replace=_new_part(part.replace, end))),
    "again": _part(lambda part, end: replace(part, access=_times(part.access, end))),
    "damage": _part(lambda part, end: replace(part, damage=_times(part.damage, end))),
    "new_bad": _part(lambda part, end: replace(part, bad_new=_picked(end, FEWEST_BAD, part.bad_new, MOST_BAD))),
    "age": _wear(lambda wear, end: replace(wear, age=wear.age * FACTOR**end)),
    "horizon": _wear(lambda wear, end: replace(wear, horizon=wear.horizon * FACTOR**end)),
    "shape": _wear(lambda wear, end: replace(wear, shape=_picked(end, LEAST_SHARP, wear.shape, MOST_SHARP))),
}
# In these the cost is straight while all others stand, so that its ends say all of it; in wear it is bent.
BENT = frozenset(("age", "horizon", "shape"))


@dataclass(frozen=True)
class Held:
    """How far an advice holds.

    Args:
        whatever: It stays the same wherever all that was assumed may lie, together.
        hangs_on: What alone makes it another, in the words of the assumption.
    """

    whatever: bool
    hangs_on: tuple[str, ...] = ()


def held(inputs: Inputs, advice: Option) -> Held:
    """Return how far an advice holds, by every corner of what was assumed.

    What a plan costs is straight in each sum, time and chance while the others stand still: one plan that is the
    cheapest at every corner is so everywhere between them. Two things are taken from the corners without a proof: an
    option that begins with another plan at one of them, and wear, which is bent and tried at three places of each.

    Args:
        inputs: What was asked of the engine.
        advice: What it says as it stands.
    """
    alone = [
        words
        for key, words in inputs.assumed.items()
        if any(VARIED[key](inputs, end).cheapest() is not advice for end in _ends(key))
    ]
    whatever = not alone and all(one.cheapest() is advice for one in _corners(inputs))
    return Held(whatever, tuple(alone))


def _ends(key: str) -> tuple[int, ...]:
    return (LOW, AS_IS, HIGH) if key in BENT else (LOW, HIGH)


def _corners(inputs: Inputs) -> Iterator[Inputs]:
    for ends in product(*(_ends(key) for key in inputs.assumed)):
        corner = inputs
        for key, end in zip(inputs.assumed, ends, strict=True):
            corner = VARIED[key](corner, end)
        yield corner
