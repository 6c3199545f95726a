"""How much of a fluid a change renews, how many changes it takes, what they cost, and a continuous exchange beside."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from knowngood.engine.fluids.carried import carried, stated
from knowngood.engine.judgement import Estimate, combine

# Ours: a total as a manual prints it, dry fill or service fill, rounded.
TOTAL_HALF_SHARE = 0.05
# What a pan drop renews when no total is known: 30 to 50 %, common practice, no source and no data behind it.
UNKNOWN_SHARE, UNKNOWN_SHARE_HALF = 0.40, 0.10
# Ours: how sure "with doubt" is, either side.
LOW, HIGH = 0.1, 0.9
# Ours: more rounds than anyone would do.
MOST_ROUNDS = 100


def stated_total(litre: float) -> Estimate:
    """Return the manual's total of a circuit, ± 5 %, ours. [L]

    Args:
        litre: As printed. [L]

    Raises:
        ValueError: A total that is not above zero.
    """
    if not litre > 0.0:
        raise ValueError(f"a total of {litre:g} L; take it from the manual, above zero.")
    return stated("manual/total", litre, TOTAL_HALF_SHARE * litre, unit="L", assumed=True,
                  name="the manual's total", remedy="manual")  # fmt: skip


def share_renewed(out: Estimate, total: Estimate) -> Estimate:
    """Return the share of a fluid that one change renews, from 0 to 1.

    Args:
        out: What came out, at 20 °C, with what was spilled or left in a part. [L]
        total: What the circuit holds in all. [L]

    Raises:
        ValueError: Nothing came out, or more than the circuit holds even by their doubt.

    Source:
        GUM, 5.1.2; errors that both share cancel by key.

    Example:
        >>> found = share_renewed(stated("out", 3.2, 0.16, unit="L"), stated_total(8.0))
        >>> round(found.value, 2), round(found.standard_uncertainty, 3)
        (0.4, 0.016)
    """
    if not (out.value > 0.0 and total.value > 0.0):
        raise ValueError(
            f"{out.value:.3g} L out of {total.value:.3g} L in all; both must be above zero. Check what was written."
        )
    spare = combine([(1.0, total), (-1.0, out)])
    if spare.quantile(0.975) < 0.0:
        raise ValueError(
            f"{out.value:.3g} L came out, and the circuit holds {total.value:.3g} L in all. "
            "Check the reading and its unit, or the total in the manual."
        )
    found = carried(lambda part, whole: part / whole, [out, total], unit="1")
    return found if found.value <= 1.0 else replace(found, value=1.0, law=None)


def unknown_share() -> Estimate:
    """Return what a pan drop renews when no total is known: 30 to 50 %, marked assumed.

    Source:
        Common practice, no source; nobody was found to have measured it.
    """
    return stated("renewal/share", UNKNOWN_SHARE, UNKNOWN_SHARE_HALF, unit="1", assumed=True,
                  name="share that a pan drop renews", remedy="manual")  # fmt: skip


def renewed_after(share: Estimate, rounds: int) -> Estimate:
    """Return the share that is new after some changes, each mixed with what stayed.

    Args:
        share: What one change renews, from 0 to 1.
        rounds: How many changes.

    Raises:
        ValueError: Fewer than one change.

    Example:
        >>> [round(renewed_after(stated("f", 0.4, 0.0, unit="1"), n).value, 3) for n in (1, 2, 3)]
        [0.4, 0.64, 0.784]
    """
    if rounds < 1:
        raise ValueError(f"{rounds} changes; count from 1.")
    return _through(share, lambda f: 1.0 - (1.0 - f) ** rounds)


@dataclass(frozen=True)
class Rounds:
    """Changes to a wanted share.

    Args:
        rounds: By the best value; 100 stands for that many or more, here and below.
        fewest: If each change renews more than is thought; 1 chance in 10 that fewer will do.
        most: If each renews less; 1 chance in 10 that more are needed.
        reached: The share that is new after `rounds` of them.
        litre: To pour in for `rounds` of them. [L]
        money: What that costs; None when the price is unknown. [money]
    """

    rounds: int
    fewest: int
    most: int
    reached: Estimate
    litre: float
    money: float | None


def rounds_to(share: Estimate, wanted: float, *, per_round_l: float, price_per_l: float | None = None) -> Rounds:
    """Return how many changes renew a wanted share, and what they take.

    Args:
        share: What one change renews, from 0 to 1.
        wanted: Share that should be new, below 1.
        per_round_l: What one change takes. [L]
        price_per_l: What a litre costs; None when unknown. [money/L]

    Raises:
        ValueError: A share that no number of changes reaches.

    Example:
        >>> found = rounds_to(unknown_share(), 0.75, per_round_l=4.0, price_per_l=12.0)
        >>> found.fewest, found.rounds, found.most, found.litre, found.money
        (3, 3, 4, 12.0, 144.0)
    """
    if not 0.0 < wanted < 1.0:
        raise ValueError(f"{wanted:.0%} new; changes mix, so less than 100 % is what they can reach. Take 90 %.")
    if not per_round_l > 0.0:
        raise ValueError(f"{per_round_l:g} L for a change; write what came out, above zero.")
    rounds = _rounds(share.value, wanted)
    litre = rounds * per_round_l
    money = None if price_per_l is None else litre * price_per_l
    fewest, most = (_rounds(share.quantile(end), wanted) for end in (HIGH, LOW))
    return Rounds(rounds, fewest, most, renewed_after(share, rounds), litre, money)


@dataclass(frozen=True)
class Exchange:
    """A continuous exchange, new in while old goes out.

    Args:
        mixed: Share that is new when all of it mixes at once.
        plug: Share when nothing mixes: more than that is not possible.
    """

    mixed: Estimate
    plug: Estimate


def continuous(poured: Estimate, total: Estimate) -> Exchange:
    """Return what a continuous exchange renews: at least about `mixed`, at most `plug`.

    Args:
        poured: What went through. [L]
        total: What the circuit holds in all. [L]

    Raises:
        ValueError: Nothing poured, or no total.

    Example:
        >>> found = continuous(stated("new", 8.0, 0.2, unit="L"), stated_total(8.0))
        >>> round(found.mixed.value, 3), found.plug.value
        (0.632, 1.0)
    """
    if not (poured.value > 0.0 and total.value > 0.0):
        raise ValueError(f"{poured.value:.3g} L through {total.value:.3g} L; both must be above zero.")
    mixed = carried(lambda new, whole: 1.0 - np.exp(-new / whole), [poured, total], unit="1")
    if poured.value >= total.value:
        return Exchange(mixed, Estimate(1.0, "1"))
    return Exchange(mixed, carried(lambda new, whole: new / whole, [poured, total], unit="1"))


@dataclass(frozen=True)
class Picture:
    """Share that is new, against litres and money: changes as points, the continuous exchange as lines.

    Args:
        change_l: After 0, 1, 2 … changes. [L]
        change_share: New then.
        change_low: New then, if each change renews less than is thought; 1 chance in 10 of still less.
        change_high: New then, if each renews more; 1 chance in 10 of still more.
        line_l: Through a continuous exchange. [L]
        mixed_share: New then, all mixed.
        plug_share: New then, nothing mixed.
        price_per_l: Turns litres into money; None when unknown. [money/L]
    """

    change_l: tuple[float, ...]
    change_share: tuple[float, ...]
    change_low: tuple[float, ...]
    change_high: tuple[float, ...]
    line_l: tuple[float, ...]
    mixed_share: tuple[float, ...]
    plug_share: tuple[float, ...]
    price_per_l: float | None = None


def picture(share: Estimate, *, per_round_l: float, price_per_l: float | None = None, rounds: int = 6) -> Picture:
    """Return what a picture of share against litres or money draws.

    Args:
        share: What one change renews, from 0 to 1.
        per_round_l: What one change takes; over the share, it gives the total. [L]
        price_per_l: What a litre costs. [money/L]
        rounds: How many changes are drawn.

    Raises:
        ValueError: No change, or nothing that one takes.

    Example:
        >>> found = picture(unknown_share(), per_round_l=4.0, rounds=2)
        >>> found.change_l, [round(one, 2) for one in found.change_share], round(found.mixed_share[-1], 2)
        ((0.0, 4.0, 8.0), [0.0, 0.4, 0.64], 0.55)
    """
    if rounds < 1 or not per_round_l > 0.0:
        raise ValueError(f"{rounds} changes of {per_round_l:g} L; at least one of more than nothing can be drawn.")
    counts = np.arange(rounds + 1)
    low, high = (min(1.0, max(0.0, share.quantile(end))) for end in (LOW, HIGH))
    line_l = np.linspace(0.0, rounds * per_round_l, 10 * rounds + 1)
    through = line_l * share.value / per_round_l

    def after(f: float) -> tuple[float, ...]:
        return tuple((1.0 - (1.0 - f) ** counts).tolist())

    return Picture(
        change_l=tuple((counts * per_round_l).tolist()),
        change_share=after(share.value),
        change_low=after(low),
        change_high=after(high),
        line_l=tuple(line_l.tolist()),
        mixed_share=tuple((1.0 - np.exp(-through)).tolist()),
        plug_share=tuple(np.minimum(1.0, through).tolist()),
        price_per_l=price_per_l,
    )


def _rounds(share: float, wanted: float) -> int:
    """The least whole number of changes; a rounding error short of it counts as it."""
    if share >= 1.0:
        return 1
    if not share > 0.0:
        return MOST_ROUNDS
    return min(MOST_ROUNDS, max(1, math.ceil(math.log(1.0 - wanted) / math.log(1.0 - share) - 1e-9)))


def _through(one: Estimate, rising: Callable[[Any], Any]) -> Estimate:
    """An Estimate through a rising function; its quantiles, where it keeps any, go through as they are."""
    found = carried(rising, [one], unit=one.unit)
    if one.quantiles is None:
        return found
    return replace(found, law=None, quantiles=tuple(float(rising(quantile)) for quantile in one.quantiles))
