"""The store: one append-only table of what happened, in a folder that is the person's own."""

import sqlite3
import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path

from knowngood.store import opening
from knowngood.store.checking import Checked, Mark, Stopped, check_events, is_sound
from knowngood.store.errors import PLACE, RESTORE, StoreError, damaged, in_words
from knowngood.store.event import Event, folding_order
from knowngood.store.follows import Follows, keep_rows, kept_rows, newest_seqs
from knowngood.store.lift import lifted
from knowngood.store.migrations import transaction
from knowngood.store.photos import Photos
from knowngood.store.rows import COLUMNS, Damage, Row, read, values

FILE = "garage.sqlite3"
STEPS_BETWEEN = 100_000  # of SQLite's machine, some milliseconds, after which a look notices that it is to stop
AT_ONCE = 10_000  # ours: so many events are looked at in a tenth of a second or two


def _now() -> datetime:
    return datetime.now(UTC)


class Store:
    """The table of events and the folder of photos. Safe to use from several threads.

    `id` tells this garage from others and `secret` seals its forms; a copy of the folder keeps both.
    """

    def __init__(self, connection: sqlite3.Connection, file: Path, clock: Callable[[], datetime]) -> None:
        """Take over a connection that is laid out already; `open` makes one."""
        self._connection, self._file, self._clock = connection, file, clock
        self._lock = threading.RLock()
        self._damage: dict[int, Damage] = {}
        self.photos = Photos(file.parent / "photos")
        self.id, self.secret = opening.own_of(connection)
        self._mark = opening.mark_of(connection, (self.id, self.secret), file)

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
                opening.make(file, clock or _now)
            elif file.stat().st_size == 0:
                raise StoreError(f"{PLACE} is empty (0 bytes): what it held is gone. {RESTORE}", file)
            opening.clear_drafts(folder)
            connection = opening.opened(file, clock or _now)
            try:
                store = cls(connection, file, clock or _now)
                store._look_at_once()
            except BaseException:
                connection.close()
                raise
            return store

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

    @property
    def in_transaction(self) -> bool:
        """Is somebody deciding, so that what can be read may yet be undone?"""
        return self._connection.in_transaction

    @property
    def damage_known(self) -> int:
        """How many events are known to be damaged so far."""
        return len(self._damage)

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
        return str(row[0], errors="replace") if row else ""

    def event(self, id: str) -> Event | None:
        """Return one event; None when there is none of that id, or it is damaged."""
        with self._lock, _plain(self._file):
            row = self._connection.execute(f"SELECT seq, {COLUMNS} FROM event WHERE id = ?", (id,)).fetchone()
        return next(iter(self._sound([row])), None) if row else None

    def events(self, stream: str | None = None, *, after_seq: int = 0) -> list[Event]:
        """Return the events of a stream, or all, in the order in which they are folded; without what is damaged."""
        chosen = "seq > ? AND stream = ?" if stream is not None else "seq > ?"
        values = (after_seq,) if stream is None else (after_seq, stream)
        sql = f"SELECT seq, {COLUMNS} FROM event WHERE {chosen} ORDER BY seq"
        with self._lock, _plain(self._file):
            rows = self._connection.execute(sql, values).fetchall()
        return folding_order(self._sound(rows))

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
            return [str(row[0], errors="replace") for row in self._connection.execute(sql)]

    def newest_seqs(self, *, after: int = 0) -> dict[str, int]:
        """Return where the newest event of each stream stands, of those that have one after another event."""
        with self._lock, _plain(self._file):
            return newest_seqs(self._connection, after)

    def follows(self, version: str, stream: str | None = None) -> list[Follows]:
        """Return what was kept of what follows from streams: of one, or of all."""
        with self._lock, _plain(self._file):
            return kept_rows(self._connection, version, stream)

    def keep_follows(self, rows: Sequence[Follows]) -> None:
        """Keep what follows from streams. Where nobody may write now it is made again the next time."""
        try:
            with self._lock, transaction(self._connection):
                keep_rows(self._connection, rows)
        except sqlite3.OperationalError as trouble:
            if trouble.sqlite_errorcode & 0xFF not in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_BUSY):
                raise

    def damage(self, job: str | None = None) -> list[Damage]:
        """Return what is known to be damaged: all of it, or, for a job's stream, without what another job lost.

        What may have been said of any job, such as of the toolbox or of nobody knows what, concerns each of them.
        """
        with self._lock:
            known = sorted(self._damage.values(), key=lambda one: one.seq)
            elsewhere = {one.stream for one in known if job not in (None, one.stream) and one.stream.startswith("job/")}
            elsewhere = {stream for stream in elsewhere if self.events(stream)}
        return [one for one in known if one.stream not in elsewhere]

    def check(self, go_on: Callable[[], bool] = lambda: True) -> Checked:
        """Look at every event, beside whatever else goes on.

        Raises:
            StoreError: The database cannot be read, or does not hang together.
            Stopped: It shall not go on.
        """
        with _plain(self._file), closing(opening.connect(self._file, "ro")) as reading:
            checked = check_events(reading, self._mark, go_on=go_on)
            reading.set_progress_handler(lambda: not go_on(), STEPS_BETWEEN)
            try:
                indexed = is_sound(reading)
            except sqlite3.OperationalError as trouble:
                if not go_on():
                    raise Stopped from trouble
                raise
        if not indexed:
            self._index_anew()
        self._looked(checked)
        if not checked.damage:
            self._keep_mark(Mark(checked.seq, checked.chain, self._clock().isoformat(timespec="seconds")))
        return checked

    def _look_at_once(self) -> None:
        """Look at the indexes and at what came since all was looked at; at everything where that is little."""
        if not is_sound(self._connection):
            self._index_anew()
        newest = self.newest_seq()
        after = 0 if newest <= AT_ONCE else max(self._mark.seq, newest - AT_ONCE)
        self._looked(check_events(self._connection, self._mark, after=after))

    def _looked(self, checked: Checked) -> None:
        with self._lock:
            self._damage.update({one.seq: one for one in checked.damage})

    def note(self, damage: Damage) -> None:
        """Name damage that was met elsewhere."""
        with self._lock:
            self._damage[damage.seq] = damage

    def _index_anew(self) -> None:
        """Make the indexes from the table again: they hold nothing of their own.

        Raises:
            StoreError: That does not mend it.
        """
        with self.transaction():
            try:
                self._connection.execute("REINDEX")
            except sqlite3.IntegrityError as twice:
                raise damaged(self._file) from twice
            if not is_sound(self._connection):
                raise damaged(self._file)

    def _keep_mark(self, mark: Mark) -> None:
        try:
            with self._lock, transaction(self._connection):
                opening.write_mark(self._connection, mark, (self.id, self.secret))
        except sqlite3.OperationalError as trouble:
            if trouble.sqlite_errorcode & 0xFF != sqlite3.SQLITE_READONLY:
                raise
            return  # a garage that may only be read is looked at from its beginning each time
        self._mark = mark

    def _sound(self, rows: Iterable[Row]) -> list[Event]:
        """The events of these rows, in today's shape; what is damaged is named and left out."""
        events = []
        for row in rows:
            event = read(row)
            if isinstance(event, Damage):
                self.note(event)
            else:
                events.append(lifted(event))
        return events

    def _keep(self, event: Event) -> Event:
        stored = self._stored(event.id)
        if stored is None:
            marks = ", ".join("?" * len(COLUMNS.split(",")))
            self._connection.execute(f"INSERT INTO event ({COLUMNS}) VALUES ({marks})", values(event))
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
        stored = read(row) if row else None
        if isinstance(stored, Damage):
            raise StoreError(f"{stored.words} It was kept under the same id. Reload the page and write it again.")
        return stored


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
            f"{PLACE} is a file, but a garage is a folder. Name another place for the garage.", folder
        ) from trouble
    except OSError as trouble:
        why = trouble.strerror or "no reason given"
        raise StoreError(f"{PLACE} cannot be made ({why}). Name a place that may be written to.", folder) from trouble
