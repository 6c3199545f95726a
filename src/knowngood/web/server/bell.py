"""The serving computer's own sound: at the moments that a warm-up leads to, it rings its terminal and says why."""

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

RING = "\a"


@dataclass(frozen=True)
class Moment:
    """When to ring, and what to say then."""

    at: datetime
    says: str


class Bell:
    """Rings at the moments of each job; a newer answer takes the place of the older one."""

    def __init__(self, say: Callable[[str], None], clock: Callable[[], datetime]) -> None:
        self._say, self._clock = say, clock
        self._waiting: dict[str, list[threading.Timer]] = {}
        self._lock = threading.Lock()

    def set(self, key: str, moments: Sequence[Moment]) -> None:
        """Take the moments of one job in place of those it had; what is past does not ring."""
        now = self._clock()
        ahead = [(one, (one.at - now).total_seconds()) for one in moments]
        timers = [threading.Timer(seconds, self._ring, [one.says]) for one, seconds in ahead if seconds > 0.0]
        with self._lock:
            for old in self._waiting.pop(key, []):
                old.cancel()
            if timers:
                self._waiting[key] = timers
            for timer in timers:
                timer.daemon = True  # nobody waits for a bell when the program ends
                timer.start()

    def _ring(self, says: str) -> None:
        self._say(f"{RING}{says}")
