"""The store: one append-only table of what happened, in a folder that is the person's own."""

import json
import os
import secrets
import sqlite3
import threading
import uuid
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from knowngood.store.errors import RESTORE, StoreError, in_words
from knowngood.store.event import Event, canonical_json, folding_order
from knowngood.store.lift import lifted
from knowngood.store.migrations import migrate, transaction
from knowngood.store.photos import Photos, sync_folder

FILE = "garage.sqlite3"
BUSY_MS = 5000
COLUMNS = "id, stream, kind, version, device, device_seq, happened, recorded, data, digest"
Row = tuple[int, str, str, str, int, str, int, str, str, str, str]


def _now() -> datetime:
    return datetime.now(UTC)


class Store:
    """The table of events and the folder of photos. Safe to use from several threads.

    `id` tells this garage from others and `secret` seals its forms; a copy of the folder keeps both.
    """

    def __init__(self, connection: sqlite3.Connection, file: Path) -> None:
        """Take over a connection that is laid out already; `open` makes one."""
        self._connection = connection
        self._file = file
        self._lock = threading.RLock()
        self.photos = Photos(file.parent / "photos")
        self.id, self.secret = connection.execute("SELECT id, secret FROM own").fetchone()

    @staticmethod
    def stands_in(folder: Path) -> bool:
        """Tell whether a store is kept in a folder."""
        return (folder / FILE).exists()

    @classmethod
    def open(cls, folder: Path, *, clock: Callable[[], datetime] | None = None) -> "Store":
        """Open the store in a folder, making both when they are not there.

        Raises:
            StoreError: The folder or its database cannot be used; the sentence says what to do.
        """
        file = folder / FILE
        _make_folder(folder)
        with _plain(file):
            if not file.exists():
                _make(file, clock or _now)
            elif file.stat().st_size == 0:
                raise StoreError(f"{file} is empty (0 bytes): what it held is gone. {RESTORE}")
            return cls(_opened(file, clock or _now), file)

    def close(self) -> None:
        """Close the database."""
        with self._lock:
            self._connection.close()

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """All that is read and appended within is one: nobody else writes meanwhile, here or in another program.

        Within one, the same thread may read, append and ask for it again; other threads wait.

        Raises:
            StoreError: Another program holds the database for too long, or it cannot be written.
        """
        with self._lock, _plain(self._file):
            if self._connection.in_transaction:  # of this thread: it holds the lock
                yield
            else:
                with transaction(self._connection):
                    yield

    def append(self, events: Sequence[Event], *, typed: str = "") -> list[Event]:
        """Keep events, all or none, and return them as kept; one that is there already is returned as it was kept.

        Args:
            events: What happened.
            typed: A digest of the words that the first of them was made from.

        Raises:
            StoreError: An id is there with other content, or the database cannot be written.
        """
        with self.transaction():
            kept = [self._keep(event) for event in events]
            if typed and kept:
                self._connection.execute("INSERT OR IGNORE INTO entry VALUES (?, ?)", (kept[0].id, typed))
            return kept

    def typed(self, id: str) -> str:
        """Return the digest of the words that an event was made from; empty when none was kept with it."""
        with self._lock, _plain(self._file):
            row = self._connection.execute("SELECT typed FROM entry WHERE id = ?", (id,)).fetchone()
        return str(row[0]) if row else ""

    def event(self, id: str) -> Event | None:
        """Return one event; None when there is none of that id."""
        with self._lock, _plain(self._file):
            row = self._connection.execute(f"SELECT seq, {COLUMNS} FROM event WHERE id = ?", (id,)).fetchone()
        return lifted(_event(row)) if row else None

    def events(self, stream: str | None = None, *, after_seq: int = 0) -> list[Event]:
        """Return the events of a stream, or all, in the order in which they are folded."""
        chosen = "seq > ? AND stream = ?" if stream is not None else "seq > ?"
        values = (after_seq,) if stream is None else (after_seq, stream)
        sql = f"SELECT seq, {COLUMNS} FROM event WHERE {chosen} ORDER BY seq"
        with self._lock, _plain(self._file):
            rows = self._connection.execute(sql, values).fetchall()
        return folding_order([lifted(_event(row)) for row in rows])

    def newest_seq(self, stream: str | None = None) -> int:
        """Return where the newest event of a stream, or of all, stands; 0 when there is none."""
        chosen, values = ("", ()) if stream is None else (" WHERE stream = ?", (stream,))
        with self._lock, _plain(self._file):
            sql = f"SELECT coalesce(max(seq), 0) FROM event{chosen}"
            return int(self._connection.execute(sql, values).fetchone()[0])

    def oldest_seq(self, stream: str) -> int:
        """Return where a stream began; 0 when it has not."""
        with self._lock, _plain(self._file):
            sql = "SELECT coalesce(min(seq), 0) FROM event WHERE stream = ?"
            return int(self._connection.execute(sql, (stream,)).fetchone()[0])

    def streams(self) -> list[str]:
        """Return all streams in the order in which they began."""
        with self._lock, _plain(self._file):
            sql = "SELECT stream FROM event GROUP BY stream ORDER BY min(seq)"
            return [row[0] for row in self._connection.execute(sql)]

    def _keep(self, event: Event) -> Event:
        stored = self._stored(event.id)
        if stored is None:
            marks = ", ".join("?" * len(COLUMNS.split(",")))
            self._connection.execute(f"INSERT INTO event ({COLUMNS}) VALUES ({marks})", _values(event))
            stored = self._stored(event.id)
            assert stored is not None  # written one line above, in this transaction
        elif stored.content != event.content:
            raise StoreError(
                f'The id "{event.id}" is taken: "{stored.kind}" was kept under it with other words. '
                "Reload the page and write it again."
            )
        return lifted(stored)

    def _stored(self, id: str) -> Event | None:
        row = self._connection.execute(f"SELECT seq, {COLUMNS} FROM event WHERE id = ?", (id,)).fetchone()
        return _event(row) if row else None


