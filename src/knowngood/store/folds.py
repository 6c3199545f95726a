"""Folds: a state and further events make the next state. Pure; a state may be thrown away and folded again."""

from collections.abc import Iterable
from typing import TypeVar

from knowngood.store.event import Event, folding_order
from knowngood.store.states import JobState, PhonesState, State, ToolboxState, VehicleState

__all__ = [
    "JobState",
    "PhonesState",
    "ToolboxState",
    "VehicleState",
    "fold",
    "fold_job",
    "fold_phones",
    "fold_toolbox",
    "fold_vehicle",
]

S = TypeVar("S", bound=State)


def fold(state: S, events: Iterable[Event]) -> S:
    """Return how anything stands after further events; one that is known already changes nothing."""
    entries = dict(state.entries)
    for event in events:
        entries.setdefault(event.id, event)
    if _late(entries.values()):
        arrived = sorted(entries.values(), key=lambda event: event.seq or 0)
        entries = {event.id: event for event in folding_order(arrived)}
    return type(state)(entries)


def fold_job(state: JobState, events: Iterable[Event]) -> JobState:
    """Return how the job stands after further events; one that is known already changes nothing."""
    return fold(state, events)


def fold_phones(state: PhonesState, events: Iterable[Event]) -> PhonesState:
    """Return which phones are paired after further events; one that is known already changes nothing."""
    return fold(state, events)


def fold_toolbox(state: ToolboxState, events: Iterable[Event]) -> ToolboxState:
    """Return how the toolbox stands after further events; one that is known already changes nothing."""
    return fold(state, events)


def fold_vehicle(state: VehicleState, events: Iterable[Event]) -> VehicleState:
    """Return how the vehicle stands after further events; one that is known already changes nothing."""
    return fold(state, events)


def _late(events: Iterable[Event]) -> bool:
    """Did a device's event come after one that the device itself counted later?"""
    newest: dict[str, int] = {}
    for event in events:
        if event.device_seq and event.device_seq < newest.get(event.device, 0):
            return True
        newest[event.device] = max(event.device_seq, newest.get(event.device, 0))
    return False
