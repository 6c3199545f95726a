"""Fluids and bolts in words: what is still owed to a circuit, which wrench of the toolbox fits."""

from knowngood import units
from knowngood.acts.garage import Garage, Job
from knowngood.acts.planning import toolbox_of
from knowngood.engine.fasteners.wrenches import applied_torque, best
from knowngood.engine.fluids.expansion import LIQUIDS
from knowngood.engine.fluids.ledger import Moved, Way, balance
from knowngood.sheet.model import AskRef


def owed_words(job: Job, circuit: str) -> str:
    """What is still owed to a circuit, brought to 20 °C, with its doubt."""
    moved = [event.data for event in job.state.fluids if event.data["circuit"] == circuit]
    if not moved:
        return "Nothing is owed."
    rows = [Moved(Way(data["way"]), data["litre"], data["temperature_c"]) for data in moved]
    estimate = balance(rows, LIQUIDS.get(job.sheet.circuits[circuit].fluid, LIQUIDS["unknown"])).owed
    low, high = estimate.interval(0.95)
    half = 0.5 * (high - low)
    if low <= 0.0 <= high:
        return f"In and out agree within what a jug can tell: {estimate.value:+.2f} ± {half:.2f} L at 20 °C."
    words = "still owed" if estimate.value > 0.0 else "more in than came out"
    return f"{abs(estimate.value):.2f} ± {half:.2f} L {words}, brought to 20 °C. The level decides, not the jug."


def wrench_words(garage: Garage, job: Job, fastener: str) -> str | None:
    """Which torque wrench of the toolbox fits, and what it applies; None when no torque is stated."""
    torque = job.sheet.fasteners[fastener].torque
    if torque is None or isinstance(torque, AskRef):
        return None
    wrench = best(toolbox_of(garage).wrenches, torque.value)
    if wrench is None:
        return "No torque wrench in the toolbox reaches this: borrow one."
    low, high = applied_torque(torque.value, wrench).interval(0.95)
    ends = [f"{units.to_unit(end, torque.unit):.1f}" for end in (low, high)]
    return f"Use the {wrench.name}: set there, it applies {ends[0]}–{ends[1]} {torque.unit}."
