"""Values typed before, offered again: what the same instrument was last seen to show."""

from collections.abc import Iterable, Mapping, Sequence

from knowngood import units
from knowngood.acts.job.garage import Garage, Job
from knowngood.store.event import Event

# Ours: more offers than this are a list to read.
MOST = 3
Offers = Mapping[str, Sequence[str]]


def told(garage: Garage, vehicle: str = "") -> tuple[Event, ...]:
    """Readings that were not taken back, the newest first: without a job, of open jobs, and of a vehicle's."""
    return garage.kept(("readings told", vehicle), lambda: _told(garage, vehicle))


def _told(garage: Garage, vehicle: str) -> tuple[Event, ...]:
    found = list(garage.toolbox().readings)
    for row in garage.index.jobs():
        if not row.finished or row.vehicle == vehicle:
            found += garage.job_state(row.id).kept("reading_judged")
    return tuple(sorted(found, key=lambda event: event.seq or 0, reverse=True))


def read_before(garage: Garage, job: Job, limit: str, readings: Iterable[Event]) -> list[Event]:
    """Return the readings of this very limit on this very vehicle, in this job or an earlier one of the same sheet."""
    found = []
    for event in readings:
        head, _, of = event.stream.partition("/")
        if head != "job" or event.data.get("limit") != limit:
            continue
        other = job if of == job.id else garage.readable_job(of)
        if other and other.vehicle_id == job.vehicle_id and other.sheet.id == job.sheet.id:
            found.append(event)
    return found


def offers(readings: Iterable[Event], field: str, unit: str) -> Offers:
    """Return the last distinct values typed into a field, by instrument, the newest first.

    Args:
        readings: The newest first.
        field: read or zero; they are offered number by number.
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
            found.setdefault(event.data["instrument"]["name"], {}).update(dict.fromkeys(numbers[::-1]))
    return {name: tuple(values)[:MOST] for name, values in found.items()}


def last_used(readings: Iterable[Event], names: Sequence[str]) -> str | None:
    """Return which of some instruments was read last; None when none of them was."""
    return next((name for event in readings if (name := event.data["instrument"]["name"]) in names), None)


def _same(one: str, other: str) -> bool:
    """The same unit, however it is spelt: ohm and Ω, not kΩ."""
    return all(unit in units.UNITS for unit in (one, other)) and units.UNITS[one][:2] == units.UNITS[other][:2]
