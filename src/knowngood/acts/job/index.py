"""What is asked of every job and vehicle at once: a short row a stream, kept in the database."""

import json
import threading
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass, fields, replace
from datetime import tzinfo
from typing import Any

from knowngood import __version__
from knowngood.acts.cautions.equipment import EQUIPMENT
from knowngood.acts.job.vehicle_log import Move, moves_in, moves_said, must_not_stay
from knowngood.store.folds import JobState, VehicleState, fold
from knowngood.store.follows import Follows
from knowngood.store.moment import moment_words
from knowngood.store.store import Store

# By fact, the place of its last change among all that happened, and whether it has held since.
Last = Mapping[str, tuple[int, bool]]


@dataclass(frozen=True)
class WatchRow:
    """Something that a job keeps an eye on and that is not closed: the id of its event, and what that says."""

    event: str
    data: Mapping[str, Any]


@dataclass(frozen=True)
class JobRow:
    """A job in short.

    Args:
        id: Its id.
        vehicle: Id of its vehicle.
        title: Of its sheet.
        finished: When it was finished; empty while it is open.
        watches: What it keeps an eye on still.
        attached: Ids of readings of the toolbox that were attached to it.
        last: Of each fact that must not stay: where it was changed last, and whether it has held since.
    """

    id: str
    vehicle: str
    title: str
    finished: str
    watches: tuple[WatchRow, ...]
    attached: tuple[str, ...]
    last: Last


@dataclass(frozen=True)
class VehicleRow:
    """A vehicle in short.

    Args:
        id: Its id.
        name: What the person calls it.
        text: The newest description.
        odometer_km: The newest reading of the odometer; None when nobody looked. [km]
        has: What was said of its equipment, by name.
        last: The same as of a job, by what somebody said.
    """

    id: str
    name: str
    text: str
    odometer_km: float | None
    has: Mapping[str, str]
    last: Last


# Number: goes up when the same words of a row come to mean something else.
VERSION = " ".join(
    [__version__, "1", *(one.name for kind in (JobRow, VehicleRow, WatchRow, Move) for one in fields(kind))]
)


def open_facts(vehicle: VehicleRow, jobs: Iterable[JobRow]) -> list[str]:
    """Return what stands open on a vehicle: of each fact the newest word over all its jobs counts."""
    newest: dict[str, tuple[int, bool]] = {}
    for last in (vehicle.last, *(job.last for job in jobs)):
        for fact, (place, holds) in last.items():
            newest[fact] = max(newest.get(fact, (-1, False)), (place, holds))
    return [fact for fact, (_, holds) in newest.items() if holds]


