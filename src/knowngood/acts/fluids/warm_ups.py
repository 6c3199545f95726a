"""The warm-ups of a job: the temperatures that were kept for a circuit, by one clock, and what they come to."""

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

from knowngood import units
from knowngood.acts.fluids.warming import Warming, followed
from knowngood.acts.job.garage import Job
from knowngood.sheet.model import AskRef, Fluid
from knowngood.store.event import Event
from knowngood.store.moment import instant

# Ours: readings that lie farther apart belong to another warm-up. [s]
SAME_WARM_UP_S = 3600.0


def window_of(job: Job, circuit: str) -> units.Span | None:
    """The window of a circuit: that of the step in hand, else its level's; None when nobody states one."""
    level, step = job.sheet.circuits[circuit].level, job.run.now
    window = step.between if step and step.window == circuit else None
    window = window or (level.window if level else None)
    return None if window is None or isinstance(window, AskRef) else window


def warming(job: Job, circuit: str) -> Warming | None:
    """Return how the fluid of a circuit stands to its window; None before the first temperature or without a window."""
    allowed = window_of(job, circuit)
    events = [one for one in job.state.temperatures if one.data["circuit"] == circuit]
    if allowed is None or not events:
        return None
    kept = _last_warm_up(read_times(job, circuit))
    last = kept[-1][0]
    timed = [((at - last).total_seconds(), event.data) for at, event in kept]
    oil = job.sheet.circuits[circuit].fluid is not Fluid.COOLANT
    return followed(
        [(at, data["celsius"], data["step_k"], data["read_with"]) for at, data in timed], allowed, last, oil
    )


def read_times(job: Job, circuit: str) -> list[tuple[datetime, Event]]:
    """Return the temperatures of a circuit with when each was read, in that order."""
    events = [one for one in job.state.temperatures if one.data["circuit"] == circuit]
    times = _times(events, job.state.entries.values())
    return sorted(zip(times, events, strict=True), key=lambda pair: pair[0])


def _times(events: Sequence[Event], everything: Iterable[Event]) -> list[datetime]:
    """When each was read, by this computer's clock: a phone's clock may be wrong, but it runs as fast.

    What a device sent soonest after it happened, of all it sent, tells how far its clock is off.
    """
    behind = _behind(everything)
    return [instant(one.happened) + behind[one.device] - timedelta(minutes=one.data["ago_min"]) for one in events]


def _behind(everything: Iterable[Event]) -> dict[str, timedelta]:
    """How far the clock of each device is behind this computer's."""
    behind: dict[str, timedelta] = {}
    for one in everything:
        late = instant(one.recorded) - instant(one.happened)
        behind[one.device] = min(late, behind.get(one.device, late))
    return behind


def moment_of(job: Job, device: str, happened: str, now: datetime) -> datetime:
    """Return when something that comes in now happened, by this computer's clock; without a time of its own, now."""
    if not happened:
        return now
    at = instant(happened)
    late = now - at
    return at + min(late, _behind(job.state.entries.values()).get(device, late))


def _last_warm_up(ordered: Sequence[tuple[datetime, Event]]) -> list[tuple[datetime, Event]]:
    """The readings since the last long gap; of two at one moment the later sent."""
    kept: list[tuple[datetime, Event]] = []
    for at, event in ordered:
        if kept and (at - kept[-1][0]).total_seconds() > SAME_WARM_UP_S:
            kept = []
        if kept and at <= kept[-1][0]:
            kept.pop()
        kept.append((at, event))
    return kept
