"""How much of a fluid to have at hand for what is still to be filled, and the cans to get."""

from dataclasses import dataclass

from knowngood import units
from knowngood.acts.fluids.ledger import ledger, sure_to_come
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.tools.prices import cans_of
from knowngood.engine.fluids.cans import MOST_L, NEARLY_SURE, Can, Purchase, at_hand, purchase
from knowngood.engine.fluids.cans import AtHand as Litres
from knowngood.engine.fluids.carried import stated
from knowngood.engine.judgement import Estimate, combine
from knowngood.sheet.model import Step

# Ours: an amount that is printed without how far it is off.
AMOUNT_HALF = 0.05


@dataclass(frozen=True)
class AtHand:
    """What to have at hand.

    Args:
        needed: What goes in, with doubt. [L]
        measured: It is what came out, not what is printed.
        litres: Enough 4 times out of 5, and 19 of 20.
        cans: Sizes that are sold here, each with its price. [L, owner's money]
        bought: The cheapest that hold it; None where nobody stated a size.
    """

    needed: Estimate
    measured: bool
    litres: Litres
    cans: tuple[tuple[float, float], ...]
    bought: Purchase | None


def fluid_at_hand(garage: Garage, job: Job, circuit: str) -> AtHand | None:
    """Return how much of a circuit's fluid to have at hand.

    What came out counts once nothing more is to be drained; before, what the manual or the sheet says goes in.

    Args:
        garage: With the prices of cans.
        job: Whose.
        circuit: Its id.

    Returns:
        None when nothing more is to be filled, or nobody can say how much.
    """
    fills = [step for step in sure_to_come(job) if step.fill and step.fill.circuit == circuit]
    if not fills:
        return None
    measured = any(event.data["circuit"] == circuit for event in job.state.fluids) and not any(
        step.drain == circuit for step in sure_to_come(job)
    )
    owed = _owed(job, circuit) if measured else None
    needed = _printed(fills) if owed is None else owed
    if needed is None:
        return None
    cans = cans_of(garage.toolbox(), job.sheet.circuits[circuit].fluid)
    small_enough = needed.quantile(NEARLY_SURE) <= MOST_L
    bought = purchase(needed, [Can(*one) for one in cans]) if cans and small_enough else None
    return AtHand(needed, owed is not None, at_hand(needed), cans, bought)


def _owed(job: Job, circuit: str) -> Estimate | None:
    """What is owed, jug and all: a can is not filled with the jug that the old fluid was measured in."""
    told = ledger(job, circuit)
    return told.owed if told.against and not (told.beyond or told.unwritten) else None


def _printed(fills: list[Step]) -> Estimate | None:
    """What the steps fill together, as printed; None where the manual was not asked yet."""
    amounts = [(step, step.fill.amount) for step in fills if step.fill]
    known = [(step, one) for step, one in amounts if isinstance(one, units.Tolerance)]
    if len(known) < len(amounts):
        return None
    return combine([(1.0, _stated(step, one)) for step, one in known])


def _stated(step: Step, amount: units.Tolerance) -> Estimate:
    half = AMOUNT_HALF * amount.value if amount.half_width is None else amount.half_width
    return stated(
        f"fill/{step.id}", amount.value, half, unit="L", assumed=amount.half_width is None, name=f"amount of {step.id}"
    )