def _values(event: Event) -> tuple[object, ...]:
    head = (event.id, event.stream, event.kind, event.version, event.device, event.device_seq)
    return (*head, event.happened, event.recorded, canonical_json(event.data), event.digest)


def _event(row: Row) -> Event:
    *head, data, digest = row
    return Event(*head, data=json.loads(data), digest=digest)  # type: ignore[arg-type, misc]


@contextmanager
def _plain(file: Path) -> Iterator[None]:
    """The one place where troubles with the database become sentences."""
    try:
        yield
    except sqlite3.Error as trouble:
        sentence = in_words(trouble, file)
        if sentence is None:
            raise
        raise sentence from trouble


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (FileExistsError, NotADirectoryError) as trouble:
        raise StoreError(
            f"{folder} is a file, but a garage is a folder. Name another place for the garage."
        ) from trouble
    except OSError as trouble:
        why = trouble.strerror or "no reason given"
        raise StoreError(f"{folder} cannot be made ({why}). Name a place that may be written to.") from trouble


def _connect(file: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(
        f"{file.absolute().as_uri()}?mode=rwc", uri=True, isolation_level=None, check_same_thread=False
    )
    connection.execute(f"PRAGMA busy_timeout = {BUSY_MS}")
    return connection


def _opened(file: Path, clock: Callable[[], datetime]) -> sqlite3.Connection:
    connection = _connect(file)
    try:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = FULL")
        if connection.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok":
            raise StoreError(f"{file} is damaged: a part of it is missing or unreadable. {RESTORE}")
        migrate(connection, clock)
        if connection.execute("SELECT 1 FROM own").fetchone() is None:
            fresh = (secrets.token_hex(16), secrets.token_hex(32))
            connection.execute("INSERT OR IGNORE INTO own VALUES (1, ?, ?)", fresh)
    except BaseException:
        connection.close()
        raise
    return connection


def _make(file: Path, clock: Callable[[], datetime]) -> None:
    """Lay a new database out beside its place, then name it: a power cut leaves either none or a whole one."""
    draft = file.with_name(f".new-{uuid.uuid4().hex}.sqlite3")
    try:
        _opened(draft, clock).close()
        os.link(draft, file)
    except FileExistsError:
        pass  # another program was first; its database is the garage
    except OSError:
        draft.replace(file)  # a disk without links, such as a memory stick
    finally:
        draft.unlink(missing_ok=True)
    sync_folder(file.parent)
