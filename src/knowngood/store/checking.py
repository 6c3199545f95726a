"""Looking at every event: does it still say what its digest was made of, and is none missing?"""

import hashlib
import re
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass, field

from knowngood.store.moment import day_of
from knowngood.store.rows import COLUMNS, Damage, damage_of, missing
from knowngood.words import day_words

CHUNK = 200  # events read at a time: ours, some hundred kB
NOTHING_YET = ""
# In the order of the table, not of an index: an index may be damaged too.
ROWS = f"SELECT seq, {COLUMNS} FROM event NOT INDEXED WHERE seq > ? ORDER BY seq LIMIT {CHUNK}"
PHOTO = re.compile(rb'"photo":"([0-9a-f]{64}\.(?:jpg|png|webp))"')


@dataclass(frozen=True)
class Mark:
    """Up to where all events were sound when all were looked at last.

    Args:
        seq: The last of them; 0 when they were never looked at.
        chain: A digest over their digests.
        happened: When they were looked at.
    """

    seq: int = 0
    chain: str = NOTHING_YET
    happened: str = ""

    def digest(self, own: tuple[str, str]) -> str:
        """Return what the row is known to be sound by, together with the garage's own id and secret."""
        said = " ".join([str(self.seq), self.chain, self.happened, *own])
        return hashlib.sha256(said.encode()).hexdigest()


@dataclass
class Checked:
    """What came of looking: how many events, up to where, what is damaged, which photos are spoken of."""

    seq: int = 0
    entries: int = 0
    chain: str = NOTHING_YET
    damage: list[Damage] = field(default_factory=list)
    photos: set[str] = field(default_factory=set)


class Stopped(Exception):
    """Whoever wanted all looked at does not want it any more."""


def check_events(
    connection: sqlite3.Connection, mark: Mark, *, after: int = 0, go_on: Callable[[], bool] = lambda: True
) -> Checked:
    """Look at all events, or at those after one.

    Args:
        connection: Gives text as bytes.
        mark: What was found the last time; all that was sound then must be the same now.
        after: Begin behind this one.
        go_on: Asked now and then.

    Raises:
        Stopped: It shall not go on.
    """
    checked, newest = Checked(seq=after), _newest_given(connection)
    while rows := connection.execute(ROWS, (checked.seq,)).fetchall():
        for row in rows:
            _look(row, checked)
            if not after and checked.seq == mark.seq and checked.chain != mark.chain and not checked.damage:
                checked.damage.append(_changed(mark))
        if not go_on():
            raise Stopped
    if checked.seq < newest:
        checked.damage.append(missing(checked.seq + 1, newest))
    return checked


def _look(row: tuple[object, ...], checked: Checked) -> None:
    seq, data, digest = int(row[0]), row[-2], row[-1]  # type: ignore[call-overload]
    if seq > checked.seq + 1:
        checked.damage.append(missing(checked.seq + 1, seq - 1))
    if damage := damage_of(row):
        checked.damage.append(damage)
    checked.chain = hashlib.sha256(f"{checked.chain} {digest!r}".encode()).hexdigest()
    if isinstance(data, bytes) and b'"photo":"' in data:
        checked.photos.update(name.decode() for name in PHOTO.findall(data))
    checked.seq, checked.entries = seq, checked.entries + 1


def _newest_given(connection: sqlite3.Connection) -> int:
    """The number that the newest event was given; numbers are given once, and nothing is deleted."""
    row = connection.execute("SELECT seq FROM sqlite_sequence WHERE name = 'event'").fetchone()
    return int(row[0]) if row else 0


def _changed(mark: Mark) -> Damage:
    day = day_words(day_of(mark.happened, None))
    return Damage(
        mark.seq,
        "",
        f"Of the first {mark.seq} entries, sound on {day}, some say other words now.",
    )


def is_sound(connection: sqlite3.Connection) -> bool:
    """Tell whether the database hangs together, its indexes too."""
    return bool(connection.execute("PRAGMA integrity_check(1)").fetchone()[0] in (b"ok", "ok"))