class Index:
    """The rows of a garage. Safe between threads; nothing is kept of what a transaction may yet undo."""

    def __init__(self, store: Store) -> None:
        """Begin with nothing; the rows are read when the first is asked for."""
        self._store = store
        self._lock = threading.Lock()
        self._damage, self._until = -1, -1
        self._newest: dict[str, int] = {}
        self._rows: dict[str, Follows] = {}
        self._read: dict[str, tuple[int, JobRow | VehicleRow | None]] = {}
        self._unkept: dict[str, Follows] = {}

    def jobs(self) -> Iterator[JobRow]:
        """Every job that was begun, in the order in which they came."""
        return (row for job_id in self.ids("job") if isinstance(row := self._row(f"job/{job_id}"), JobRow))

    def ids(self, head: str) -> list[str]:
        """Ids of all streams of jobs or vehicles, in the order in which they came, without looking into any."""
        self._look()
        streams = (stream.partition("/") for stream in [*self._newest])
        return [name for kind, _, name in streams if kind == head]

    def job(self, job_id: str) -> JobRow | None:
        """One job; None when it was not begun, or its beginning is damaged."""
        self._look()
        row = self._row(f"job/{job_id}")
        assert row is None or isinstance(row, JobRow)
        return row

    def vehicle(self, vehicle_id: str) -> VehicleRow | None:
        """One vehicle; None where there is nothing of it."""
        self._look()
        row = self._row(f"vehicle/{vehicle_id}")
        assert row is None or isinstance(row, VehicleRow)
        return row

    def moves(self, vehicle_id: str, zone: tzinfo | None) -> tuple[Move, ...]:
        """Return every change of how a vehicle stands over all its jobs, oldest first, its moment in words of a zone.

        Also those of a job whose start was taken back: what its steps did to the vehicle stays done.
        """
        own = [move for row in self.jobs() if row.vehicle == vehicle_id for move in self._moves(row.id)]
        vehicle = fold(VehicleState(), self._store.events(f"vehicle/{vehicle_id}"))
        moves = sorted([*own, *moves_said(vehicle)], key=lambda move: move.place)
        return tuple(replace(move, when=moment_words(move.when, zone)) for move in moves)

    def keep(self) -> None:
        """Keep in the database what was made since the last time."""
        if self._store.in_transaction or self._damage > 0:
            return
        with self._lock:
            rows, self._unkept = [*self._unkept.values()], {}
        if rows:
            self._store.keep_follows(rows)

    def _moves(self, job_id: str) -> list[Move]:
        stream = f"job/{job_id}"
        kept = next(iter(self._store.follows(VERSION, stream)), None)
        if kept is None or kept.seq != self._newest.get(stream) or self._damage > 0:
            kept = self._made(stream, self._newest.get(stream, 0))
        return [
            Move(**{**row, "makes": tuple(row["makes"]), "ends": tuple(row["ends"])}) for row in json.loads(kept.more)
        ]

    def _look(self) -> None:
        """See how far each stream has come; after damage was met begin anew, for it may be part of any."""
        newest, damage = self._store.newest_seq(), self._store.damage_known
        with self._lock:
            if damage != self._damage:
                rows = [] if damage else self._store.follows(VERSION)
                self._rows, self._read, self._unkept = {row.stream: row for row in rows}, {}, {}
                self._damage = damage
            if newest != self._until:
                self._newest |= self._store.newest_seqs(after=max(self._until, 0))
                self._until = newest

    def _row(self, stream: str) -> JobRow | VehicleRow | None:
        """The row of a stream as far as was looked last."""
        seq = self._newest.get(stream, 0)
        seen = self._read.get(stream)
        if seen and seen[0] == seq:
            return seen[1]
        kept = self._rows.get(stream)
        if kept is None or kept.seq != seq:
            kept = self._made(stream, seq)
        row = _of_job(kept) if stream.startswith("job/") else _of_vehicle(kept)
        if not self._store.in_transaction:
            with self._lock:
                self._read[stream] = (seq, row)
        return row

    def _made(self, stream: str, seq: int) -> Follows:
        made = _follows(stream, seq, self._store)
        if not self._store.in_transaction:
            with self._lock:
                self._rows[stream] = replace(made, more="")  # asked for seldom, and long
                self._unkept[stream] = made
        return made


def _follows(stream: str, seq: int, store: Store) -> Follows:
    """What follows from a stream, worked out from its events."""
    head, _, name = stream.partition("/")
    events = store.events(stream)
    if head == "job":
        state = fold(JobState(), events)
        moves = [*moves_in(name, state)]
        return Follows(stream, seq, VERSION, _text(_job_said(state, moves)), _text([asdict(move) for move in moves]))
    return Follows(stream, seq, VERSION, _text(_vehicle_said(fold(VehicleState(), events))))


def _last(moves: Iterable[Move]) -> dict[str, tuple[int, bool]]:
    """Of each fact that must not stay, its last change; what a move ends and makes, it makes."""
    found: dict[str, tuple[int, bool]] = {}
    for move in moves:
        changed = {**dict.fromkeys(move.ends, False), **dict.fromkeys(move.makes, True)}
        found |= {fact: (move.place, holds) for fact, holds in changed.items() if must_not_stay(fact)}
    return found


def _text(thing: Any) -> str:
    return json.dumps(thing, ensure_ascii=False)


def _job_said(state: JobState, moves: list[Move]) -> dict[str, Any] | None:
    if state.opened is None:
        return None
    closed = {event.data["watch"] for event in state.kept("watch_closed")}
    return {
        "vehicle": state.opened.data["vehicle"],
        "title": state.opened.data["title"],
        "finished": state.finished.happened if state.finished else "",
        "watches": [{"event": one.id, "data": one.data} for one in state.watches if one.id not in closed],
        "attached": [event.data["reading"] for event in state.attached],
        "last": _last(moves),
    }


def _vehicle_said(state: VehicleState) -> dict[str, Any] | None:
    if not state.entries:
        return None
    return {
        "name": state.name,
        "text": state.text,
        "odometer_km": state.odometer_km,
        "has": {name: said for name in EQUIPMENT if (said := state.has(name))},
        "last": _last(moves_said(state)),
    }


def _of_job(kept: Follows) -> JobRow | None:
    said = json.loads(kept.said)
    if said is None:
        return None
    watches = tuple(WatchRow(**one) for one in said["watches"])
    return JobRow(kept.stream.partition("/")[2], **{**said, "watches": watches, "attached": tuple(said["attached"])})


def _of_vehicle(kept: Follows) -> VehicleRow | None:
    said = json.loads(kept.said)
    return None if said is None else VehicleRow(kept.stream.partition("/")[2], **said)
