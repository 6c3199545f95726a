"""Values typed before, offered again: what the same instrument was last seen to show."""

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache

from knowngood import units
from knowngood.acts.garage import Garage
from knowngood.store.event import Event
from knowngood.store.folds import JobState, ToolboxState, fold_job, fold_toolbox
from knowngood.store.store import Store

# Ours: more offers than this are a list to read.
MOST = 3
Offers = Mapping[str, Sequence[str]]


def told(garage: Garage) -> tuple[Event, ...]:
    """Every reading of the garage that was not taken back, the newest first."""
    return _told(garage.store, garage.store.newest_seq())


@lru_cache(maxsize=1)
def _told(store: Store, _until: int) -> tuple[Event, ...]:
    """Folded once for each state of the store: a page asks for it with every form."""
    found = list(fold_toolbox(ToolboxState(), store.events("toolbox")).readings)
    for stream in store.streams():
        if stream.startswith("job/"):
            found += fold_job(JobState(), store.events(stream)).kept("reading_judged")
    return tuple(sorted(found, key=lambda event: event.seq or 0, reverse=True))


def offers(readings: Iterable[Event], field: str, unit: str) -> Offers:
    """Return the last distinct values typed into a field, by instrument, the newest first.

    Args:
        readings: The newest first.
        field: read and zero are offered number by number, part with how far it may be off.
        unit: Only what was written in this unit is offered.

    Returns:
        Numbers as they were written, without the unit; what an assumed instrument read is not among them.
    """
    found: dict[str, dict[str, None]] = {}
    for event in readings:
        if event.data["instrument"]["assumed"]:
            continue
        numbers, written = units.apart(event.data["typed"].get(field, ""))
        if numbers and _same(written, unit):
            values = [" ± ".join(numbers)] if field == "part" else numbers[::-1]
            found.setdefault(event.data["instrument"]["name"], {}).update(dict.fromkeys(values))
    return {name: tuple(values)[:MOST] for name, values in found.items()}


def last_used(readings: Iterable[Event], names: Sequence[str]) -> str | None:
    """Return which of some instruments was read last; None when none of them was."""
    return next((name for event in readings if (name := event.data["instrument"]["name"]) in names), None)


def _same(one: str, other: str) -> bool:
    """The same unit, however it is spelt: ohm and Ω, not kΩ."""
    return all(unit in units.UNITS for unit in (one, other)) and units.UNITS[one][:2] == units.UNITS[other][:2]
