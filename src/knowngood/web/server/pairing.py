"""The code that pairs one phone: shown on the computer, good for ten minutes, used once, guessed never."""

import hmac
import math
import secrets
import threading
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import Enum

# Nothing in it looks like another: no 0 and O, 1 I and L, 2 and Z, 5 and S, 8 and B, U and V. Ours.
ALPHABET = "ACDEFGHJKMNPQRTVWXY34679"
LENGTH, GROUP = 16, 4  # 73 bits
GOOD_FOR = timedelta(minutes=10)
# Ours: a person mistypes twice or three times, nobody 20 times; at that pace 73 bits are never guessed.
WRONG_BY_ONE, ONE_WAITS = 5, timedelta(minutes=1)
WRONG_BY_ALL, ALL_WAIT = 20, timedelta(minutes=10)
REMEMBERED = 50


class Tried(Enum):
    """What came of a code that a phone sent."""

    RIGHT = "right"
    WRONG = "wrong"
    USED = "used"
    TOO_LATE = "too late"
    REPLACED = "replaced"
    WAIT = "wait"


@dataclass(frozen=True)
class Code:
    """A code in groups, and until when it is good."""

    text: str
    until: datetime
    used: bool = False


@dataclass(frozen=True)
class Lan:
    """Under which address phones reach this machine, and the codes that let them in."""

    host: str
    port: int
    pairing: "Pairing"

    @property
    def address(self) -> str:
        """The page that pairs."""
        return f"http://{self.host}:{self.port}/pair"

    def link(self, code: Code) -> str:
        """What the picture of a code holds: behind the # it stays in the phone and reaches no log."""
        return f"{self.address}#{code.text}"


def new_token() -> str:
    """Return letters and digits that nobody can guess."""
    return "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))


class Pairing:
    """Makes codes and judges those that come in. In memory only: a restart forgets them all.

    Args:
        clock: The time, with its zone.
        tokens: Where the letters of a code come from.
    """

    def __init__(self, clock: Callable[[], datetime], tokens: Callable[[], str] = new_token) -> None:
        self._clock, self._tokens, self._lock = clock, tokens, threading.Lock()
        self._codes: deque[Code] = deque(maxlen=REMEMBERED)
        self._wrong: deque[tuple[datetime, str]] = deque()

    def code(self) -> Code:
        """The code to show: the one that is good, or a new one."""
        with self._lock:
            newest = self._codes[-1] if self._codes else None
            return newest if newest and not newest.used and self._clock() < newest.until else self._make()

    def renew(self) -> Code:
        """A new code; the one before is no good from now on."""
        with self._lock:
            return self._make()

    def take(self, typed: str, address: str) -> Tried:
        """Judge a code that came from an address; a right one is used up by it."""
        with self._lock:
            if self._wait_s(address):
                return Tried.WAIT
            tried = self._judged(_plain(typed))
            if tried is Tried.RIGHT:
                self._codes[-1] = replace(self._codes[-1], used=True)
            else:
                self._wrong.append((self._clock(), address))
            return tried

    def wait_s(self, address: str) -> int:
        """Seconds until a code from this address is looked at again; 0 when it is now."""
        with self._lock:
            return self._wait_s(address)

    def _make(self) -> Code:
        letters = self._tokens()
        text = "-".join(letters[at : at + GROUP] for at in range(0, len(letters), GROUP))
        self._codes.append(Code(text, self._clock() + GOOD_FOR))
        return self._codes[-1]

    def _judged(self, typed: str) -> Tried:
        # Each is compared, whether one has matched or not, so that the time taken tells nothing.
        same = [hmac.compare_digest(_plain(code.text).encode(), typed.encode()) for code in self._codes]
        if not any(same):
            return Tried.WRONG
        place = same.index(True)
        code = self._codes[place]
        if code.used:
            return Tried.USED
        if self._clock() >= code.until:
            return Tried.TOO_LATE
        return Tried.RIGHT if place == len(self._codes) - 1 else Tried.REPLACED

    def _wait_s(self, address: str) -> int:
        now = self._clock()
        while self._wrong and now - self._wrong[0][0] >= ALL_WAIT:
            self._wrong.popleft()
        everyone = [when for when, _ in self._wrong]
        own = [when for when, by in self._wrong if by == address and now - when < ONE_WAITS]
        free = [times[-limit] + span for times, limit, span in ((own, WRONG_BY_ONE, ONE_WAITS),
                (everyone, WRONG_BY_ALL, ALL_WAIT)) if len(times) >= limit]  # fmt: skip
        return max((math.ceil((one - now).total_seconds()) for one in free), default=0)


def _plain(typed: str) -> str:
    """A code as its letters alone: people leave out hyphens, or type small letters and spaces."""
    return "".join(one for one in typed.upper() if one.isalnum())
