"""How much to have at hand, the cheapest cans that hold it, what is left over, and the chance that it is enough."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heappop, heappush

from knowngood.engine.judgement import Estimate, combine

# Ours: four times out of five, and nineteen of twenty.
LIKELY, NEARLY_SURE = 0.80, 0.95
ML_PER_L, CENTS = 1000, 100  # by definition
# Ours: no vehicle of a home mechanic takes more, and it keeps the exact search short.
LEAST_L, MOST_L = 0.0005, 200.0


@dataclass(frozen=True)
class Can:
    """A size that is sold.

    Args:
        litre: What is in it; whole millilitres count. [L]
        price: Of one; None when unknown. [money]

    Raises:
        ValueError: Nothing in it, or a price below zero.
    """

    litre: float
    price: float | None = None

    def __post_init__(self) -> None:
        if not LEAST_L <= self.litre <= MOST_L:
            raise ValueError(f"a can of {self.litre:g} L; sizes go from 0.001 to {MOST_L:g} L.")
        if self.price is not None and not 0.0 <= self.price < math.inf:
            raise ValueError(f"a can for {self.price:g}; a price is zero or more. Leave it out when unknown.")


@dataclass(frozen=True)
class AtHand:
    """What to have at hand.

    Args:
        likely_l: Enough 4 times out of 5. [L]
        nearly_sure_l: Enough 19 times out of 20. [L]
    """

    likely_l: float
    nearly_sure_l: float


@dataclass(frozen=True)
class Purchase:
    """Cans to get.

    Args:
        counts: How many of each size, in the order given.
        litre: What they hold together. [L]
        price: What they cost; None when a price is unknown. [money]
        left_over: What will be left of them and of what is there already; below zero, missing. [L]
        enough: Chance that nothing is missing.
    """

    counts: tuple[int, ...]
    litre: float
    price: float | None
    left_over: Estimate
    enough: float


def at_hand(needed: Estimate) -> AtHand:
    """Return how much to have at hand so that it is enough; never below nothing.

    Args:
        needed: What will go in, with doubt. [L]

    Example:
        >>> from knowngood.engine.judgement import Row
        >>> found = at_hand(Estimate(5.0, "L", (Row("jug", 0.2),)))
        >>> round(found.likely_l, 2), round(found.nearly_sure_l, 2)
        (5.17, 5.33)
    """
    return AtHand(*(max(0.0, needed.quantile(chance)) for chance in (LIKELY, NEARLY_SURE)))


def purchase(needed: Estimate, cans: Sequence[Can], *, have_l: float = 0.0, chance: float = NEARLY_SURE) -> Purchase:
    """Return the cheapest cans that hold what is needed with a wanted chance.

    Args:
        needed: What will go in, with doubt. [L]
        cans: Sizes that are sold, as many of each as one likes.
        have_l: What stands there already. [L]
        chance: That it is enough, by the doubt of what is needed.

    Raises:
        ValueError: No sizes, more than 200 L, or a chance that is none.

    Example:
        >>> from knowngood.engine.judgement import Row
        >>> found = purchase(Estimate(5.0, "L", (Row("jug", 0.2),)), [Can(1.0, 9.0), Can(4.0, 28.0)])
        >>> found.counts, found.price, round(found.left_over.value, 2), found.enough > 0.99
        ((2, 1), 46.0, 1.0, True)
    """
    if not 0.0 < chance < 1.0:
        raise ValueError(f"a chance of {chance:g} that it is enough; it lies between 0 and 1. Use .95.")
    if not have_l >= 0.0:
        raise ValueError(f"{have_l:g} L at hand; write what stands there, or nothing.")
    counts = fewest(max(0.0, needed.quantile(chance) - have_l), cans)
    litre = sum(count * can.litre for count, can in zip(counts, cans, strict=True))
    prices = [can.price for can in cans]
    known = [price for price in prices if price is not None]
    paid = sum(count * price for count, price in zip(counts, known, strict=True)) if len(known) == len(prices) else None
    left_over = combine([(-1.0, needed)], offset=litre + have_l)
    return Purchase(counts, litre, paid, left_over, needed.below(litre + have_l))


def fewest(litre: float, cans: Sequence[Can]) -> tuple[int, ...]:
    """Return how many of each size hold this much: the cheapest, then with the least left over, then the fewest.

    Exact, by dynamic programming over whole millilitres. When a price is unknown, none counts.

    Args:
        litre: What they must hold. [L]
        cans: Sizes that are sold.

    Raises:
        ValueError: No sizes, or more than 200 L.

    Example:
        >>> fewest(5.2, [Can(1.0), Can(4.0), Can(5.0)])
        (1, 0, 1)
    """
    if not cans:
        raise ValueError("no sizes to choose from; write at least one that is sold, such as 1 L.")
    if not litre <= MOST_L:
        raise ValueError(f"{litre:g} L to buy; at most {MOST_L:g} L are worked out. Check the unit.")
    sizes = [round(can.litre * ML_PER_L) for can in cans]
    priced = all(can.price is not None for can in cans)
    cents = [round((can.price or 0.0) * CENTS) if priced else 0 for can in cans]
    needed = math.ceil(litre * ML_PER_L - 1e-6)
    reached = _reached(needed, sizes, cents)
    enough = [total for total in reached if total >= needed]
    best = min(enough, key=lambda total: (reached[total][0], total, reached[total][1]))
    return _counts(best, reached, sizes)


# What it costs to hold a total: money, cans, and which size came last (-1 for none).
Reached = dict[int, tuple[int, int, int]]


def _reached(needed: int, sizes: list[int], cents: list[int]) -> Reached:
    """The cheapest way to each total that cans can make; a total that is enough is not filled further.

    Totals are gone through from below: every way to a total comes from a smaller one, so each is final when its turn
    comes.
    """
    reached: Reached = {0: (0, 0, -1)}
    waiting = [0]
    while waiting:
        total = heappop(waiting)
        if total >= needed:
            continue
        money, cans, _ = reached[total]
        for which, (size, price) in enumerate(zip(sizes, cents, strict=True)):
            before = reached.get(total + size)
            if before is None:
                heappush(waiting, total + size)
            if before is None or (money + price, cans + 1) < before[:2]:
                reached[total + size] = (money + price, cans + 1, which)
    return reached


def _counts(total: int, reached: Reached, sizes: list[int]) -> tuple[int, ...]:
    counts = [0] * len(sizes)
    while total > 0:
        which = reached[total][2]
        counts[which] += 1
        total -= sizes[which]
    return tuple(counts)
