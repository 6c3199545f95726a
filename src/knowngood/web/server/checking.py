"""All events are looked at beside the serving, so that a large garage opens at once."""

from threading import Event, Thread
from types import TracebackType
from typing import Self

from knowngood.store.checking import Stopped
from knowngood.store.errors import StoreError
from knowngood.store.rows import Damage
from knowngood.store.store import Store

PAUSE_S = 0.002  # ours: after some hundred events, so that pages come first


class Checking:
    """One look at everything, in a thread of its own; what is damaged, the pages name."""

    def __init__(self, store: Store) -> None:
        self._store, self._stop = store, Event()
        self._thread = Thread(target=self._look, name="checking")

    def __enter__(self) -> Self:
        """Begin."""
        self._thread.start()
        return self

    def __exit__(self, *_: BaseException | type[BaseException] | TracebackType | None) -> None:
        """Stop, and wait until nothing is read any more."""
        self._stop.set()
        self._thread.join()

    def _look(self) -> None:
        try:
            self._store.check(lambda: not self._stop.wait(PAUSE_S))
        except Stopped:
            return  # the next start begins anew
        except StoreError as trouble:
            self._store.note(Damage(0, "", trouble.elsewhere))
