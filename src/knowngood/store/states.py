"""How a job, the toolbox, a vehicle and the phones stand: all that happened, and what of it still counts."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, ClassVar

from knowngood.store.event import Event
from knowngood.store.lift import NEWEST

# Of a reading judged again: the id of the reading as it was judged first.
OF_READING = "of_reading"
# Of an amount that was written down after its step: the id of the entry that says the step is done.
OF_DONE = "of_done"
# Whoever takes the entry back that one of these names takes back what hangs on it.
HANGS_ON = ("with", OF_READING, OF_DONE)


@dataclass(frozen=True)
class State:
    """What happened in a stream, each event once, in order.

    Nothing is taken out when it is withdrawn: the withdrawal is an event as well, and what still counts follows from
    all of them together. So it does not matter which of the two arrives first.
    """

    KINDS: ClassVar[frozenset[str]] = frozenset()
    entries: Mapping[str, Event] = field(default_factory=dict)

    @cached_property
    def _taken_back(self) -> set[str]:
        """Ids that withdrawals in force aim at; a withdrawal may be withdrawn in turn."""
        by: dict[str, list[str]] = {}
        for event in self.entries.values():
            if event.kind == "withdrawn":
                by.setdefault(event.data["id"], []).append(event.id)
        return {target for target in by if _is_gone(target, by)}

    @cached_property
    def _kept(self) -> dict[str, list[Event]]:
        """What still counts, by kind."""
        gone = self._taken_back
        found: dict[str, list[Event]] = {}
        for event in self.entries.values():
            if not gone or not gone & {event.id, *map(event.data.get, HANGS_ON)}:
                found.setdefault(_known_as(event), []).append(event)
        return found

    def kept(self, *kinds: str) -> list[Event]:
        """Return the events of some kinds that still count, oldest first."""
        if len(kinds) == 1:
            return list(self._kept.get(kinds[0], ()))
        place = {id: number for number, id in enumerate(self.entries)}
        return sorted((one for kind in kinds for one in self.kept(kind)), key=lambda one: place[one.id])

    def newest(self, kind: str, by: str) -> dict[str, Event]:
        """Return the newest event of a kind for each value of a field."""
        return {event.data[by]: event for event in self.kept(kind)}

    @cached_property
    def arrived(self) -> dict[str, int]:
        """How far the store had come when each event counted: one that is folded after another counts after it."""
        newest, found = 0, dict[str, int]()
        for event in self.entries.values():
            newest = max(newest, event.seq or 0)
            found[event.id] = newest
        return found

    @property
    def withdrawn_events(self) -> list[Event]:
        """What was taken back, oldest first; what has not arrived yet is not among it."""
        return [event for event in self.entries.values() if event.id in self._taken_back]

    @property
    def unknown(self) -> list[Event]:
        """Events of a kind that this program does not know, such as a newer one's; kept and named."""
        known = self.KINDS | {"withdrawn"}
        return self.kept(*(kind for kind in self._kept if kind not in known))

    @property
    def notes(self) -> list[Event]:
        """Notes in words alone; those with a photo are among the photos."""
        return [event for event in self.kept("noted") if not event.data.get("photo")]

    @property
    def photos(self) -> list[Event]:
        """Photos, in order, whatever kind of event brought them."""
        return [event for event in self.kept("photo_kept", "noted") if event.data.get("photo")]


def _known_as(event: Event) -> str:
    """The event's kind; a version newer than this program's is a kind that it does not know."""
    newer = event.version > NEWEST.get(event.kind, 1)
    return f"{event.kind}, version {event.version}" if newer else event.kind


def _is_gone(target: str, by: Mapping[str, list[str]], above: frozenset[str] = frozenset()) -> bool:
    """Is the target withdrawn by a withdrawal that stands? `above` ends a ring, which only damage can make."""
    above = above | {target}
    return any(one not in above and not _is_gone(one, by, above) for one in by.get(target, ()))


@dataclass(frozen=True)
class JobState(State):
    """How a job stands."""

    KINDS: ClassVar[frozenset[str]] = frozenset((
        "job_opened", "sheet_revised", "answered", "overruled", "planned", "started", "kit_got", "step_done",
        "step_put_off", "reading_judged", "reading_attached", "bolts_signed", "fluid_moved", "temperature_read",
        "mix_read", "finding_noted", "code_noted", "word_said", "decided", "quote_stated", "paid", "watch_opened",
        "watch_closed", "part_weighed", "returns_stated", "proof_driven", "proof_seen", "worth_stated", "noted",
        "photo_kept", "finished", "part_is", "stands_now", "fit_noted",
    ))  # fmt: skip

    @property
    def opened(self) -> Event | None:
        """How the job began."""
        return next(iter(self.kept("job_opened")), None)

    @property
    def sheet(self) -> str:
        """The sheet as written, its newest revision; empty before the job is opened.

        An older program let a job be opened twice: what it was opened with first counts.
        """
        sheet = self._last("sheet_revised") or self.opened
        return str(sheet.data["sheet"]) if sheet else ""

    @property
    def planned(self) -> Event | None:
        """The newest plan."""
        return self._last("planned")

    @property
    def started(self) -> Event | None:
        """When work began."""
        return self._last("started")

    @property
    def finished(self) -> Event | None:
        """When the job was finished; None while it is open."""
        return self._last("finished")

    @property
    def done(self) -> list[Event]:
        """Steps done, in order."""
        return self.kept("step_done")

    @property
    def put_off(self) -> list[Event]:
        """Steps that could not be done, the newest word on each."""
        return list(self.newest("step_put_off", "step").values())

    @cached_property
    def readings(self) -> list[Event]:
        """Readings as they were told, oldest first; one attached from the toolbox as a copy with this job's limit."""
        kept = self.kept("reading_judged", "reading_attached")
        return [_as_read(event) if event.kind == "reading_attached" else event for event in kept]

    @cached_property
    def counting(self) -> list[Event]:
        """Readings as they count: of one judged again its newest judgement, where and when it was read."""
        read = {event.id: event.happened for event in self.readings}
        newest = {first_judged(event): event for event in self.readings}
        return [replace(event, happened=read.get(first, event.happened)) for first, event in newest.items()]

    @cached_property
    def places(self) -> dict[str, int]:
        """Where each entry stands in their order.

        A reading judged again stands where it was read, an amount written down afterwards where its step was done.
        """
        found: dict[str, int] = {}
        for place, event in enumerate(self.entries.values()):
            found[event.id] = found.get(event.data.get(OF_DONE, first_judged(event)), place)
        return found

    @property
    def attached(self) -> list[Event]:
        """Readings attached from the toolbox, as they were attached."""
        return self.kept("reading_attached")

    @property
    def bolts(self) -> list[Event]:
        """Bolts signed for."""
        return self.kept("bolts_signed")

    @property
    def fluids(self) -> list[Event]:
        """Fluid that went out, in or beside."""
        return self.kept("fluid_moved")

    @property
    def temperatures(self) -> list[Event]:
        """Temperatures of fluids on their way to a window."""
        return self.kept("temperature_read")

    @property
    def decisions(self) -> list[Event]:
        """The newest choice of each decision."""
        return list(self.newest("decided", "decision").values())

    @property
    def paid(self) -> list[Event]:
        """What was paid."""
        return self.kept("paid")

    @property
    def watches(self) -> list[Event]:
        """What to keep an eye on."""
        return self.kept("watch_opened")

    @property
    def overruled(self) -> list[Event]:
        """Warnings that the person went past, with the reason."""
        return self.kept("overruled")

    @property
    def kit(self) -> list[Event]:
        """Parts that are there."""
        return self.kept("kit_got")

    def _last(self, kind: str) -> Event | None:
        events = self.kept(kind)
        return events[-1] if events else None


@dataclass(frozen=True)
class ToolboxState(State):
    """What is in the toolbox, and readings judged without a job."""

    KINDS: ClassVar[frozenset[str]] = frozenset((
        "instrument_added", "instrument_checked", "wrench_added", "tool_added", "price_stated", "reading_judged",
        "noted", "answered", "zone_stated",
    ))  # fmt: skip

    @property
    def instruments(self) -> list[Event]:
        """Measuring instruments, a line of their data sheet each."""
        return self.kept("instrument_added")

    @property
    def checks(self) -> list[Event]:
        """Instruments held against a known value, oldest first."""
        return self.kept("instrument_checked")

    @property
    def wrenches(self) -> list[Event]:
        """Torque wrenches."""
        return self.kept("wrench_added")

    @property
    def tools(self) -> list[Event]:
        """Other tools."""
        return self.kept("tool_added")

    @property
    def prices(self) -> list[Event]:
        """What things cost, oldest first."""
        return self.kept("price_stated")

    @property
    def readings(self) -> list[Event]:
        """Readings judged without a job, oldest first."""
        return self.kept("reading_judged")


def first_judged(event: Event) -> str:
    """Return the id under which a reading was judged first; of anything else its own."""
    return str(event.data.get(OF_READING, event.id))


def _as_read(event: Event) -> Event:
    """An attached reading as it was told, when it was read; older events say only when they were attached."""
    told = {**event.data["data"], "limit": event.data["limit"]}
    return replace(event, data=told, happened=event.data.get("happened", event.happened))


NAMELESS = "Vehicle without a name"


@dataclass(frozen=True)
class VehicleState(State):
    """What is known of a vehicle."""

    KINDS: ClassVar[frozenset[str]] = frozenset((
        "vehicle_named", "vehicle_renamed", "described", "topped_up", "answered", "stands_now", "noted",
        "fit_noted",
    ))  # fmt: skip

    @property
    def name(self) -> str:
        """What the person calls it; empty before anything is said of it.

        In an older garage a second naming renames it. A damaged one leaves it without a name.
        """
        events = self.kept("vehicle_named", "vehicle_renamed")
        return str(events[-1].data["name"]) if events else NAMELESS if self.entries else ""

    @property
    def text(self) -> str:
        """The newest description; empty when there is none."""
        return str(self._described("text") or "")

    @property
    def driven(self) -> str | None:
        """The driven axle: front, rear or all."""
        driven = self._described("driven")
        return None if driven is None else str(driven)

    @property
    def odometer_km(self) -> float | None:
        """The newest reading of the odometer. [km]"""
        km = self._described("odometer_km")
        return None if km is None else float(km)

    def has(self, name: str) -> str:
        """What was last said of its equipment: yes, no, not known; empty when nobody said anything."""
        return str(self._described(name) or "")

    def _described(self, name: str) -> Any:
        """The newest word on one thing; a later description that leaves it out says nothing about it."""
        said = (event.data.get(name) for event in reversed(self.kept("described")))
        return next((value for value in said if value not in (None, "")), None)


@dataclass(frozen=True)
class PhonesState(State):
    """Which phones may see the garage."""

    KINDS: ClassVar[frozenset[str]] = frozenset(("phone_paired",))

    @property
    def paired(self) -> list[Event]:
        """Phones that are paired and were not dropped, oldest first."""
        return self.kept("phone_paired")
