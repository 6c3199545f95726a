"""Bolts in words: which wrench of the toolbox fits."""

from knowngood import units
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.problems import toolbox_of
from knowngood.engine.fasteners.wrenches import applied_torque, best
from knowngood.sheet.model import AskRef


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
