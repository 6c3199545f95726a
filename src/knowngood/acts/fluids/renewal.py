"""What a drain renews of a circuit's fluid, how many more it takes to a wanted share, and what they cost."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from knowngood.acts.fluids.circuit_facts import total_stated
from knowngood.acts.fluids.ledger import ledger
from knowngood.acts.fluids.words import unwritten_words
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.tools.prices import cans_of, expected_words
from knowngood.engine.fluids.carried import stated
from knowngood.engine.fluids.ledger import Moved, Way
from knowngood.engine.fluids.renewal import (
    Exchange,
    Picture,
    Rounds,
    continuous,
    picture,
    renewed_after,
    rounds_to,
    share_renewed,
    unknown_share,
)
from knowngood.engine.judgement import Estimate, combine
from knowngood.sheet.circuits import Fluid

# What is offered as a wanted share, and the one that is taken unless another is chosen. Ours.
WANTED = (0.5, 0.8, 0.9, 0.95)
USUAL_WANTED = 0.8
GEARBOX = "Many gearboxes are well served by one drain (common practice, without data)."
# Ours: a picture goes on beyond the wanted share by one change, and shows no more than this many.
MOST_DRAWN = 9
FEW = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine")


@dataclass(frozen=True)
class Renewal:
    """What was renewed, and what more would do.

    Args:
        share: What one change renews: the mean of those done so far.
        done: How many changes were done, the one in hand included.
        renewed: What they renewed together.
        wanted: Share that should be new.
        all_rounds: Changes to it from the first one on, with litres and money.
        more: How many of them are still to be done.
        more_l: To pour in for those. [L]
        more_money: What that costs; None where nobody stated a price. [owner's money]
        beside: The same litres through a continuous exchange; None where no total is known.
        drawn: What a picture shows.
        sentence: What it comes to.
        further: What else to know.
    """

    share: Estimate
    done: int
    renewed: Estimate
    wanted: float
    all_rounds: Rounds
    more: int
    more_l: float
    more_money: float | None
    beside: Exchange | None
    drawn: Picture
    sentence: str
    further: tuple[str, ...]


def renewal(garage: Garage, job: Job, circuit: str, wanted: float = USUAL_WANTED) -> Renewal | None:
    """Return what the drains of a job renewed in a circuit; None before anything came out.

    Args:
        garage: With the prices of fluids.
        job: Whose.
        circuit: Which one.
        wanted: Share that should be new, below 1.

    Raises:
        ValueError: More came out than the circuit holds, or a share that no number of changes reaches.
    """
    told = ledger(job, circuit)
    if any(one.way is Way.OUT for one in told.unwritten):
        raise ValueError(unwritten_words(told))
    rows = list(zip([one.moved for one in told.entries], told.volumes, strict=True))
    done = len(changes([moved for moved, _ in rows]))
    if not done:
        return None
    out = combine([(1.0 / done, volume) for moved, volume in rows if moved.way is not Way.IN])
    one = job.sheet.circuits[circuit]
    total = total_stated(one)
    share = unknown_share() if total is None else share_renewed(out, total)
    price = litre_price(garage, one.fluid)
    told_all = _told(share, done, out.value, total, wanted, price)
    return told_all if one.fluid is not Fluid.GEARBOX_OIL else replace(told_all, further=(*told_all.further, GEARBOX))


def changes(rows: Sequence[Moved]) -> list[list[Moved]]:
    """Return what went away in each change: all between two fillings counts as one.

    Example:
        >>> out, filled = Moved(Way.OUT, 3.0), Moved(Way.IN, 3.0)
        >>> [len(one) for one in changes([out, out, filled, filled, out])]
        [2, 1]
    """
    runs = groupby(rows, key=lambda row: row.way is Way.IN)
    return [list(run) for filling, run in runs if not filling]


def litre_price(garage: Garage, fluid: str) -> float | None:
    """What a litre of a fluid costs in the can that is cheapest by the litre; None where nobody stated one."""
    return min((amount / litre for litre, amount in cans_of(garage.toolbox(), fluid)), default=None)


def _told(
    share: Estimate, done: int, per_round_l: float, total: Estimate | None, wanted: float, price: float | None
) -> Renewal:
    rounds = rounds_to(share, wanted, per_round_l=per_round_l, price_per_l=price)
    more = max(0, rounds.rounds - done)
    more_l = more * per_round_l
    poured = stated("renewal/poured", rounds.litre, 0.0, unit="L")
    beside = None if total is None else continuous(poured, total)
    drawn = picture(share, per_round_l=per_round_l, price_per_l=price,
                    rounds=min(MOST_DRAWN, max(done, rounds.rounds) + 1))  # fmt: skip
    told = Renewal(
        share, done, renewed_after(share, done), wanted, rounds, more, more_l,
        None if price is None else more_l * price, beside, drawn, "", (),
    )  # fmt: skip
    return replace(told, sentence=_sentence(told, total is None), further=_further(told, total))


# --- in words ---------------------------------------------------------------------------------------------------------


def _sentence(told: Renewal, unknown: bool) -> str:
    now = _share_words(told.renewed)
    drains = "This drain renews" if told.done == 1 else f"These {told.done} drains renew"
    begins = f"{drains} {'perhaps ' if unknown else ''}{now}."
    if not told.more:
        return f"{begins} That is the {100 * told.wanted:.0f} % wanted, or more."
    count = FEW[told.more] if told.more < len(FEW) else str(told.more)
    cost = f"{told.more_l:.1f} L more"
    if told.more_money is not None:
        cost += f" for {expected_words(told.more_money)}"
    return f"{begins} {count} more would make {_share_words(told.all_rounds.reached)}: {cost}."


def _further(told: Renewal, total: Estimate | None) -> tuple[str, ...]:
    rows = []
    fewest, most = (max(0, end - told.done) for end in (told.all_rounds.fewest, told.all_rounds.most))
    if fewest != most:
        rows.append(f"By that doubt it takes {fewest} to {most} more (4 times out of 5).")
    if told.beside is not None and told.all_rounds.rounds > 1:
        rows.append(_beside_words(told.beside, told.all_rounds.litre))
    if total is None:
        rows.append(
            "What the circuit holds in all is not known, so a drain is taken to renew 30 to 50 % (common practice, "
            "without data). The manual's total, with converter, cooler and lines, would say."
        )
    rows.append(
        "New and old mix at each change, so each renews less than the one before. Your manual says how much is enough."
    )
    return tuple(rows)


def _beside_words(beside: Exchange, litre: float) -> str:
    """A continuous exchange lies between all mixed and nothing mixed."""
    least, at_most = (f"{100 * one.value:.0f} %" for one in (beside.mixed, beside.plug))
    return (
        f"The {litre:.1f} L of all changes through a continuous exchange, new in while old runs out: {least} when all "
        f"mixes, "
        f"at most {at_most}."
    )


def _share_words(share: Estimate) -> str:
    """A share in percent with half of its 95 % interval.

    Example:
        >>> _share_words(stated("f", 0.45, 0.02, unit="1"))
        '45 % ± 2 %'
    """
    low, high = share.interval(0.95)
    half = round(50.0 * (min(1.0, high) - max(0.0, low)))
    words = f"{100 * share.value:.0f} %"
    return f"{words} ± {half} %" if half else words
