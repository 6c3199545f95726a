"""The layout of the database: numbered steps, each taken once, in a transaction with its record."""

import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime

from knowngood.store.errors import StoreError


@dataclass(frozen=True)
class Migration:
    """One step of the layout, from the step before."""

    number: int
    name: str
    statements: tuple[str, ...]


RECORD = """
CREATE TABLE IF NOT EXISTS migration (
    number INTEGER PRIMARY KEY, name TEXT NOT NULL, happened TEXT NOT NULL
) STRICT
"""
EVENTS = """
CREATE TABLE event (
    seq INTEGER PRIMARY KEY AUTOINCREMENT,
    id TEXT NOT NULL UNIQUE,
    stream TEXT NOT NULL,
    kind TEXT NOT NULL,
    version INTEGER NOT NULL,
    device TEXT NOT NULL,
    device_seq INTEGER NOT NULL,
    happened TEXT NOT NULL,
    recorded TEXT NOT NULL,
    data TEXT NOT NULL,
    digest TEXT NOT NULL
) STRICT
"""
REFUSES = """
CREATE TRIGGER event_no_{verb} BEFORE {verb} ON event
BEGIN SELECT RAISE(ABORT, 'what happened is never changed: withdraw it with another event'); END
"""
# INSERT OR REPLACE would delete without waking the trigger above.
REFUSES_REPLACE = """
CREATE TRIGGER event_no_replace BEFORE INSERT ON event
WHEN EXISTS (SELECT 1 FROM event WHERE id = NEW.id OR seq = NEW.seq)
BEGIN SELECT RAISE(ABORT, 'what happened is never changed: withdraw it with another event'); END
"""
# What a garage is known by to the phones that hold entries for it, and what its forms are sealed with.
OWN = """
CREATE TABLE own (
    only INTEGER PRIMARY KEY CHECK (only = 1), id TEXT NOT NULL, secret TEXT NOT NULL
) STRICT
"""
# What was typed for an entry, as one SHA-256: the same id with other words is told from a retry.
ENTRY = """
CREATE TABLE entry (
    id TEXT PRIMARY KEY, typed TEXT NOT NULL
) STRICT
"""
# Up to which event all were looked at and found sound, and a digest over the row and over what is kept in `own`.
CHECKED = """
CREATE TABLE checked (
    only INTEGER PRIMARY KEY CHECK (only = 1), seq INTEGER NOT NULL, chain TEXT NOT NULL, happened TEXT NOT NULL,
    digest TEXT NOT NULL
) STRICT
"""
# What follows from a stream up to an event, so that nobody need fold it again; may be thrown away at any time.
FOLLOWS = """
CREATE TABLE follows (
    stream TEXT PRIMARY KEY, seq INTEGER NOT NULL, version TEXT NOT NULL, said TEXT NOT NULL, more TEXT NOT NULL,
    digest TEXT NOT NULL
) STRICT
"""
MIGRATIONS = (
    Migration(
        1,
        "events",
        (
            EVENTS,
            "CREATE INDEX event_by_stream ON event (stream, seq)",
            REFUSES.format(verb="UPDATE"),
            REFUSES.format(verb="DELETE"),
            REFUSES_REPLACE,
        ),
    ),
    Migration(2, "own id and secret", (OWN,)),
    Migration(3, "what was typed, and what was checked", (ENTRY, CHECKED)),
    Migration(4, "moments with the zone of their entry, which an older program cannot read", ()),
    Migration(5, "what follows from a stream", (FOLLOWS,)),
)


def migrate(
    connection: sqlite3.Connection,
    clock: Callable[[], datetime],
    migrations: Sequence[Migration] = MIGRATIONS,
) -> None:
    """Take the steps that the database has not taken yet.

    Raises:
        StoreError: The database was laid out by a newer program; nothing is changed.
    """
    known = migrations[-1].number
    if taken(connection) > known:
        raise StoreError(
            f"This garage was last used by a newer program: its layout is number {taken(connection)}, "
            f"this program knows up to {known}. Install the newer program again; nothing was changed."
        )
    for one in migrations:
        if one.number > taken(connection):
            _take(connection, one, clock().isoformat(timespec="seconds"))


def layout(connection: sqlite3.Connection) -> set[tuple[object, ...]]:
    """Return what a database is laid out as, apart from what SQLite keeps for itself; its connection gives bytes."""
    sql = "SELECT type, name, tbl_name, sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite_stat%'"
    return {tuple(row) for row in connection.execute(sql)}


def layout_after(number: int) -> set[tuple[object, ...]]:
    """Return the layout that a database has after a step."""
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as fresh:
        fresh.text_factory = bytes
        migrate(fresh, lambda: datetime.now(UTC), [one for one in MIGRATIONS if one.number <= number])
        return layout(fresh)


def taken(connection: sqlite3.Connection) -> int:
    """Number of the newest step taken; 0 for an empty database."""
    if connection.execute("SELECT 1 FROM sqlite_schema WHERE name = 'migration'").fetchone() is None:
        return 0
    return int(connection.execute("SELECT coalesce(max(number), 0) FROM migration").fetchone()[0])


def _take(connection: sqlite3.Connection, one: Migration, when: str) -> None:
    with transaction(connection):
        # Another program may have been first while this one waited for its turn.
        if one.number > taken(connection):
            for statement in (RECORD, *one.statements):
                connection.execute(statement)
            connection.execute("INSERT INTO migration VALUES (?, ?, ?)", (one.number, one.name, when))


@contextmanager
def transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """All that is done within, or nothing of it."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        # A full disk has rolled back by itself.
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise
