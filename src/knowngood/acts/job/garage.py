"""The garage: where everything is kept, and its vehicles, jobs and toolbox as they stand now."""

from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from functools import cached_property
from pathlib import Path
from typing import Any, Self, TypeVar
from zoneinfo import ZoneInfo

from knowngood import units
from knowngood.acts.cautions.equipment import equipment_of
from knowngood.acts.cautions.said import cautions_of
from knowngood.acts.job import planning
from knowngood.acts.job.begun import stops_said
from knowngood.acts.job.fits import sizes
from knowngood.acts.job.index import Index
from knowngood.acts.job.manual import Known, Said, counting, given_in, given_to, known
from knowngood.acts.job.run import Progress, Run, Stood, start
from knowngood.acts.job.states_kept import StatesKept
from knowngood.acts.job.torques import torque_words
from knowngood.acts.job.vehicle_log import Move
from knowngood.acts.phone_names import phone_names
from knowngood.acts.readings.judged_band import still_stands
from knowngood.acts.tools.prices import money_words, stated_prices
from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.gate import NONE, Declared
from knowngood.gate.words import said
from knowngood.refusal import Refused
from knowngood.sheet.model import Outcome, Sheet
from knowngood.sheet.reader import Reading
from knowngood.store.errors import PLACE, StoreError
from knowngood.store.event import Event
from knowngood.store.folds import (
    JobState,
    PhonesState,
    ToolboxState,
    VehicleState,
)
from knowngood.store.moment import day_of, zone_named
from knowngood.store.rows import REMEDY
from knowngood.store.store import Store
from knowngood.units.bare import money

T = TypeVar("T")
DEFAULT_FOLDER = "knowngood-garage"
OUTCOMES = {"within limits": Outcome.WITHIN, "out of limits": Outcome.OUT, "can't tell": Outcome.CANT_TELL}


def default_folder() -> Path:
    """The person's own garage, in the home folder."""
    return Path.home() / DEFAULT_FOLDER


def open_garage(folder: Path, *, clock: Callable[[], datetime] = lambda: datetime.now(UTC)) -> "Garage":
    """Open the garage in a folder, making it when it is not there.

    Raises:
        StoreError: The folder or its database cannot be used; the sentence says what to do.
    """
    return Garage(Store.open(folder, clock=clock), folder, clock)


def existing_garage(folder: Path | None = None) -> "Garage":
    """Open the garage in a folder, else the one in the person's home; nothing is made.

    Raises:
        StoreError: There is none, or it cannot be used; the sentence says what to do.
    """
    place = folder or default_folder()
    if not Store.stands_in(place):
        raise StoreError(f'There is no garage in {PLACE}. Check the folder; "serve --garage" makes one.', place)
    return open_garage(place)


@dataclass(frozen=True)
class Garage:
    """A store, its folder and a clock; the folded states follow from them. Whoever opens one closes it."""

    store: Store
    folder: Path
    clock: Callable[[], datetime]

    @cached_property
    def _kept(self) -> StatesKept:
        return StatesKept(self.store)

    @cached_property
    def index(self) -> Index:
        """What is asked of every job and vehicle at once."""
        return Index(self.store)

    def moves_of(self, vehicle_id: str) -> tuple[Move, ...]:
        """Return every change of how a vehicle stands, oldest first."""
        return self.kept(("moves", vehicle_id), lambda: self.index.moves(vehicle_id, self.zone))

    def open_jobs(self) -> dict[str, "Job"]:
        """Jobs that are not finished, by id, in the order they were opened."""
        return {row.id: self.job(row.id) for row in self.index.jobs() if not row.finished}

    def jobs_of(self, vehicle_id: str) -> dict[str, "Job"]:
        """Jobs of a vehicle by id, in the order they were opened."""
        return {row.id: self.job(row.id) for row in self.index.jobs() if row.vehicle == vehicle_id}

    def __enter__(self) -> Self:
        """Use it as long as it is open."""
        return self

    def __exit__(self, *_: object) -> None:
        """Close its database."""
        self.close()

    def close(self) -> None:
        """Close its database: what was written besides goes into its one file."""
        self.store.close()

    def now(self) -> str:
        """The time as events write it."""
        return self.clock().astimezone(UTC).isoformat(timespec="seconds")

    @property
    def zone(self) -> ZoneInfo | None:
        """The zone whose days count as today and as due, as it was stated last; None for this computer's."""
        stated = self.toolbox().kept("zone_stated")
        return zone_named(str(stated[-1].data["zone"])) if stated else None

    def today(self) -> date:
        """The day that it is now, in the garage's zone."""
        return day_of(self.now(), self.zone)

    def toolbox(self) -> ToolboxState:
        """Instruments, wrenches and tools."""
        return self._kept.toolbox()

    def phones(self) -> PhonesState:
        """Which phones may see this garage."""
        return self._kept.phones()

    def vehicles(self) -> dict[str, VehicleState]:
        """Vehicles by id."""
        vehicles = ((one, self.vehicle(one)) for one in self.ids("vehicle"))
        return {name: one for name, one in vehicles if one.entries}

    def vehicle(self, vehicle_id: str) -> VehicleState:
        """One vehicle."""
        return self._kept.vehicle(vehicle_id)

    def jobs(self) -> dict[str, "Job"]:
        """Jobs by id, in the order they were opened; one whose opening is damaged is not among them."""
        jobs = ((job_id, self.readable_job(job_id)) for job_id in self.ids("job"))
        return {job_id: job for job_id, job in jobs if job}

    def job(self, job_id: str) -> "Job":
        """One job as it stands.

        Raises:
            Refused: There is no such job.
        """
        job = self.readable_job(job_id)
        if job is None and self.store.newest_seq(f"job/{job_id}"):
            damage = " ".join(one.words for one in self.store.damage(f"job/{job_id}"))
            raise Refused({"": f'The job "{job_id}" cannot be shown: how it began is not readable. {damage} {REMEDY}'})
        if job is None:
            known = ", ".join(self.ids("job")) or "none"
            raise Refused({"": f'There is no job "{job_id}" in this garage. It has: {known}.'})
        return job

    def readable_job(self, job_id: str) -> "Job | None":
        """One job; None when it was not begun, or its beginning is damaged."""
        return self._kept.made(("job", job_id), lambda: self._read(job_id))

    def _read(self, job_id: str) -> "Job | None":
        state = self.job_state(job_id)
        if state.opened is None:
            return None
        damage = tuple(one.words for one in self.store.damage(f"job/{job_id}"))
        vehicle = self.vehicle(state.opened.data["vehicle"])
        said, prices = given_to(vehicle, self._job_of, self.job_state, self.zone), stated_prices(self.toolbox())
        return Job(job_id, state, vehicle, said, damage, prices, phone_names(self.phones()), self.zone)

    def only_job(self) -> str:
        """The id of the one job that there is.

        Raises:
            Refused: There is none, or more than one.
        """
        found = list(self.ids("job"))
        if len(found) != 1:
            known = ", ".join(found) or "none yet"
            raise Refused({"": f"This garage has {len(found)} jobs ({known}). Say which one."})
        return found[0]

    def kept(self, what: Hashable, by: Callable[[], T]) -> T:
        """Return what follows from the whole garage, worked out once until anything new arrives."""
        return self._kept.made(what, by)

    def job_state(self, job_id: str) -> JobState:
        """How a job stands, begun or not."""
        return self._kept.job(job_id)

    def _job_of(self, event_id: str) -> str | None:
        """The id of the job that an entry was made in; None when it was made in none, or is not here."""
        event = self.store.event(event_id)
        head, _, job_id = event.stream.partition("/") if event else ("", "", "")
        return job_id if head == "job" else None

    def ids(self, kind: str) -> Iterator[str]:
        """Ids of all jobs or vehicles, in the order in which they came, without looking into any."""
        streams = (stream.partition("/") for stream in self.store.streams())
        return (one for head, _, one in streams if head == kind)


@dataclass(frozen=True)
class Job:
    """A job: what happened, the vehicle, and what follows from both."""

    id: str
    state: JobState
    vehicle: VehicleState
    of_vehicle: Sequence[Said] = ()
    damage: Sequence[str] = ()  # what is damaged and left out, a sentence each
    stated_prices: Mapping[str, float] = field(default_factory=dict)  # by what has one, as the garage states it
    phones: Mapping[str, str] = field(default_factory=dict)  # what each phone is called, by its id
    zone: ZoneInfo | None = None  # the garage's; None for this computer's

    @property
    def opened(self) -> Mapping[str, Any]:
        """What the job was opened with."""
        assert self.state.opened is not None  # Garage.job has looked
        return self.state.opened.data

    @property
    def vehicle_id(self) -> str:
        """Id of the vehicle."""
        return str(self.opened["vehicle"])

    @property
    def seq(self) -> int:
        """Where its newest event stands in the store."""
        return max(event.seq or 0 for event in self.state.entries.values())

    @property
    def started(self) -> bool:
        """Work has begun: the plan stands and the start was not taken back."""
        return self.state.started is not None

    @property
    def title(self) -> str:
        """Title of the sheet."""
        return str(self.opened["title"])

    @property
    def scope(self) -> Sequence[str]:
        """The chosen sizes of the job; empty means all."""
        return tuple(self.opened["scope"])

    @cached_property
    def reading(self) -> Reading:
        """The sheet as written, with its places."""
        return planning.kept_sheet(self.state.sheet, str(self.opened["sheet_file"]))

    @property
    def reading_as_said(self) -> Reading:
        """The same, with what the person said of parts filled in."""
        sheet = self.reading.sheet
        return replace(self.reading, sheet=sheet and planning.declared(sheet, self.parts_are))

    @property
    def parts_are(self) -> dict[str, Declared]:
        """What the person said that parts are, by name in the gate's form."""
        said_of = self.state.newest("part_is", "name")
        systems = {said(name): event.data["system"] for name, event in said_of.items()}
        return {name: "none" if system == NONE else SafetyKind(system) for name, system in systems.items()}

    @cached_property
    def sheet(self) -> Sheet:
        """The sheet with what the manual says filled in."""
        assert self.reading.sheet is not None  # a sheet with mistakes opens no job
        return planning.answered(planning.declared(self.reading.sheet, self.parts_are), self.answers)

    @cached_property
    def sizes(self) -> Mapping[str, str]:
        """Which size fits which fastener of this vehicle, as far as it was noted in any job."""
        assert self.reading.sheet is not None  # a sheet with mistakes opens no job
        return sizes(self.reading.sheet, self.vehicle)

    @cached_property
    def manual(self) -> Mapping[str, Known]:
        """What is known of each question to the manual, this job's words before the vehicle's."""
        assert self.reading.sheet is not None  # a sheet with mistakes opens no job
        return known(self.reading.sheet, given_in(self.id, self.state, self.zone), self.of_vehicle)

    @property
    def answers(self) -> dict[str, str | None]:
        """What the manual says, as far as it counts here; None is "my manual does not say"."""
        return counting(self.manual)

    @cached_property
    def run(self) -> Run:
        """The run as it stands."""
        state = self.state
        order = state.planned.data["order"] if state.planned else planning.order(self.sheet, self.scope)
        progress = Progress(
            order=[step for step in order if any(one.id == step for one in self.sheet.steps)],
            done=[event.data["step"] for event in state.done],
            put_off={event.data["step"]: event.data["why"] for event in state.put_off},
            found={limit: OUTCOMES[event.data["judgement"]["verdict"]] for limit, event in self.newest.items()},
            decided={event.data["decision"]: event.data["choice"] for event in state.decisions},
            silent=[ask for ask, answer in self.answers.items() if answer is None],
            said=self._stood,
        )
        return start(self.sheet, progress)

    @cached_property
    def cautions(self) -> dict[str, tuple[str, ...]]:
        """The cautions of each step of the plan, as every page and paper says them."""
        own = cautions_of(self.sheet, tuple(self.run.standing), equipment_of(self.vehicle))
        against = self._stops_said() if self.started else {}
        return {step: (*against.get(step, ()), *rows) for step, rows in own.items()}

    def _stops_said(self) -> dict[str, tuple[str, ...]]:
        """What stands against each step of a job that has begun; one that has not has its stops before the start."""
        return stops_said(
            self.state.sheet,
            str(self.opened["sheet_file"]),
            parts_are=self.parts_are,
            answers=self.answers,
            scope=self.scope,
            driven=self.vehicle.driven,
            overrulings=[event.data for event in self.state.overruled],
        )

    @property
    def _stood(self) -> list[Stood]:
        """How the vehicle was said to stand since this job began, each after the steps that had arrived by then."""
        if self.state.started is None:
            return []
        here, there = self.state.arrived, self.vehicle.arrived
        began, done = here[self.state.started.id], [here[event.id] for event in self.state.done]
        return [
            Stood(sum(one < there[event.id] for one in done), tuple(event.data["makes"]), tuple(event.data["ends"]))
            for event in self.vehicle.kept("stands_now")
            if there[event.id] > began
        ]

    @property
    def readings(self) -> list[Event]:
        """Readings of this job as they were told, oldest first; attached ones as copies."""
        return list(self.state.readings)

    def readings_of(self, limit: str) -> list[Event]:
        """Readings judged against a limit of the sheet, oldest first; of one judged again its newest judgement."""
        return [event for event in self.state.counting if event.data["limit"] == limit]

    def verdicts_of(self, limit: str) -> list[Event]:
        """The same without those whose limit has changed since they were judged: their verdicts decide nothing."""
        return [event for event in self.readings_of(limit) if self.stands(event)]

    def stands(self, reading: Event) -> bool:
        """Does a reading's verdict still decide what hangs on it? In a finished job all do: it is closed as it was."""
        limit = self.sheet.limits.get(reading.data["limit"] or "")
        return self.state.finished is not None or still_stands(limit, reading)

    @property
    def newest(self) -> dict[str, Event]:
        """The reading that counts for each limit: the newest, unless the limit has changed since it was judged."""
        found = {event.data["limit"]: event for event in self.state.counting if event.data["limit"]}
        return {limit: event for limit, event in found.items() if self.stands(event)}

    def torque_text(self, fastener: str) -> str:
        """The torque in words, as signed: the manual's, by hand, or that the manual does not say."""
        return torque_words(self.sheet.fasteners[fastener], self.run.progress.silent)

    def torque_owed(self, fastener: str) -> bool:
        """Loosened, and not signed since."""
        owed = False
        for event in self.state.kept("step_done", "bolts_signed"):
            if event.kind == "bolts_signed":
                owed = owed and event.data["fastener"] != fastener
            elif fastener in self.sheet.step(event.data["step"]).loosen:
                owed = True
        return owed

    @property
    def quote(self) -> float | None:
        """What a shop asks, as stated last; a job of an older program may have been opened with words."""
        stated = self.state.kept("quote_stated")
        if stated:
            return float(stated[-1].data["amount"])
        try:
            return money(str(self.opened.get("quote") or ""))
        except units.UnitsError:
            return None

    @property
    def quote_words(self) -> str:
        """The same in words; empty when nobody asked a shop."""
        return str(self.opened.get("quote") or "") if self.quote is None else money_words(self.quote)
