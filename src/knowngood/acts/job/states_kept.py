"""The states of streams, each folded once and brought forward by what is new."""

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import Any, TypeVar, cast

from knowngood.store.folds import fold
from knowngood.store.states import JobState, PhonesState, State, ToolboxState, VehicleState
from knowngood.store.store import Store

S = TypeVar("S", bound=State)
T = TypeVar("T")
# Ours: more jobs and vehicles than one looks at in a day.
AT_MOST = 200


class StatesKept:
    """What follows from a store, kept until something new arrives. Safe between threads.

    Within a transaction nothing is kept: what it appends may yet be undone. No lock is held while the store is asked:
    two threads may work out the same, which is worth less than one of them waiting for the other's transaction.
    """

    def __init__(self, store: Store) -> None:
        """Begin with nothing."""
        self._store = store
        self._lock = threading.Lock()
        self._states: OrderedDict[str, tuple[int, State]] = OrderedDict()
        self._made: tuple[tuple[int, int], dict[Any, Any]] = ((-1, 0), {})

    def toolbox(self) -> ToolboxState:
        """Return how the toolbox stands."""
        return self._state("toolbox", ToolboxState)

    def phones(self) -> PhonesState:
        """Return which phones are paired."""
        return self._state("phones", PhonesState)

    def vehicle(self, vehicle_id: str) -> VehicleState:
        """Return how a vehicle stands."""
        return self._state(f"vehicle/{vehicle_id}", VehicleState)

    def job(self, job_id: str) -> JobState:
        """Return how a job stands."""
        return self._state(f"job/{job_id}", JobState)

    def made(self, what: Hashable, by: Callable[[], T]) -> T:
        """Return what is made from the whole garage: what was made before, as long as nothing new has arrived."""
        if self._store.in_transaction:
            return by()
        seen = (self._store.newest_seq(), self._store.damage_known)
        until, made = self._made
        if until != seen:
            made = {}
            self._made = seen, made
        if what not in made:
            made[what] = by()
        return cast(T, made[what])

    def _state(self, stream: str, kind: type[S]) -> S:
        newest = self._store.newest_seq(stream)
        seq, kept = self._states.get(stream, (0, None))
        if seq == newest and isinstance(kept, kind):
            return kept
        begin = kept if isinstance(kept, kind) and seq < newest else None
        events = self._store.events(stream, after_seq=seq if begin else 0)
        state = fold(begin or kind(), events)
        if not self._store.in_transaction:
            self._keep(stream, newest, state)
        return state

    def _keep(self, stream: str, newest: int, state: State) -> None:
        with self._lock:
            self._states[stream] = newest, state
            self._states.move_to_end(stream)
            if len(self._states) > AT_MOST:
                self._states.popitem(last=False)
